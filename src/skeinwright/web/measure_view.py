"""A photo's figures as a page shows them: the verdict in a sentence, the evidence, each piece with its colours, what goes with what."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from skeinwright.core.colour.eye import difference_in_words, difference_sentence
from skeinwright.core.foundations.say import joined
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.list_pieces import LabValues, PieceFigures
from skeinwright.services.measure_kept_photo import Evidence, PhotoFigures
from skeinwright.services.read_colour import ColourRequest, read_colour
from skeinwright.web.measure_ask import asked_of
from skeinwright.web.recipe_form import address
from skeinwright.web.recipe_view import hex_of

VERDICTS = {
    "accept": "A good photo: its figures can be trusted as far as they say.",
    "warn": "Usable, with care.",
    "refuse": "Refused: no figure is taken from this photo.",
}
TESTS = {
    "marks": ("Corner marks seen", "{:.0f} of 4"),
    "px_per_mm": ("Pixels in a millimetre", "{:.1f}"),
    "blur_mm": ("Width of a sharp edge", "{:.2f} mm"),
    "rms_mm": ("Flatness of the sheet", "{:.2f} mm"),
    "paper_blown": ("Over-exposed paper", "{:.0%}"),
    "paper_dark": ("Brightness of the paper", "{:.0%}"),
    "paper_residual": ("Unevenness of the light that is left", "{:.1%}"),
    "two_lights": ("Shift of the light's colour over the sheet", "{:.1%}"),
    "yarn_clipped": ("Yarn that is over-exposed", "{:.1%}"),
    "overshoot": ("Sharpening by the phone", "{:.0%}"),
}
WRITTEN_MM = 44.0
"""How wide a size is when it is written in the picture, on a phone; in mm of the sheet."""
LINE_MM = 9.0
SAID_VERDICT = {"accept": "good", "warn": "look", "refuse": "refused"}


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour to be drawn: as a screen shows it, as text for the eye, as text that can be typed again."""

    hex: str
    says: str
    text: str
    share: str = ""
    clipped: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece with its figures in words."""

    number: int
    points: str
    x: float
    top: float
    foot: float
    """Where its number and its size are written: over its upper edge, under its lower one, so that they hide no yarn (mm on the sheet)."""
    area: str
    area_spread: str
    mean: Colour
    ground: Colour
    others: tuple[Colour, ...]
    target_url: str


@dataclass(frozen=True, slots=True)
class KeptView:
    """A kept reading as one line: its colour, what it is of, when, and where its photo opens as it was read."""

    id: int
    photo: int
    title: str
    colour: Colour
    spread: str
    what: str
    lot: str
    state: str
    when: str
    url: str


def view_of(figures: PhotoFigures) -> dict[str, Any]:
    """What the page of a read photo shows."""
    from skeinwright.core.measure.stated import SAME_PHOTO_DE00, crest_spread, other_spread

    width, height = figures.page_mm or (0.0, 0.0)
    spread = f"{figures.spread_de00:.1f}" if figures.spread_de00 is not None else ""
    return {
        "figures": figures,
        "verdict": VERDICTS[figures.verdict],
        "can_draw": not figures.refused or any(one.name == "yarn" and one.verdict == "refuse" for one in figures.evidence),
        "tests": [test_line(one) for one in figures.evidence],
        "page": {"w": width, "h": height} if figures.page_mm else None,
        "corners": " ".join(f"{x:.5f},{y:.5f}" for x, y in figures.corners),
        "pieces": _spaced([piece_of(one, spread) for one in figures.pieces]),
        "spread": spread,
        "crest_spread": f"{crest_spread(figures.spread_de00 or 0.0):.1f}",
        "other_spread": f"{other_spread(figures.spread_de00 or 0.0):.1f}",
        "rests_on": rests_on(figures),
        "sets": sets_of(figures),
        "one_photo": f"{SAME_PHOTO_DE00:g}",
        "sharp": f"{figures.blur_mm:.2f} mm" if figures.blur_mm is not None else "",
    }


def test_line(one: Evidence) -> dict[str, str]:
    """One test as a line: its name, its value, how it came out."""
    name, form = TESTS.get(one.name, (one.name.replace("_", " ").capitalize(), "{:.3g}"))
    return {"name": name, "value": form.format(one.value).replace("%", " %"), "verdict": SAID_VERDICT[one.verdict], "says": one.message}


def colour_of(lab: LabValues, share: float | None = None) -> Colour:
    """A colour of the photo (D65, 2 degree); bare paper may come out a little whiter than white, and is shown as white."""
    L, a, b = round(min(max(lab[0], 0.0), 100.0), 1), round(lab[1], 1), round(lab[2], 1)
    text = write_lab(Lab(L, a, b, "D65", 2))
    read = read_colour(ColourRequest(text=text))
    return Colour(hex_of(read.srgb), f"{L:.1f}, {a:.1f}, {b:.1f}", text, "" if share is None else f"{100 * share:.0f}\u00a0%", read.clipped)


def piece_of(piece: PieceFigures, spread: str = "") -> Piece:
    """A piece of yarn in words and colours; `spread` is how well the photo knows its colour."""
    mean = colour_of(piece.mean_lab)
    half = (piece.area_high - piece.area_low) / 2
    return Piece(
        number=piece.number,
        points=" ".join(f"{x:.1f},{y:.1f}" for x, y in piece.outline_mm),
        x=round(piece.middle_mm[0], 1),
        top=round(min(y for _, y in piece.outline_mm), 1),
        foot=round(max(y for _, y in piece.outline_mm), 1),
        area=f"{piece.area_cm2:.1f} cm\u00b2",
        area_spread=f"\u00b1 {half:.1f}",
        mean=mean,
        ground=colour_of(piece.ground_lab, piece.ground_share),
        others=tuple(colour_of(lab, share) for lab, share in piece.others),
        target_url=address("/recipes", {"by": "typed", "target": f"{mean.text} \u00b1 {spread}" if spread else mean.text}),
    )


def _spaced(pieces: list[Piece]) -> list[Piece]:
    """The pieces with every second size in a row of narrow ones written a line lower, so that none runs into the next."""
    high: list[Piece] = []
    for one in pieces:
        if not any(abs(other.x - one.x) < WRITTEN_MM and abs(other.foot - one.foot) < LINE_MM for other in high):
            high.append(one)
    return [one if one in high else replace(one, foot=round(one.foot + LINE_MM, 1)) for one in pieces]


def rests_on(figures: PhotoFigures) -> str:
    """What the colours rest on, with the error on patches that were left out."""
    found = figures.rests_on
    if not found:
        return ""
    if found.get("left_out_median_de00") is None:
        return f"the paper's white alone, \u00b1 {figures.spread_de00:.1f} (CIEDE2000, nine in ten)"
    left_out = f"patches left out are missed by {found['left_out_median_de00']:.1f} in the middle, {found['left_out_90_de00']:.1f} at worst of nine in ten"
    return f"{found['patches']} patches of your reference, by {found['rests_on']}; {left_out}"


def sets_of(figures: PhotoFigures) -> dict[str, Any] | None:
    """Which pieces go together and which stand out, in words; None for fewer than two pieces."""
    if len(figures.pieces) < 2:
        return None
    groups = [group for group in figures.sets if len(group) > 1]
    alone = [group[0] for group in figures.sets if len(group) == 1]
    widest = {group: max(pair[2] for pair in figures.pairs if pair[0] in group and pair[1] in group) for group in groups}
    return {
        "groups": [{"numbers": joined(group), "says": difference_sentence(widest[group]), "widest": f"{widest[group]:.1f}"} for group in groups],
        "alone": joined(alone),
        "many_alone": len(alone) > 1,
        "pairs": [
            {
                "one": one,
                "other": other,
                "de00": f"{de00:.1f}",
                "spread": f"\u00b1 {spread:.1f}",
                "says": difference_in_words(de00) if told_apart else "cannot be told apart here",
            }
            for one, other, de00, spread, told_apart in figures.pairs
        ],
    }


def kept_view(kept: Kept[KeptReading]) -> KeptView:
    """A kept reading as a line of a list."""
    reading = kept.thing
    asked = asked_of(reading.details)
    said = {"skein": "skein", "swatch": "swatch", "knitted": "knitted piece", "strand": "strand"}[reading.what]
    return KeptView(
        id=kept.id,
        photo=reading.photo,
        title=_capital(reading.said_of),
        colour=colour_of(reading.lab.values),
        spread=f"\u00b1 {reading.spread_de00:.1f}",
        what=f"{said}, {reading.state}" + (f", on {reading.base}" if reading.base else ""),
        lot=reading.lot,
        state=reading.state,
        when=reading.made_at.strftime("%Y-%m-%d %H:%M"),
        url=f"/measure/{reading.photo}{replace(asked, lot=reading.lot).query}",
    )


def beside_of(one: KeptReading, other: KeptReading) -> str:
    """Where the yarns of two kept readings lie side by side."""
    place = {"a": str(one.photo), "b": str(other.photo), "ap": str(one.details.get("piece", 1)), "bp": str(other.details.get("piece", 1))}
    return address("/measure/beside", place)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
