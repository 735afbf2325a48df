"""What a test in the dyer's own pot tells: each answer is a value with its spread, to take the place of what was assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt
from typing import TYPE_CHECKING

from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.evaporation import HIGH, LOW
from skeinwright.core.bath.heat import HotPot, Surroundings, evaporation_kg_s
from skeinwright.core.bath.ph import Bath, composition
from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.bath.uptake_of_acid import STRIP_HALF_WIDTH
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.foundations.posterior import NINETY, factor_estimate, factor_prior, normal_prior, off

if TYPE_CHECKING:
    from skeinwright.core.bath.isotherm import Array

HARDEST_MG_L = 600.0
DOSE_SPREAD = 0.07
"""Vinegar's label (5 %) and a spoon or small jug of it (5 %) together, 90 % half width, relative [assumed]."""
SCALE_G = 2.0
"""A kitchen scale under a hot pan, 90 % half width of one weighing [assumed]."""
EVAPORATION_PRIOR = (0.5, 2.5)
"""90 % of pans lie between these of the law of still air [assumed; a fan or a hood doubles it or more, doe-steam-19, seen]."""
READING = 0.05
"""90 % half width of a share read off a dilution row, of the fresh liquor [assumed]."""


def alkalinity_from_ph(bath: Bath, measured_ph: float, half_width: float = STRIP_HALF_WIDTH, dose_spread: float = DOSE_SPREAD) -> Estimate:
    """The water's alkalinity (mg/L) from one pH of a bath with a known dose of acid and nothing else in it.

        alkalinity: pH(bath, alkalinity) = measured;   the ends from measured -+ w,  w^2 = half width^2 + (pH(dose) - pH(dose (1 + spread)))^2

    `dose_spread` is the 90 % half width of label and spoon, relative. Nothing else is held of the water before. Raises BadInput where no water of
    0 to 600 mg/L gives that pH even at the ends of the reading. Best where the bath comes out near pH 4 to 5.5: below, the acid hides the water.
    15 ml of 5 % vinegar in 4 l at pH 5.15: 120 mg/L.
    """
    value = _alkalinity_at(bath, measured_ph)
    half = hypot(half_width, _ph_of_more_acid(bath, value, dose_spread))
    low, high = (_alkalinity_at(bath, ph) for ph in (measured_ph - half, measured_ph + half))
    if low == high:
        side = "more acid" if low <= 0 else "less acid"
        water = f"No water of 0 to {HARDEST_MG_L:.0f} mg/L gives pH {measured_ph:.1f} with this acid"
        raise BadInput(f"{water}: the bath has {side} in it than was said.", where="ph")
    return Estimate(value, min(low, value), max(high, value), "mg/L", Origin.MEASURED, "from one pH with a known dose of acid")


def _ph_of_more_acid(bath: Bath, alkalinity: float, share: float) -> float:
    """How far the pH falls with so much more of the dose."""
    water = replace(bath, alkalinity=stated_alkalinity(alkalinity))
    more = replace(water, doses=tuple(replace(one, amount=one.amount * (1 + share)) for one in bath.doses))
    return solve_ph(composition(water), bath.temp_c).ph - solve_ph(composition(more), bath.temp_c).ph


def _alkalinity_at(bath: Bath, ph: float) -> float:
    """Held at 0 and 600."""

    def off(alkalinity: float) -> float:
        water = replace(bath, alkalinity=stated_alkalinity(alkalinity))
        return solve_ph(composition(water), bath.temp_c).ph - ph

    if off(0.0) >= 0:
        return 0.0
    return HARDEST_MG_L if off(HARDEST_MG_L) <= 0 else bracketed_root(off, 0.0, HARDEST_MG_L, tolerance=1e-6)


@dataclass(frozen=True, slots=True)
class LiquorSample:
    """The share of the dye that is still in the liquor (0-1) so many seconds after the yarn went in; `half_width` at 90 %."""

    time_s: float
    left: float
    half_width: float = READING


@dataclass(frozen=True, slots=True)
class RateAndPartition:
    """The partition (L/kg), the rate k (1/s) of `kinetics`, the half-time that they give, at the test's temperature, and how far the worst sample is off."""

    kp_l_kg: Estimate
    rate_per_s: Estimate
    half_time_s: float
    worst: float


def rate_and_partition(samples: Sequence[LiquorSample], ratio_l_kg: float) -> RateAndPartition:
    """Partition and rate from samples of liquor at one temperature, by least squares on their logarithms.

        dq/dt = (k/2)(q*^2 - q^2)/q,  q* = Kp c,  c = left c0      (the film is taken into k)

    Two samples at least, the last late enough to be near rest. The spread comes from the samples' own half widths, through the slope of the fit.
    """
    if len(samples) < 2:
        raise BadInput("Two samples of the liquor at least, an early one and a late one.", where="samples")
    if any(not 0 <= one.left <= 1 or one.time_s <= 0 for one in samples):
        raise BadInput("A sample is a share between 0 and 1 of the fresh liquor, and a time after the yarn went in.", where="samples")
    import numpy as np
    from scipy.optimize import least_squares

    times = np.array([one.time_s for one in samples])
    seen = np.array([one.left for one in samples])
    sd = np.maximum(np.array([one.half_width for one in samples]) / NINETY, 1e-4)
    last = min(max(float(seen[int(np.argmax(times))]), 0.01), 0.97)
    kp0 = ratio_l_kg * (1 - last) / last
    start = np.log([kp0, 0.3 / float(times.min())])

    def off(logs: Array) -> Array:
        return np.asarray((liquor_left(times, exp(logs[0]), exp(logs[1]), ratio_l_kg) - seen) / sd)

    found = least_squares(off, start, bounds=(np.log([1e-2, 1e-8]), np.log([1e6, 10.0])), diff_step=1e-4)
    curve = found.jac.T @ found.jac
    spread = NINETY * np.sqrt(np.clip(np.diag(np.linalg.pinv(curve)), 0.0, 9.0))
    kp, rate = (float(value) for value in np.exp(found.x))
    kp_e, rate_e = (Estimate(v, v * exp(-s), v * exp(s), unit, Origin.MEASURED) for v, s, unit in ((kp, spread[0], "L/kg"), (rate, spread[1], "1/s")))
    return RateAndPartition(kp_e, rate_e, _half_time(kp, rate, ratio_l_kg), float(np.max(np.abs(found.fun * sd))))


def liquor_left(times_s: Sequence[float] | Array, kp_l_kg: float, rate_per_s: float, ratio_l_kg: float) -> Array:
    """The share still in the liquor over time under the law of `rate_and_partition`.

    With x the share on the fibre, K = Kp/L:

        k t = integral of 2 x dx/((K (1 - x))^2 - x^2)   from 0 to x

    summed over a grid of x that is finest at rest, and read backwards.
    """
    import numpy as np

    k = kp_l_kg / ratio_l_kg
    end = k / (1 + k)
    share = np.concatenate([[0.0], end * (1 - np.logspace(-0.0005, -9, 4000))])
    slope = 2 * share / np.maximum((k * (1 - share)) ** 2 - share**2, 1e-300)
    passed = np.concatenate([[0.0], np.cumsum(0.5 * (slope[1:] + slope[:-1]) * np.diff(share))])
    return np.asarray(1 - np.interp(rate_per_s * np.asarray(times_s, dtype=float), passed, share))


def _half_time(kp_l_kg: float, rate_per_s: float, ratio_l_kg: float) -> float:
    """When half of what goes on in the end is on."""
    end = kp_l_kg / (kp_l_kg + ratio_l_kg)

    def off(ln_t: float) -> float:
        return float(liquor_left([exp(ln_t)], kp_l_kg, rate_per_s, ratio_l_kg)[0]) - (1 - 0.5 * end)

    return exp(bracketed_root(off, log(1e-4), log(1e8), tolerance=1e-6))


def evaporation_factor(pot: HotPot, temp_c: float, minutes: float, lost_g: float, around: Surroundings | None = None, scale_g: float = SCALE_G) -> Estimate:
    """What this pan loses over what still air would take, from its weight before and after at a steady temperature.

        lost = 1000 f evaporation(T + d) seconds, two weighings of 90 % half width `scale_g`;   d of the thermometer 2 C, 90 %
        prior: ln f, 1 (0.5 to 2.5): floating yarn and a deep rim hold steam back, a hood draws it off

    f and d on a grid, d summed out. Still air is 1; a lid is in the pot's own law. Half an hour at a simmer is enough.
    """
    import numpy as np

    if minutes <= 0 or lost_g < 0:
        raise BadInput("The pan is weighed before and after, some minutes apart, and is lighter afterwards.", where="after")
    around = around or Surroundings()
    expected, hotter = (1000 * evaporation_kg_s(pot, temp_c + by, around) * 60 * minutes for by in (0.0, 2.0))
    if expected <= 0:
        raise BadInput("At this temperature nothing steams away that a scale could tell.", where="temp")
    ln_f, prior = factor_prior(1.0, *EVAPORATION_PRIOR, points=401, reach=3.0)
    d, thermometer = normal_prior(0.0, -1.0, 1.0, points=41)  # in units of its half width: ln of the flux is nearly straight over it
    sd = sqrt(2) * max(scale_g, 1e-3 * expected) / NINETY
    told = off(lost_g, expected * np.exp(ln_f[:, None] + log(hotter / expected) * d[None, :]), sd)
    return factor_estimate(prior[:, None] + thermometer[None, :] + told, ln_f, unit="x", note=f"still air is 1; assumed until now {LOW:g} to {HIGH:g}")
