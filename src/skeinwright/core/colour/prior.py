"""What a dye's spectrum looks like before any swatch is seen: the mean and the main directions of the log K/S of 3000 made-up dyes.

Each made-up dye is a sum of one to three absorption bands, Gaussian in wavenumber and skewed, on a floor; none is anyone's dye. They are made from a fixed
seed when first asked for (a few hundredths of a second), so no data is shipped and every machine has the same ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from skeinwright.core.colour.tables import BANDS, WAVELENGTHS_NM, Array

DYES = 3000
COMPONENTS = 10
"""How many directions a fit to Labs may use; a measured spectrum uses all."""
_SEED = 1931
_NUGGET = 0.03
"""The least standard deviation of a direction, so that a measured spectrum is not forced into the made-up family [assumed]."""


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """log K/S (31,) minus its own mean over the bands is `mean` (31,) + `directions` (31, 31) @ w, w_k being normal with standard deviation `sd` (31,)."""

    mean: Array
    directions: Array
    sd: Array


@cache
def prior() -> Prior:
    """The prior: mean and principal components of the centred log K/S of the made-up dyes, the strongest first."""
    logs = np.log(made_up_dyes(DYES, np.random.default_rng(_SEED)))
    centred = logs - logs.mean(axis=1, keepdims=True)
    mean = centred.mean(axis=0)
    _, scale, directions = np.linalg.svd(centred - mean, full_matrices=False)
    sd = np.maximum(scale / np.sqrt(DYES - 1), _NUGGET)
    for array in (mean, directions, sd):
        array.setflags(write=False)
    return Prior(mean, directions.T, sd)


def made_up_dyes(count: int, rng: np.random.Generator) -> Array:
    """K/S (count, 31), the strongest band about 1: bands at 370-680 nm, 1200-3200 cm-1 wide (standard deviation), skewed by up to 30 %, floor 10^-2.6..-1.3."""
    wavenumber = 1e7 / WAVELENGTHS_NM
    ks = np.zeros((count, BANDS))
    bands = rng.integers(1, 4, count)
    for band in range(3):
        centre = 1e7 / rng.uniform(370, 680, (count, 1))
        width = rng.uniform(1200, 3200, (count, 1))
        skew = rng.uniform(-0.3, 0.3, (count, 1))
        height = np.where(band < bands, rng.uniform(0.2, 1.0, count), 0.0)[:, None]
        off = wavenumber - centre
        ks += height * np.exp(-((off / (width * (1 + skew * np.sign(off)))) ** 2) / 2)
    made: Array = ks / ks.max(axis=1, keepdims=True) + 10 ** rng.uniform(-2.6, -1.3, (count, 1))
    return made
