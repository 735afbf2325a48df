"""What the page needs to edit places on the drawn open skein: its picture, the middle line of its drawn loop, and the steps that are put somewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.picture.laid_open import ROUND_MM, open_line
from skeinwright.services.forecast_colourway import ColourwaySheet
from skeinwright.web import colourway_view as view

WIDTH, HEIGHT = 900, 600
POINTS = 180


@dataclass(frozen=True, slots=True)
class Put:
    """A step that is put somewhere: its number, its word, the name of its field, and what is typed there or stands for it."""

    number: int
    do: str
    field: str
    usual: str


@dataclass(frozen=True, slots=True)
class Bands:
    """The drawn open skein: `line` is a closed SVG path of the loop's middle from the tie, in `width` x `height`; `breadth` is a limb's, in the same units."""

    picture: str
    alt: str
    line: str
    breadth: float
    round_cm: float
    steps: tuple[Put, ...]
    width: int = WIDTH
    height: int = HEIGHT


def bands_of(steps: Sequence[Step], sheet: ColourwaySheet, place: int) -> Bands:
    """The drawn open skein of the base at `place` of the sheet."""
    one = sheet.bases[place]
    line, breadth = open_line(WIDTH, HEIGHT, POINTS)
    laid = one.laid
    round_mm = laid.skein.round_mm if laid is not None else one.base.round_mm or ROUND_MM
    patterned = laid is not None and laid.is_patterned
    return Bands(
        picture=view.laid_url(laid, "laid open", "large") if laid is not None and patterned else view.picture_url(one, "laid open", "large"),
        alt=f"The skein{' of ' + one.base.name if one.base.name else ''} laid open, its first tie in the middle above.",
        line="M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in line) + "Z",
        breadth=round(breadth, 1),
        round_cm=round(round_mm / 10.0, 1),
        steps=puts_of(steps),
    )


def puts_of(steps: Sequence[Step]) -> tuple[Put, ...]:
    """The steps that say where on the skein."""
    found = []
    for number, step in enumerate(steps, start=1):
        slots = WORDS[step.do].slots if step.do in WORDS else ()
        found += [Put(number, step.do, f"s.{number - 1}.{slot.key}", slot.default or "all") for slot in slots if slot.kind == "place"]
    return tuple(found)
