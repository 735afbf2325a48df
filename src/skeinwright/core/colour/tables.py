"""The tables of colorimetry: weights that turn a reflectance spectrum into X, Y, Z.

Spectra everywhere in this room are 31 reflectance factors (0-1) at 400, 410 ... 700 nm, in the last axis of an array.
"""

from __future__ import annotations

from csv import DictReader
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput

Array = NDArray[np.float64]

ILLUMINANTS: Final = ("A", "C", "D50", "D65", "FL2", "FL11", "LED-B3")
"""Incandescent lamp, old daylight, print daylight, daylight, cool white tube, shop's three-band tube, warm-neutral LED (CIE 15)."""
OBSERVERS: Final = (2, 10)
WAVELENGTHS_NM: Final[Array] = np.arange(400.0, 701.0, 10.0)
BANDS: Final = len(WAVELENGTHS_NM)


@cache
def _tables() -> dict[tuple[str, int], Array]:
    rows: dict[tuple[str, int], list[list[float]]] = {}
    text = files("skeinwright.core.colour").joinpath("data/weights.csv").read_text(encoding="utf-8")
    for row in DictReader(text.splitlines()):
        rows.setdefault((row["illuminant"], int(row["observer"])), []).append([float(row["wx"]), float(row["wy"]), float(row["wz"])])
    tables = {key: np.array(value) for key, value in rows.items()}
    for table in tables.values():
        table.setflags(write=False)
    return tables


def weights(illuminant: str = "D65", observer: int = 10) -> Array:
    """Weights (31, 3) of ASTM E308 at 10 nm: XYZ = R @ weights, with Y = 100 for a perfect white.

    Made once from colour-science (BSD-3) by proofs/make_colour_tables.py. Raises BadInput for an illuminant or observer that is not in the table.
    Sources: cie15, astm-e308.
    """
    try:
        return _tables()[illuminant, observer]
    except KeyError:
        known = ", ".join(ILLUMINANTS)
        asked = f"There is no table for illuminant {illuminant} with the {observer} degree observer."
        raise BadInput(f"{asked} Use one of {known}, with 2 or 10 degrees.") from None


def white_xyz(illuminant: str = "D65", observer: int = 10) -> Array:
    """X, Y, Z of a perfect white: the weights' own column sums, so that R = 1 is exactly L* 100, a* 0, b* 0."""
    white: Array = weights(illuminant, observer).sum(axis=0)
    return white
