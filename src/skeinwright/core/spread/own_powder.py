"""What the dyer's own tests found of her powder, in place of what is assumed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from skeinwright.core.shelf.calibration import FOOTPRINT, GRAIN, GRAIN_SD, Calibration, newest
from skeinwright.core.spread.parameters import PowderParameters


def own_powder(powder: PowderParameters, calibrations: Iterable[Calibration]) -> tuple[PowderParameters, Calibration | None]:
    """`powder` with the grain, its scatter and its footprint as they were tested, and the calibration that says so; as it was, and None, where they were not.

    `calibrations` are those of one dye, newest first. The footprint in radii is the stain of a median grain over the grain, both from one test.
    """
    known = tuple(calibrations)
    stain, grain, scatter = (newest(known, quantity) for quantity in (FOOTPRINT, GRAIN, GRAIN_SD))
    if stain is None or grain is None or scatter is None or grain.value <= 0:
        return powder, None
    return replace(powder, grain_mm=grain.value, grain_sd=scatter.value, footprint=stain.value / grain.value), stain
