"""Wet and dry yarn: one number a base.

    K/S_wet = m K/S_dry        m = 2.8 (assumed, log-normal with 0.25) for a soaked yarn; fitted from swatches seen wet and dry

Water between the fibres matches their refractive index, so that less light is scattered back while as much is absorbed; a film of water adds light that is
caught by reflection from inside. The film alone is `film_wet`, and is the least that wetness does. It holds for yarn without glare, seen in diffuse light;
superwash, untreated and silk-like yarns have different m. Sources: angstrom1925, lekner1988 (first page seen), twomey1986 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import ks_from_r, r_from_ks
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import Array
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Lab

SOAKED = 2.8
SOAKED_SPREAD = 0.25
"""Standard deviation of ln m [assumed]."""
SATURATED_AT = 0.4
"""Grams of water in a gram of fibre from which more water changes the colour no more [assumed]."""
FEWEST_PAIRS = 3
_FLOOR = 1e-6


@dataclass(frozen=True, slots=True)
class Wetness:
    """m of one base and wetness, the standard deviation of ln m, and the mean CIEDE2000 that the pairs are off with it (None where it is assumed)."""

    m: float
    log_sd: float
    left_de00: float | None = None


ASSUMED = Wetness(SOAKED, SOAKED_SPREAD)


def wet_r(dry: Array, m: float | Array = SOAKED) -> Array:
    """Reflectance of the wet yarn: R(m q(R_dry)). Also right for each channel of linear RGB where no spectrum is known, within about 0.6 CIEDE2000."""
    wet: Array = r_from_ks(m * ks_from_r(np.clip(dry, _FLOOR, 1.0)))
    return wet


def dry_r(wet: Array, m: float | Array = SOAKED) -> Array:
    """Reflectance of the yarn once it is dry: the inverse of `wet_r`."""
    dry: Array = r_from_ks(ks_from_r(np.clip(wet, _FLOOR, 1.0)) / m)
    return dry


def m_at(water: float, soaked: float = SOAKED, saturated_at: float = SATURATED_AT) -> float:
    """m of yarn with `water` grams in a gram of fibre: 1 + (soaked - 1) min(1, water/saturated_at)."""
    return 1 + (soaked - 1) * min(1.0, max(water, 0.0) / saturated_at)


def fit_wetness(pairs: Sequence[tuple[Lab, Lab]]) -> Wetness:
    """m of (dry, wet) Labs of three or more swatches of one base: ln m by least squares, with the assumed m as its prior. Raises BadInput for fewer.

    The wet reading is meant to be off by 2 in each of L*, a*, b* [assumed].
    """
    if len(pairs) < FEWEST_PAIRS:
        raise BadInput(f"{FEWEST_PAIRS} swatches or more have to be seen wet and dry; there are {len(pairs)}.")
    dry = np.array([recover(one).reflectance for one, _ in pairs])
    wet = np.array([spectrum_to_lab(recover(other).reflectance) for _, other in pairs])
    grid = np.linspace(np.log(1.0), np.log(8.0), 701)
    seen = spectrum_to_lab(wet_r(dry, np.exp(grid)[:, None, None]))
    cost = ((seen - wet) ** 2).sum(axis=(1, 2)) / 2.0**2 + ((grid - np.log(SOAKED)) / SOAKED_SPREAD) ** 2
    weight = np.exp(-(cost - cost.min()) / 2)
    weight /= weight.sum()
    mean = float((weight * grid).sum())
    sd = float(np.sqrt((weight * (grid - mean) ** 2).sum()))
    m = float(np.exp(mean))
    return Wetness(m, sd, float(ciede2000(spectrum_to_lab(wet_r(dry, m)), wet).mean()))


def diffuse_fresnel(n: float) -> float:
    """Mean reflection of diffuse light at a surface into index n > 1, Walsh's closed form: 0.06641 for water (1.333), 0.09178 for 1.5."""
    square = n * n
    log = np.log((n - 1) / (n + 1))
    first = 0.5 + (n - 1) * (3 * n + 1) / (6 * (n + 1) ** 2) + square * (square - 1) ** 2 / (square + 1) ** 3 * log
    second = -2 * n**3 * (square + 2 * n - 1) / ((square + 1) * (square * square - 1))
    third = 8 * square**2 * (square**2 + 1) / ((square + 1) * (square * square - 1) ** 2) * np.log(n)
    return float(first + second + third)


def film_wet(dry: Array, n: float = 1.333) -> Array:
    """Reflectance under a film of water alone: (1 - p) R/(1 - p R), p = 1 - (1 - Rbar(n))/n^2 the share that is caught. Source: angstrom1925, lekner1988."""
    p = 1 - (1 - diffuse_fresnel(n)) / n**2
    dry = np.asarray(dry, dtype=float)
    wet: Array = (1 - p) * dry / (1 - p * dry)
    return wet
