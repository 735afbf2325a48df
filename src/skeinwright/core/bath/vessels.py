"""Pots and pans as volumes. Insides are taken as straight-sided."""

from __future__ import annotations

from math import pi

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Vessel

WOOL_G_ML = 1.31
"""Density of wool fibre (handbook value, from memory): what wet yarn pushes aside."""

BED_SHARE = (0.12, 0.06, 0.20)
"""Share of fibre in the volume of wet yarn that lies loose in a pot: usual, least, most [assumed]."""


def floor_mm2(vessel: Vessel) -> float:
    """Area of the floor: length x width, or pi/4 diameter^2 for a round one (`length_mm` is its diameter)."""
    if vessel.shape == "round":
        return pi / 4 * vessel.length_mm**2
    if vessel.width_mm is None:
        raise BadInput(f"{vessel.name} is a rectangle and needs a width.", where="width")
    return vessel.length_mm * vessel.width_mm


def brim_ml(vessel: Vessel) -> float:
    """Volume to the brim: floor x height. A pan of 50 x 30 x 10 cm holds 15 l."""
    return floor_mm2(vessel) * vessel.height_mm / 1000


def displaced_ml(fibre_g: float) -> float:
    """What the fibre itself pushes aside: fibre_g / 1.31."""
    return fibre_g / WOOL_G_ML


def level_mm(vessel: Vessel, liquor_ml: float, fibre_g: float = 0.0) -> float:
    """How high liquor stands with the yarn under it: 1000 (liquor + fibre/1.31) / floor. May be over the brim."""
    return 1000 * (liquor_ml + displaced_ml(fibre_g)) / floor_mm2(vessel)


def liquor_for_level_ml(vessel: Vessel, level: float, fibre_g: float = 0.0) -> float:
    """The liquor that stands at `level` (mm) with the yarn in it; the inverse of `level_mm`."""
    return level * floor_mm2(vessel) / 1000 - displaced_ml(fibre_g)


def bed_mm(vessel: Vessel, fibre_g: float, fibre_share: float = BED_SHARE[0]) -> float:
    """How high loose wet yarn lies: 1000 fibre / (1.31 share floor)."""
    return 1000 * displaced_ml(fibre_g) / (fibre_share * floor_mm2(vessel))
