"""Pictures in words: the text alternative of each picture, and plain names for colours. The names and their bounds are ours, by eye."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees, hypot

from skeinwright.core.picture.look import StrandLook
from skeinwright.core.yarn.ply import CLASS_ANGLE_DEG

NUMBERS = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
HUES = (
    (20.0, "rose"),
    (48.0, "red"),
    (66.0, "red orange"),
    (80.0, "orange"),
    (91.0, "golden yellow"),
    (106.0, "yellow"),
    (126.0, "yellow green"),
    (166.0, "green"),
    (180.0, "blue green"),
    (224.0, "turquoise"),
    (250.0, "green blue"),
    (285.0, "blue"),
    (306.0, "blue violet"),
    (330.0, "violet"),
    (350.0, "red violet"),
    (360.0, "rose"),
)
"""Upper end of each band of Lab hue angle, degrees, and its name."""
SHOWN = {
    "in the pan": "A wet skein in its pan",
    "re-skeined": "A twisted skein, wound anew",
    "twisted": "A twisted skein",
    "laid open": "A skein laid open",
    "knitted": "A patch of plain knit",
    "close up": "Strands close up",
    "strand": "One strand",
}


_SHADES = frozenset({"very", "deep", "light", "pale", "greyed", "bright"})


def hue_deg(a: float, b: float) -> float:
    """CIELAB hue angle, 0-360."""
    return degrees(atan2(b, a)) % 360.0


def colour_words(lab: tuple[float, float, float]) -> str:
    """A plain name for a Lab colour (D65): "deep green blue", "pale grey", "cream", "brown"."""
    lightness, a, b = lab
    chroma, hue = hypot(a, b), hue_deg(a, b)
    if chroma < 5.0:
        if lightness < 18.0:
            return "black"
        if lightness > 92.0:
            return "white"
        return _joined(_lightness_word(lightness), "", "grey")
    if 60.0 <= hue < 112.0 and chroma < 22.0 and lightness >= 80.0:
        return "cream"
    name = next(word for top, word in HUES if hue < top or top == 360.0)
    if 38.0 <= hue < 95.0 and chroma < 48.0 and lightness < 52.0:
        name = "brown"
    elif name in ("rose", "red") and lightness >= 62.0:
        name = "pink"
    strength = "greyed" if chroma < 14.0 else "bright" if chroma > 70.0 else ""
    return _joined(_lightness_word(lightness), strength, name)


def _lightness_word(lightness: float) -> str:
    for top, word in ((24.0, "very deep"), (42.0, "deep"), (66.0, ""), (82.0, "light")):
        if lightness < top:
            return word
    return "pale"


def _joined(*words: str) -> str:
    return " ".join(word for word in words if word)


def twist_word(look: StrandLook) -> str:
    """soft, medium or high: the class whose ply angle is nearest."""
    return min(CLASS_ANGLE_DEG, key=lambda name: abs(CLASS_ANGLE_DEG[name] - look.angle_deg))


def describe(view: str, look: StrandLook, lab: tuple[float, float, float], *, base: str = "") -> str:
    """One sentence for a picture: "A twisted skein of Quay Sock, four plies twisted together, high twist, in a deep green blue."."""
    plies = "a single ply" if look.plies == 1 else f"{NUMBERS[look.plies]} plies twisted together"
    colour = colour_words(lab)
    article = "" if colour in ("black", "white", "cream", "brown") else "an " if colour[0] in "aeiou" else "a "
    return f"{SHOWN.get(view, 'A picture')} of {base or 'yarn'}, {plies}, {twist_word(look)} twist, in {article}{colour}."


def describe_ladder(name: str, labs: list[tuple[float, float, float]]) -> str:
    """One sentence for a ladder of swatches: "Kelp, 3 swatches from pale yellow green to deep green."."""
    if not labs:
        return f"{name}, no swatches yet."
    if len(labs) == 1:
        return f"{name}, one swatch, {colour_words(labs[0])}."
    return f"{name}, {len(labs)} swatches from {colour_words(labs[0])} to {colour_words(labs[-1])}."


def colours_in_words(labs: Sequence[tuple[float, float, float]], *, most: int = 4, least: float = 0.05) -> str:
    """The colours that make up a picture, largest share first: "deep blue (most of it), cream (a little)".

    Shades of one hue are counted together and told by the commonest of them; colours of less than a twentieth are not named.
    """
    counts: dict[str, dict[str, int]] = {}
    for lab in labs:
        name = colour_words(lab)
        shades = counts.setdefault(hue_of(lab), {})
        shades[name] = shades.get(name, 0) + 1
    ranked = sorted(((sum(shades.values()) / len(labs), max(shades, key=lambda name: (shades[name], name))) for shades in counts.values()), reverse=True)
    told = [(share, name) for share, name in ranked if share >= least][:most]
    if len(told) == 1:
        return told[0][1]
    return ", ".join(f"{name} ({_share(share)})" for share, name in told)


def hue_of(lab: tuple[float, float, float]) -> str:
    """The name of a colour without how light or strong it is: "light greyed turquoise" is turquoise."""
    words = colour_words(lab).split()
    while len(words) > 1 and words[0] in _SHADES:
        words = words[1:]
    return " ".join(words)


def _share(share: float) -> str:
    for least, words in ((0.62, "most of it"), (0.42, "about half"), (0.28, "about a third"), (0.18, "about a quarter"), (0.0, "a little")):
        if share >= least:
            return words
    return ""


WET_WORDS = "It is drawn wet, so darker than it dries; its colours are told as they are dry."
"""Said with every picture in the pan."""


def describe_map(view: str, look: StrandLook, labs: Sequence[tuple[float, float, float]], *, base: str = "", extra: str = "") -> str:
    """The text alternative of a picture of a skein map, from the Lab (D65, 2 degree) of cells taken evenly over it."""
    plies = "a single ply" if look.plies == 1 else f"{NUMBERS[look.plies]} plies twisted together"
    said = f"{SHOWN.get(view, 'A picture')} of {base or 'yarn'}, {plies}, {twist_word(look)} twist: {colours_in_words(labs)}."
    wet = WET_WORDS if view == "in the pan" else ""
    return " ".join(part for part in (said, wet, extra) if part)
