"""What a test in the dyer's own pot tells: each answer is a value with its spread, to take the place of what was assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt
from typing import TYPE_CHECKING

from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.constants import GAS_CONSTANT, ZERO_C_K
from skeinwright.core.bath.evaporation import HIGH, LOW
from skeinwright.core.bath.heat import HotPot, Surroundings, evaporation_kg_s
from skeinwright.core.bath.ph import Bath, composition
from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.bath.spread import NINETY
from skeinwright.core.bath.uptake_of_acid import STRIP_HALF_WIDTH
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin

if TYPE_CHECKING:
    from skeinwright.core.bath.isotherm import Array

HARDEST_MG_L = 600.0
SCALE_G = 2.0
"""A kitchen scale under a hot pan, 90 % half width of one weighing [assumed]."""
COLOUR_RATIO = 1.25
"""A ratio of depths read off two dyed pieces is right within this factor, 90 % [assumed]."""
READING = 0.05
"""90 % half width of a share read off a dilution row, of the fresh liquor [assumed]."""


def alkalinity_from_ph(bath: Bath, measured_ph: float, half_width: float = STRIP_HALF_WIDTH) -> Estimate:
    """The water's alkalinity (mg/L) from one pH of a bath with a known dose of acid and nothing else in it.

        alkalinity: pH(bath, alkalinity) = measured;   the ends from measured -+ half width

    Raises BadInput where no water of 0 to 600 mg/L gives that pH even at the ends of the reading. Best where the bath comes out near pH 4 to 5.5: below,
    the acid hides the water. 15 ml of 5 % vinegar in 4 l at pH 5.15: 120 mg/L.
    """
    low, value, high = (_alkalinity_at(bath, ph) for ph in (measured_ph - half_width, measured_ph, measured_ph + half_width))
    if low == high:
        side = "more acid" if low <= 0 else "less acid"
        water = f"No water of 0 to {HARDEST_MG_L:.0f} mg/L gives pH {measured_ph:.1f} with this acid"
        raise BadInput(f"{water}: the bath has {side} in it than was said.", where="pH")
    return Estimate(value, min(low, value), max(high, value), "mg/L", Origin.MEASURED, "from one pH with a known dose of acid")


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

        factor = lost_g/(1000 x evaporation x seconds);   spread: two weighings, and 2 C of the thermometer

    It takes the place of the 0.65-1.35 that is assumed. Half an hour at a simmer is enough.
    """
    if minutes <= 0 or lost_g < 0:
        raise BadInput("The pan is weighed before and after, some minutes apart, and is lighter afterwards.", where="weight")
    around = around or Surroundings()
    expected = 1000 * evaporation_kg_s(pot, temp_c, around) * 60 * minutes
    if expected <= 0:
        raise BadInput("At this temperature nothing steams away that a scale could tell.", where="temperature")
    hotter = 1000 * evaporation_kg_s(pot, temp_c + 2, around) * 60 * minutes
    value = lost_g / expected
    half = hypot(sqrt(2) * scale_g / expected, value * (hotter / expected - 1))
    return Estimate(value, max(0.0, value - half), value + half, "x", Origin.MEASURED, f"still air is 1; assumed until now {LOW:g} to {HIGH:g}")


@dataclass(frozen=True, slots=True)
class SuperwashPair:
    """How much faster the superwash piece dyed than the untreated one, as a factor at the test's temperature and as degrees by which it is ahead."""

    speed: Estimate
    shift_c: Estimate


def superwash_pair(
    untreated_on: float, superwash_on: float, temp_c: float = 60.0, *, activation_j_mol: float = 80e3, ratio: float = COLOUR_RATIO
) -> SuperwashPair:
    """The speed of superwash from two pieces in one bath for one time: the share of its final depth that each had got (0-1, exclusive).

        factor = ln(1 - s^2)/ln(1 - u^2)         as 1 - (M/Minf)^2 = exp(-k t)
        shift  : k(T + shift)/k(T) = factor under the untreated wool's activation energy

    Source of the law: cegarra-puente (seen in a list). Half against nine tenths at 60 C: 5.8 times as fast, 22 C ahead.
    """
    if not (0 < untreated_on < 1 and 0 < superwash_on < 1):
        raise BadInput("Take the pieces out while both still gain: each share lies between 0 and 1 of what it would end at.", where="pair")
    factor = log(1 - superwash_on**2) / log(1 - untreated_on**2)
    wide = exp(sqrt(2) * 2 * log(ratio))
    speed = Estimate(factor, factor / wide, factor * wide, "x", Origin.MEASURED, f"at {temp_c:g} C")
    low, value, high = (_shift_c(one, temp_c, activation_j_mol) for one in (speed.low, factor, speed.high))
    return SuperwashPair(speed, Estimate(value, low, high, "C", Origin.MEASURED))


def _shift_c(factor: float, temp_c: float, activation_j_mol: float) -> float:
    kelvin = temp_c + ZERO_C_K
    return 1 / (1 / kelvin - GAS_CONSTANT * log(factor) / activation_j_mol) - kelvin


@dataclass(frozen=True, slots=True)
class NylonPair:
    """Nylon's partition over wool's for a trace of dye (`slope`), and what nylon holds at most (`saturation`, g/kg)."""

    slope: Estimate
    saturation_g_kg: Estimate


def nylon_pair(
    pale_ratio: float, deep_ratio: float, *, pale_g_kg: float = 2.0, deep_g_kg: float = 30.0, nylon_share: float = 0.25, ratio: float = COLOUR_RATIO
) -> NylonPair:
    """What a pale and a deep dyeing of a wool/nylon yarn tell, each as the nylon's depth over the wool's (depth read as K/S).

    Whole doses on the yarn (g/kg): q_w = dose/(1 - x + x ratio), q_n = ratio q_w. Wool is taken as far from full, nylon as Langmuir's:

        q_n = slope q_w/(1 + slope q_w/S)   at both dyeings;   1/ratio = 1/slope + q_w/S

    a straight line through two points. Raises BadInput where the deep dyeing does not favour wool more than the pale one.
    """
    if not 0 < deep_ratio < pale_ratio:
        raise BadInput("In the deep dyeing the nylon should be paler against the wool than in the pale one; look again at which is which.", where="pair")

    def solved(pale: float, deep: float) -> tuple[float, float]:
        q_pale, q_deep = (dose / (1 - nylon_share + nylon_share * one) for dose, one in ((pale_g_kg, pale), (deep_g_kg, deep)))
        per_q = (1 / deep - 1 / pale) / (q_deep - q_pale)
        intercept = 1 / pale - per_q * q_pale
        if per_q <= 0 or intercept <= 0:
            return float("nan"), float("nan")
        return 1 / intercept, 1 / per_q

    slope, saturation = solved(pale_ratio, deep_ratio)
    if slope != slope:
        raise BadInput("These two dyeings do not fit one nylon: dye a paler one, or read them again.", where="pair")
    corners = [solved(pale_ratio * a, deep_ratio * b) for a in (1 / ratio, ratio) for b in (1 / ratio, ratio) if pale_ratio * a > deep_ratio * b]
    slopes = [one for one, _ in corners if one == one] + [slope]
    tops = [one for _, one in corners if one == one] + [saturation]
    return NylonPair(
        Estimate(slope, min(slopes), max(slopes), "x", Origin.MEASURED), Estimate(saturation, min(tops), max(tops), "g/kg", Origin.MEASURED)
    )
