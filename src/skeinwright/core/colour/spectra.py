"""Measured reflectance spectra, brought to the 31 bands of this room."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import WAVELENGTHS_NM, Array
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Lab

FLUORESCENT = 0.95
"""A dyed sample that reflects more than this in any band may fluoresce [assumed]."""
_COARSEST_NM = 20.0
_REACH_NM = 20.0


def on_bands(spectrum: Sequence[tuple[float, float]]) -> Array:
    """Reflectance (31,) at 400 ... 700 nm of (wavelength nm, reflectance 0-1) pairs, between readings by a shape-keeping cubic (PCHIP).

    Beyond the first and last reading the end value is kept, for at most 20 nm. Raises BadInput for steps over 20 nm, missing ends, or values outside 0-2
    (per cent instead of fractions is the usual reason).
    """
    from scipy.interpolate import PchipInterpolator

    points = sorted((float(nm), float(value)) for nm, value in spectrum)
    nm, value = np.array([point[0] for point in points]), np.array([point[1] for point in points])
    if len(points) < 2 or np.any(np.diff(nm) <= 0):
        raise BadInput("A spectrum needs at least two readings, each wavelength once.")
    if nm[0] > WAVELENGTHS_NM[0] + _REACH_NM or nm[-1] < WAVELENGTHS_NM[-1] - _REACH_NM or float(np.diff(nm).max()) > _COARSEST_NM:
        given = f"The spectrum runs from {nm[0]:g} to {nm[-1]:g} nm in steps of up to {np.diff(nm).max():g} nm."
        raise BadInput(f"{given} It must cover 400 to 700 nm in steps of 20 nm or less.")
    if not np.all(np.isfinite(value)) or value.min() < 0 or value.max() > 2:
        raise BadInput("Reflectance must lie between 0 and 2, where 1 is a perfect white. Divide by 100 if yours is in per cent.")
    wanted = np.clip(WAVELENGTHS_NM, nm[0], nm[-1])
    bands: Array = np.asarray(PchipInterpolator(nm, value)(wanted), dtype=float)
    return bands


def measured_lab(spectrum: Sequence[tuple[float, float]], illuminant: str = "D65", observer: int = 10) -> Lab:
    """The Lab of a measured spectrum."""
    L, a, b = (float(value) for value in spectrum_to_lab(on_bands(spectrum), illuminant, observer))
    return Lab(L, a, b, illuminant, observer)


def may_fluoresce(reflectance: Array) -> bool:
    """True where a dyed sample reflects more than 95 % of the light in some band: the mixing model cannot describe that dye [assumed]."""
    return bool(np.max(reflectance) > FLUORESCENT)
