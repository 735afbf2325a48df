"""An interval that is called 90 % holds the truth about nine times in ten: unknowns drawn from what is held before, readings made by the forward law
with the stated errors, and each test asked. The forward laws are the models' own, so this proves the inference, not the models.

With n trials the share of hits has a standard deviation of sqrt(0.09/n); the limits below are 0.90 +- about 2.5 of these.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log

import numpy as np
import pytest

from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.calibrate import EVAPORATION_PRIOR, LiquorSample, alkalinity_from_ph, evaporation_factor
from skeinwright.core.bath.calibrate_class import PARTITION_PRIOR, RATE_PRIOR, SampledPot, class_factors, left_in_liquor
from skeinwright.core.bath.calibrate_pairs import NylonReading, nylon_pair, nylon_ratio, superwash_pair, superwash_prior
from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.heat import HotPot, Surroundings, evaporation_kg_s
from skeinwright.core.bath.ph import Bath, composition
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.spread.calibrate import STRIKE_85_RANGE, powder_footprint, spread_length, strike_rate
from skeinwright.core.spread.exchange import Kappas
from skeinwright.core.spread.grains import gains, sprinkle
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.kernels import stamp
from skeinwright.core.spread.parameters import PowderParameters
from skeinwright.core.spread.quick import one_shot
from skeinwright.core.spread.water import Movement

NINETY = 1.645
Rng = np.random.Generator


def between(rng: Rng, value: float, low: float, high: float) -> float:
    """A factor whose 90 % interval is low to high, each side with its own width."""
    z = rng.standard_normal() / NINETY
    return value * (high / value if z > 0 else value / low) ** z


def factor(rng: Rng, times: float) -> float:
    return exp(log(times) / NINETY * rng.standard_normal())


def holds(found: Estimate, truth: float) -> bool:
    return found.low <= truth <= found.high


def _superwash(rng: Rng) -> list[bool]:
    prior = superwash_prior()
    speed = between(rng, prior.value, prior.low, prior.high)
    on = np.sqrt(-np.expm1(-np.array([1.0, speed]) * exp(rng.uniform(log(0.01), log(0.8)))))
    untreated, superwash = (min(float(one) * factor(rng, 1.25), 0.999) for one in on)
    return [holds(superwash_pair(untreated, superwash).speed, speed)]


def _nylon(rng: Rng) -> list[bool]:
    slope, full = between(rng, 5.0, 2.0, 15.0), between(rng, 20.0, 10.0, 35.0)
    read = tuple(NylonReading(dose, 0.25, float(nylon_ratio(dose, 0.25, slope, full)) * factor(rng, 1.25)) for dose in (2.0, 30.0))
    if read[1].ratio > read[0].ratio * 1.25**2:
        return []
    found = nylon_pair(read)
    return [holds(found.slope, slope), holds(found.saturation_g_kg, full)]


PAN = HotPot(water_l=3, fibre_g=0, pan_g=1000, material="glass", face_m2=0.075, wall_m2=0.1)


def _evaporation(rng: Rng) -> list[bool]:
    truth = between(rng, 1.0, *EVAPORATION_PRIOR)
    hot = 85 + 2 / NINETY * rng.standard_normal()
    lost = truth * 1000 * evaporation_kg_s(PAN, hot, Surroundings()) * 1800 + 2**0.5 * 2 / NINETY * rng.standard_normal()
    return [holds(evaporation_factor(PAN, 85, 30, max(lost, 0.0)), truth)]


def _alkalinity(rng: Rng) -> list[bool]:
    truth = float(rng.uniform(30, 300))
    said = Bath(volume_ml=4000, doses=(AcidDose(VINEGAR, 15),))
    real = Bath(volume_ml=4000, doses=(AcidDose(VINEGAR, 15 * (1 + 0.07 / NINETY * rng.standard_normal())),), alkalinity=stated_alkalinity(truth))
    read = solve_ph(composition(real), real.temp_c).ph + 0.1 / NINETY * rng.standard_normal()
    return [holds(alkalinity_from_ph(said, read, 0.1), truth)]


POT = SampledPot(dye_class="half-milling", superwash=False, ratio_l_kg=30, dose_g_kg=10, temp_c=85, ph=4.5)


def _liquor(rng: Rng) -> list[bool]:
    rate, kp, film = factor(rng, RATE_PRIOR), factor(rng, PARTITION_PRIOR), factor(rng, 2.0)
    times = [300.0, 900.0, 1800.0, 3600.0]
    left = left_in_liquor(POT, times, *(np.array([one]) for one in (rate, kp, film)))[:, 0]
    read = np.clip(left + 0.05 / NINETY * rng.standard_normal(4), 0, 1.2)
    found = class_factors(POT, [LiquorSample(time, float(one), 0.05) for time, one in zip(times, read, strict=True)])
    return [holds(found.rate, rate), holds(found.partition, kp)]


def _strike(rng: Rng) -> list[bool]:
    k = between(rng, 0.03, *STRIKE_85_RANGE)
    times = np.array([30.0, 60.0, 120.0])
    shares = -np.expm1(-k * times) * np.exp(0.03 * rng.standard_normal() + 0.03 * rng.standard_normal(3))
    return [holds(strike_rate(list(zip(times, shares, strict=True))), k)] if shares.max() > 0.05 else []


def _footprint(rng: Rng) -> list[bool]:
    powder = PowderParameters(grain_mm=between(rng, 0.12, 0.06, 0.24), grain_sd=between(rng, 1.6, 1.3, 2.0))
    footprint = 2.5 * factor(rng, 1.3)
    radius = 10 * sprinkle(1.5, powder, rng, 5, 5).radius_cm[:150]
    if radius.size < 12:
        return []
    found = powder_footprint(np.pi * (2.3548 * footprint * radius / 2) ** 2)
    return [holds(found.stain_mm, footprint * powder.grain_mm), holds(found.grain_sd, powder.grain_sd), holds(found.grain_mm, powder.grain_mm)]


def _spread_length(rng: Rng) -> list[bool]:
    """A made-up speckled piece of 5 cm: strands that take unequally, the powder known to a tenth, blur 0.1 mm, 3 % noise."""
    along = 0.05 * exp(rng.uniform(-0.5, 1.3))
    across = along / rng.uniform(1.5, 2.5)
    n, px, k = 256, 0.02, 0.01
    powder = PowderParameters(grain_mm=0.12 * factor(rng, 1.17), grain_sd=1.6 * factor(rng, 1.07))
    fallen = sprinkle(25.0, powder, rng, n * px, n * px)
    plane = np.zeros((n, n))
    stamp(plane, fallen.mass_mg, fallen.x_cm, fallen.y_cm, 2.5 * fallen.radius_cm, px, px, False, gains(n, px, 0.12, 0.2, rng))
    laid = np.stack([np.zeros_like(plane), plane, np.zeros_like(plane)])
    moved = Movement((0.0, k * along**2, 0.0), (0.0, k * across**2, 0.0), Kappas(0, 0, 0))
    struck = one_shot(laid, Grid(n, n, px, px), moved, np.zeros((3, 3)), (k, k))[0]
    kappa = np.hypot(*np.meshgrid(*(2 * np.pi * np.fft.fftfreq(n, px),) * 2))
    blurred = np.fft.ifft2(np.fft.fft2(struck) * np.exp(-0.5 * (0.01 * kappa) ** 2)).real
    found = spread_length(blurred * (1 + 0.03 * rng.standard_normal((n, n))), px)
    return [holds(found.along_mm, 10 * along), holds(found.across_mm, 10 * across)]


CASES: list[tuple[Callable[[Rng], list[bool]], int, float, float]] = [
    (_superwash, 120, 0.83, 0.97),
    (_nylon, 60, 0.83, 0.97),
    (_evaporation, 150, 0.83, 0.97),
    (_alkalinity, 60, 0.80, 0.99),
    (_liquor, 12, 0.75, 1.0),
    (_strike, 120, 0.83, 0.97),
    (_footprint, 80, 0.85, 0.97),
    (_spread_length, 40, 0.83, 1.0),
]


@pytest.mark.parametrize(("trial", "trials", "least", "most"), CASES, ids=[one[0].__name__.strip("_") for one in CASES])
def test_ninety_means_about_ninety(trial: Callable[[Rng], list[bool]], trials: int, least: float, most: float) -> None:
    rng = np.random.default_rng(2026)
    hits = [hit for _ in range(trials) for hit in trial(rng)]
    assert least <= np.mean(hits) <= most, f"{np.mean(hits):.3f} of {len(hits)}"
