"""Correct the recipe of a lot from how it came out: its measured colour, read now or kept, dry or still wet."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.kept_reading import RADIUS_OVER_SD
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import READING_SD, Lab, Reading
from skeinwright.services.bring_to_light import bring_to_light
from skeinwright.services.correct_recipe import CorrectedRecipe, CorrectRequest, correct_recipe
from skeinwright.services.find_lot_colour import LotColour, find_lot_colour
from skeinwright.services.find_measured_colour import newest_of
from skeinwright.services.find_target import Target, TargetWanted, find_target
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.get_lot import get_lot
from skeinwright.services.keep_recipe import target_of
from skeinwright.services.see_wet import dried
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.tables import Array

WET = "wet"


@dataclass(frozen=True, kw_only=True, slots=True)
class CorrectLot:
    """The lot and row (0: its first), the measured and the wanted colour as typed ("": what is kept, what was wanted), "dry" or "wet" yarn.

    `picked` is the text of a colour that was picked in a photo: where it is what stands in `measured`, the reading is as unsure as a pick is.
    """

    lot: str
    row: int = 0
    measured: str = ""
    target: str = ""
    state: str = "dry"
    picked: str = ""


@dataclass(frozen=True, slots=True)
class KeptColour:
    """The newest reading of a lot's dry skein: as text, its day, its photo and its standard deviation in each of L*, a*, b*."""

    text: str
    day: str
    photo: int
    sd: float


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class CorrectedLot:
    """The correction, what went in, what was wanted, the dry trial's spectrum (31,), and what was said of the reading."""

    dyed: LotColour
    found: CorrectedRecipe
    wanted: Target
    spectrum: Array = field(repr=False)
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def correct_lot(studio: Studio, request: CorrectLot) -> CorrectedLot:
    """The correction. Raises BadInput with `where` the field, or NotFound for an unknown lot."""
    import numpy as np

    from skeinwright.core.colour.recover import recover

    dyed = find_lot_colour(studio, request.lot, request.row)
    kept = kept_colour(studio, dyed)
    typed = request.measured.strip() or (kept.text if kept is not None else "")
    if not typed:
        raise BadInput("How did it come out? Type the colour of the dry skein, or measure it in a photo.", where="measured")
    read = _read(studio, typed, "measured")
    wanted = _read(studio, request.target.strip() or wanted_colour(studio, dyed), "target")
    reading, sd = _read_as(typed, kept, request.picked.strip())
    lab, spectrum = read.lab, read.spectrum
    notes: tuple[str, ...] = ()
    if request.state == WET:
        lab, off, rests_on = dried(studio, lab, dyed.base)
        spectrum = recover(lab).reflectance
        sd = float(np.hypot(sd or READING_SD[reading], off / RADIUS_OVER_SD))
        notes = (f"It was read wet; dry it will be near L, a, b {_text(lab)}, give or take {off:.1f} for the wetness alone. {rests_on}",)
    target, changed = bring_to_light(wanted.lab, like=lab)
    doses = [f"{name}={100 * depth:.6g} %" for name, depth in dyed.doses.items()]
    asked = CorrectRequest(doses=doses, target=target, measured=write_lab(lab), reading=reading, sd=sd, ground=dyed.ground, uptake=dyed.uptake)
    found = correct_recipe(gather_dyes(studio), asked)
    return CorrectedLot(dyed=dyed, found=found, wanted=wanted, spectrum=spectrum, notes=notes, assumed=(changed,) if changed else ())


def kept_colour(studio: Studio, dyed: LotColour) -> KeptColour | None:
    """The newest reading of a dry skein of the lot, if it is of this row's base; None where there is none."""
    with studio.store.reading() as reading:
        found = newest_of(reading, dyed.lot)
    if found is None or (found.base and found.base != dyed.base):
        return None
    lab = found.lab
    text = write_lab(replace(lab, L=round(lab.L, 1), a=round(lab.a, 1), b=round(lab.b, 1)))
    return KeptColour(text, f"{found.made_at:%Y-%m-%d}", found.photo, found.sd)


def wanted_colour(studio: Studio, dyed: LotColour) -> str:
    """The colour that was wanted, as text: what the colourway's notes say, else what was forecast of what went in."""
    return target_of(get_lot(studio, dyed.lot).lot.colourway) or _text(dyed.lab)


def _read(studio: Studio, text: str, where: str) -> Target:
    try:
        return find_target(studio, TargetWanted(text=text))
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, text=text) from problem


def _read_as(text: str, kept: KeptColour | None, picked: str) -> tuple[Reading, float | None]:
    """How the colour was read: a mark counts only for the very colour that it was made for."""
    if kept is not None and text == kept.text:
        return Reading.SHEET, kept.sd
    if text == picked:
        return Reading.PHOTO, None
    return (Reading.HEX if text.startswith("#") else Reading.TYPED), None


def _text(lab: Lab) -> str:
    return ", ".join(f"{value:.1f}" for value in lab.values)
