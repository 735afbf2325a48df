"""Samples of liquor over time against the dye's class: how many times as fast the dye goes on, and how much of it belongs on the fibre.

The pot's own law (`kinetics.advance`: film, skin, fibre, full sites) is run for every pair of factors at once, so that what is found here is what the
forecast multiplies by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.bath.calibrate import LiquorSample
from skeinwright.core.bath.classes import REFERENCE_ANIONS_EQ_L, dye_class
from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan
from skeinwright.core.bath.isotherm import partition
from skeinwright.core.bath.kinetics import (
    DIFFUSION_95,
    FIBRE_RADIUS_M,
    FILM_SPREAD,
    OFF_RATE,
    ON_RATE,
    SKIN_SHARE,
    SUPERWASH_SPEED_95,
    WOOL_ACTIVATION,
    Going,
    Rates,
    advance,
    film_m,
    pieces,
    relative_rate,
    superwash_activation,
    supply_l_kg_s,
    water_diffusion_m2_s,
)
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.posterior import NINETY, factor_estimate, factor_prior, off

if TYPE_CHECKING:
    from skeinwright.core.bath.isotherm import Array

PARTITION_PRIOR, RATE_PRIOR = 3.0, 5.0
"""The class's partition is right within a factor of 3, its speed in the fibre within 5, 90 % (`classes`, `kinetics.DIFFUSION_95`)."""
POINTS, FILMS = 33, 5


@dataclass(frozen=True, kw_only=True, slots=True)
class SampledPot:
    """The pot that was sampled: the dye's class, whether the yarn is superwash, liquor over dry fibre (L/kg), dose (g/kg), temperature held, and its pH."""

    dye_class: str
    superwash: bool
    ratio_l_kg: float
    dose_g_kg: float
    temp_c: float
    ph: float
    stirred: bool = True


@dataclass(frozen=True, slots=True)
class ClassFactors:
    """Speed in the fibre and partition, each over that of the dye's class."""

    rate: Estimate
    partition: Estimate


def class_factors(pot: SampledPot, samples: Sequence[LiquorSample]) -> ClassFactors:
    """The two factors by which this dye differs from its class on this yarn, from what is left in the liquor at some times.

        D = rate x the class's D(T),   Kp = partition x the class's Kp(T, pH, 0.02 eq/L);   left(t) by `kinetics.advance`
        left read = left + normal error of each sample's own half width;   priors: rate 1 (times or divided by 5), partition 1 (by 3), film (by 2)

    On a grid of 33 x 33 x 5, the film summed out. Samples from the first minutes tell the rate, a late one the partition; where the film alone sets the
    pace the rate stays as it was assumed, and its interval says so.
    """
    import numpy as np

    if len(samples) < 2:
        raise BadInput("Two samples of the liquor at least, an early one and a late one.", where="samples")
    if any(not 0 <= one.left <= 1.25 or one.time_s <= 0 for one in samples):
        raise BadInput("A sample is a share between 0 and 1 of the fresh liquor, and a time after the yarn went in.", where="samples")
    ln_rate, rate_density = factor_prior(1.0, 1 / RATE_PRIOR, RATE_PRIOR, points=POINTS)
    ln_kp, kp_density = factor_prior(1.0, 1 / PARTITION_PRIOR, PARTITION_PRIOR, points=POINTS)
    ln_film, film_density = factor_prior(1.0, 1 / FILM_SPREAD, FILM_SPREAD, points=FILMS, reach=1.2)
    density = rate_density[:, None, None] + kp_density[None, :, None] + film_density[None, None, :]
    rate, kp, film = (one.ravel() for one in np.meshgrid(np.exp(ln_rate), np.exp(ln_kp), np.exp(ln_film), indexing="ij"))
    ordered = sorted(samples, key=lambda one: one.time_s)
    left = left_in_liquor(pot, [one.time_s for one in ordered], rate, kp, film)
    for place, one in enumerate(ordered):
        density = density + off(one.left, left[place].reshape(density.shape), one.half_width / NINETY)
    return ClassFactors(factor_estimate(density, ln_rate, 0, unit="x"), factor_estimate(density, ln_kp, 1, unit="x"))


def left_in_liquor(pot: SampledPot, times_s: Sequence[float], rate: Array, partition_factor: Array, film: Array) -> Array:
    """The share of the dye still in the liquor at rising times (times, n), for `n` draws of the three factors; the temperature is held.

    The class, its heat of dyeing and activation energy are at their usual values. Steps grow with time: 1/40 of the time passed, 2 s at first.
    """
    import numpy as np

    found, n = dye_class(pot.dye_class), len(rate)
    usual = WOOL_ACTIVATION.value
    activation = float(superwash_activation(usual)) if pot.superwash else usual
    filled = donnan(10**-pot.ph, REFERENCE_ANIONS_EQ_L, WOOL_SITES_MOL_KG).filled
    kp = float(partition(found.ionic, found.neutral, filled, found.sulphonates, REFERENCE_ANIONS_EQ_L, pot.temp_c)) * partition_factor
    speed = DIFFUSION_95.value * found.speed.value * (SUPERWASH_SPEED_95.value if pot.superwash else 1.0)
    turns = speed * float(relative_rate(pot.temp_c, activation)) / FIBRE_RADIUS_M**2 * rate
    slower = float(pieces(pot.temp_c, found.pieces_cold, found.pieces_hot)) ** (1 / 3)
    supply = np.asarray(supply_l_kg_s(water_diffusion_m2_s(pot.temp_c) / slower, film_m(pot.temp_c, pot.stirred) * film))

    def shaped(values: Array) -> Array:
        return np.asarray(values, dtype=float).reshape(n, 1, 1)

    skin = None if pot.superwash else shaped(1 / (OFF_RATE * turns * SKIN_SHARE.value))
    rates = Rates(shaped(kp), np.full((n, 1, 1), found.saturation_g_kg.value), shaped(ON_RATE * turns), shaped(supply), skin_s=skin)
    c0 = pot.dose_g_kg / pot.ratio_l_kg
    going = Going(np.full((n, 1), c0), np.zeros((n, 1, 1)), np.zeros((n, 1, 1)))
    mass, volume = np.array([1.0]), np.full(n, pot.ratio_l_kg)
    kept, passed = [], 0.0
    for until in times_s:
        while passed < until - 1e-9:
            step = min(max(2.0, passed / 40), until - passed)
            advance(going, rates, mass, volume, step)
            passed += step
        kept.append(going.bath_g_l[:, 0] / c0)
    return np.array(kept)
