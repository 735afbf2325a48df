"""Powder: grains of lognormal size at chance places, dissolving where they fall."""

from __future__ import annotations

from dataclasses import dataclass
from math import erf, exp, log, pi, sqrt

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.parameters import PowderParameters

MOST_GRAINS = 400_000
"""More grains than this are drawn as so many, each standing for several."""
LARGEST_SD = 2.0
"""No grain is larger than r_m sigma^2: a shaker's holes and the maker's sieve hold it back [assumed]. Without it a tenth of the powder would take half
an hour."""


@dataclass(frozen=True, slots=True)
class Grains:
    """Places (cm), radii (cm) and masses (mg) of grains; the masses add up to what was sprinkled."""

    x_cm: Array
    y_cm: Array
    radius_cm: Array
    mass_mg: Array


def mean_grain_mg(powder: PowderParameters) -> float:
    """Mean mass: 4/3 pi rho r_m^3 e^(4.5 L^2) P(2 - 3 L)/P(2), L = ln(sigma), P the normal distribution: the cut lognormal's. 0.0143 mg for 0.12 mm, 1.6."""
    width = log(powder.grain_sd)
    kept = _below(LARGEST_SD - 3 * width) / _below(LARGEST_SD)
    return 4 / 3 * pi * powder.density_mg_cm3 * (powder.grain_mm / 10) ** 3 * exp(4.5 * width**2) * kept


def _below(z: float) -> float:
    return 0.5 * (1 + erf(z / sqrt(2)))


def sprinkle(mass_mg: float, powder: PowderParameters, rng: np.random.Generator, length_cm: float, width_cm: float, *, clump: float = 1.0) -> Grains:
    """`mass_mg` of powder at chance over length x width; `clump` (1 or more) multiplies the radii, as damp powder clumps do."""
    mean = mean_grain_mg(powder) * clump**3
    count = int(rng.poisson(mass_mg / mean)) if mass_mg / mean < MOST_GRAINS else MOST_GRAINS
    count = max(count, 1) if mass_mg > 0 else 0
    radius = powder.grain_mm / 10 * clump * np.exp(log(powder.grain_sd) * _cut_normal(count, rng))
    volume = radius**3
    mass = volume * (mass_mg / volume.sum()) if count else volume
    return Grains(rng.uniform(0, length_cm, count), rng.uniform(0, width_cm, count), radius, mass)


def _cut_normal(count: int, rng: np.random.Generator) -> Array:
    """Normal numbers not above `LARGEST_SD`."""
    from scipy.special import ndtri

    return np.asarray(ndtri(np.maximum(rng.random(count), 1e-12) * _below(LARGEST_SD)))


def smear(grains: Grains, length_cm: float, rng: np.random.Generator) -> Grains:
    """Each grain in eight pieces of half its radius, at chance along `length_cm` of its strand."""
    x = np.repeat(grains.x_cm, 8)
    moved = x + length_cm * rng.uniform(-0.5, 0.5, x.size)
    return Grains(moved, np.repeat(grains.y_cm, 8), np.repeat(grains.radius_cm / 2, 8), np.repeat(grains.mass_mg / 8, 8))


def dissolved(time_s: float, dissolve_s: Array) -> Array:
    """Share of each grain that is in solution: 1 - (1 - t/t_d)^(3/2), 1 from t_d on."""
    return np.asarray(1 - np.clip(1 - time_s / np.maximum(dissolve_s, 1e-12), 0, 1) ** 1.5)


def progress(step_s: float, dissolve_s: Array, done: Array) -> Array:
    """t/t_d after a further step: grains keep their place on the curve when heat changes how fast they dissolve."""
    return np.minimum(1.0, done + step_s / np.maximum(dissolve_s, 1e-12))


def gains(rows: int, dy_cm: float, strand_cm: float, spread: float, rng: np.random.Generator) -> Array:
    """How much each row takes of a grain beside its neighbours: one lognormal draw a strand, mean 1."""
    strands = int(np.ceil(rows * dy_cm / strand_cm)) + 1
    drawn = np.exp(spread * rng.standard_normal(strands) - spread * spread / 2)
    return np.asarray(drawn[np.minimum((np.arange(rows) * dy_cm / strand_cm).astype(int), strands - 1)])
