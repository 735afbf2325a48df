"""Where dye lies, in the margin's words: specks, front and back, what stayed in the liquor, the balance, and powder for a wish."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skeinwright.core.colour.eye import depth_in_words
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.say import say
from skeinwright.core.spread.plain import plain_ranges, sides_in_words
from skeinwright.services.dose_powder import ASSUMED_HALF_MG_CM2, PowderWish, dose_powder
from skeinwright.services.film_session import Moment, moments_of
from skeinwright.services.forecast_colourway import OnBase
from skeinwright.services.map_colourway import MappedColourway
from skeinwright.web.colourway_margin import Line

STRIP_FRAMES = 8
WISH_FIELDS = ("wish.coverage", "wish.stitch")


@dataclass(frozen=True, slots=True)
class Told:
    """The block "On the skein": its lines, the guidance, what cannot be counted, and the film where there is one."""

    key: str
    base: str
    how: str
    lines: tuple[Line, ...]
    sentences: tuple[str, ...]
    by_dye: tuple[tuple[str, tuple[Line, ...]], ...]
    film: tuple[Moment, ...]

    @property
    def strip(self) -> tuple[Moment, ...]:
        """A few moments of the film, evenly, for the strip below the picture."""
        last = len(self.film) - 1
        return tuple(self.film[place] for place in sorted({round(k * last / (STRIP_FRAMES - 1)) for k in range(STRIP_FRAMES)})) if last > 0 else ()


def told_of(laid: MappedColourway | None) -> Told | None:
    """None where dye lies evenly."""
    if laid is None or (plain := laid.figures) is None:
        return None
    each = tuple((name, tuple(_each(one))) for name, one in plain["by_dye"].items()) if len(plain["by_dye"]) > 1 else ()
    return Told(laid.key, laid.base.name, laid.how, (*_specks(plain, plain_ranges(plain, laid.ranges)), *_pan(plain)), laid.sentences, each, moments_of(laid))


@dataclass(frozen=True, slots=True)
class Wish:
    """A wish for powder as typed, and what is said to it; `wrong` is the sentence beside the fields."""

    coverage: str
    stitch: str
    sentences: tuple[str, ...]
    wrong: str


def wish_of(said: Mapping[str, str], one: OnBase) -> Wish:
    """The answer to the margin's wish, with the speck that this session makes where it can be counted."""
    coverage, stitch = said.get("wish.coverage", ""), said.get("wish.stitch", "")
    if not coverage and not stitch:
        return Wish("", "", (), "")
    laid, speck, half = one.laid, None, ASSUMED_HALF_MG_CM2
    if laid is not None and laid.panel is not None and laid.figures is not None:
        speck = laid.figures["speckle_mm"]
        half = laid.panel.session.laid.half_mg_cm2
    try:
        return Wish(coverage, stitch, dose_powder(PowderWish(coverage=coverage, per_stitch=stitch, speck_mm=speck, half_mg_cm2=half), one.base).sentences, "")
    except BadInput as error:
        return Wish(coverage, stitch, (), error.sentence)


def _specks(plain: Mapping[str, Any], ranges: Mapping[str, list[float]]) -> list[Line]:
    side = "the side below" if plain["counted_side"] == "below" else "the face"
    if plain["speckle_mm"] is None:
        if plain["coverage"] > 0.12:
            return [Line("Specks", "not counted", "above 12 % coverage they run together, and counting fails")]
        likely = _likely(ranges, "half_width_mm").removesuffix("; ")
        over = f"close up, on 5 cm of it: over about {plain['half_width_mm']:.1f} mm"
        return [Line("Unevenness", _much(plain["contrast"]), f"{over}, {likely}" if likely else over)]
    return [
        Line(
            "Specks",
            f"{plain['speckle_mm']:.1f} mm",
            f"{_likely(ranges, 'speckle_mm', '', 1)}half as strong {plain['half_width_mm']:.1f} mm away; as dyed, wet",
        ),
        Line("Number", f"{_two(plain['per_gram'])} a gram", f"{_likely(ranges, 'per_gram')}{_two(plain['per_cm2'])} to a square centimetre of {side}"),
        Line("Coverage", f"{100 * plain['coverage']:.0f} %", f"{_likely(ranges, 'coverage', ' %', 100)}of {side} in specks"),
    ]


def _likely(ranges: Mapping[str, list[float]], name: str, unit: str = "", times: float = 1.0) -> str:
    """An interval in words, such as "likely 1.2 to 2.9; ", or nothing where it was not worked out."""
    if name not in ranges:
        return ""
    low, high = (_two(times * value) for value in ranges[name])
    return f"likely {low} to {high}{unit}; "


def _pan(plain: Mapping[str, Any]) -> list[Line]:
    lines = []
    if plain["front_back"] is not None:
        lines.append(Line(*sides_in_words(plain["front_back"])))
    left, powder = plain["bath_left_fraction"], plain["undissolved_fraction"]
    lines.append(Line("On the yarn", f"{100 * plain['on_fibre_fraction']:.0f} %", "of all dye"))
    lines.append(Line("In the liquor", _share(left), "the liquor is clear" if left < 0.03 else "the liquor is not clear"))
    if powder > 0.005:
        lines.append(Line("Still powder", _share(powder), "undissolved at the end"))
    lines.append(Line("Liquor at the end", say("volume", plain["liquor_left_ml"]), f"free and held, at {plain['end_temp_c']:.0f} C"))
    lines.append(_balance(abs(plain["mass_balance"])))
    return lines


def _balance(off: float) -> Line:
    """Whether all the dye is found again: to the hundred-thousandth it is only rounding, and its figure would tell a dyer nothing."""
    if off < 1e-5:
        return Line("Balance", "all found again", "the dye put in, to a part in 100,000")
    return Line("Balance", f"off by {100 * off:.2g} %", "of the dye put in")


def _each(one: dict[str, Any]) -> list[Line]:
    more = f"{one['speckle_mm']:.1f} mm specks, {_two(one['per_gram'])} a gram" if one["speckle_mm"] is not None else ""
    return [Line("on the yarn", f"{100 * one['on_fibre_fraction']:.0f} %", ", ".join(part for part in (depth_in_words(one["depth"]), more) if part))]


def _share(value: float) -> str:
    return f"{100 * value:.1f} %" if value < 0.1 else f"{100 * value:.0f} %"


def _two(value: float) -> str:
    return f"{float(f'{value:.2g}'):g}"


def _much(contrast: float) -> str:
    return "hardly any" if contrast < 0.1 else "soft" if contrast < 0.4 else "strong"
