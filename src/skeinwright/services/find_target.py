"""The colour that a recipe is wanted for: typed, or that of a colourway on one of its bases, or that of a lot."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.find_lot_colour import find_lot_colour
from skeinwright.services.find_measured_colour import newest_of
from skeinwright.services.find_recipe import find_recipe
from skeinwright.services.read_colour import ColourRequest, read_colour
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skeinwright.core.colour.tables import Array
    from skeinwright.core.lot.lot import Row

WAYS = ("typed", "colourway", "lot")


@dataclass(frozen=True, kw_only=True, slots=True)
class TargetWanted:
    """`way` is one of `WAYS`: `text`, a `colourway` (number or name) as it is on `base`, or a `lot` (code) and its `row`.

    `text` is "40, 20, 10", "#7a3b3f", or "40, 20, 10 D65/2 +- 2.4" where the colour is only known within that (CIEDE2000), as one from a photo is.
    """

    way: str = "typed"
    text: str = ""
    colourway: int | str = ""
    base: str = ""
    lot: str = ""
    row: int = 0


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Target:
    """The colour, what it is in words, and a spectrum (31,) that has it: the forecast's own where `is_known`, else the smoothest."""

    lab: Lab
    said: str
    spectrum: Array = field(repr=False)
    is_known: bool
    warnings: tuple[str, ...] = ()
    spread_de00: float | None = None
    """How well the colour itself is known: nine in ten lie within this (CIEDE2000). None where it is meant exactly, or not said.

    A recipe is forecast for the 10 degree observer: 0.5 is added for a colour that was read for 2 degrees, since only a guessed spectrum leads from one to
    the other.
    """

    @property
    def text(self) -> str:
        """The Lab as typed, to one decimal."""
        L, a, b = (round(value, 1) for value in self.lab.values)
        return write_lab(Lab(L, a, b, self.lab.illuminant, self.lab.observer))

    @property
    def pairs(self) -> tuple[tuple[float, float], ...]:
        """The spectrum as (nm, reflectance), 400 to 700 nm by 10."""
        return tuple((400.0 + 10 * place, float(value)) for place, value in enumerate(self.spectrum))


def find_target(studio: Studio, wanted: TargetWanted) -> Target:
    """The target. A lot's is its measured colour where a dry skein of it was read, else its forecast; `said` tells which.

    Raises BadInput or NotFound where it cannot be read or its colour is not known.
    """
    from skeinwright.core.colour.recover import recover

    if wanted.way == "colourway":
        if not wanted.colourway:
            raise BadInput("Say which colourway.", where="colourway")
        recipe = find_recipe(studio, wanted.colourway, wanted.base)
        said = (f"{recipe.name} on {recipe.base}" if recipe.base else recipe.name) + ("" if recipe.is_even else ", where it is coloured")
        return Target(lab=recipe.lab, said=said, spectrum=recipe.spectrum, is_known=True)
    if wanted.way == "lot":
        if not wanted.lot.strip():
            raise BadInput("Say which lot.", where="lot")
        return _of_lot(studio, wanted)
    if not wanted.text.strip():
        raise BadInput("Type the colour: L, a, b such as '40, 20, 10', or hex such as #7a3b3f.", where="target")
    typed, spread = _with_spread(wanted.text)
    try:
        read = read_colour(ColourRequest(text=typed))
    except BadInput as problem:
        raise BadInput(problem.sentence, where="target", text=wanted.text) from problem
    said = read.said if read.said.startswith("#") else f"Lab {write_lab(read.lab)}"
    warnings = read.warnings
    if spread is not None:
        spread = _for_recipes(spread, read.lab)
        said = f"{said}, known within \u00b1 {spread:.1f}"
        warnings = (*warnings, f"The target itself is only known within {spread:.1f}: a recipe that misses it by less may be as right as the nearest.")
    return Target(lab=read.lab, said=said, spectrum=recover(read.lab).reflectance, is_known=False, warnings=warnings, spread_de00=spread)


def _with_spread(text: str) -> tuple[str, float | None]:
    """The colour, and the number behind its plus-minus sign. Raises BadInput where that is no spread."""
    colour, sign, typed = text.replace("+/-", "\u00b1").replace("+-", "\u00b1").partition("\u00b1")
    if not sign:
        return text, None
    try:
        spread = float(typed.strip().replace(",", "."))
    except ValueError:
        spread = 0.0
    if not 0 < spread <= 50:
        raise BadInput("Behind the plus-minus sign write how well the colour is known, such as '40, 20, 10 +- 2.4'.", where="target", text=text)
    return colour.strip(), spread


def _for_recipes(spread_de00: float, lab: Lab) -> float:
    """The spread of a colour that was read as `lab` once it is held against forecasts."""
    from skeinwright.core.colour.recover import ADDED_SD_OBSERVER

    return spread_de00 + (ADDED_SD_OBSERVER if lab.observer != 10 else 0.0)


def _of_lot(studio: Studio, wanted: TargetWanted) -> Target:
    """The lot's measured colour, if that is of the row's base; the forecast otherwise."""
    from skeinwright.core.colour.recover import recover

    with studio.store.reading() as reading:
        lot = reading.lot(wanted.lot.strip().upper())
        measured = newest_of(reading, lot.code)
    base = _base_of(lot.rows, wanted.row)
    if measured is not None and (not measured.base or not base or measured.base == base):
        on = f" on {measured.base or base}" if measured.base or base else ""
        spread = _for_recipes(measured.spread_de00, measured.lab)
        said = f"lot {measured.lot}{on}, as measured on {measured.made_at:%Y-%m-%d} (likely within {spread:.1f})"
        return Target(lab=measured.lab, said=said, spectrum=recover(measured.lab).reflectance, is_known=False, spread_de00=spread)
    dyed = find_lot_colour(studio, wanted.lot, wanted.row)
    return Target(lab=dyed.lab, said=f"lot {dyed.lot} on {dyed.base}, as forecast", spectrum=dyed.spectrum, is_known=True)


def _base_of(rows: Sequence[Row], row: int) -> str:
    chosen = next((one for one in rows if one.number == row), rows[0] if rows and not row else None)
    return "" if chosen is None else chosen.base
