"""Two pieces in one pot: how much faster superwash strikes, and how much nylon takes before wool does. Priors are those of the bath's own notes."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log
from typing import Any

from skeinwright.core.bath.classes import MOLAR_G
from skeinwright.core.bath.constants import GAS_CONSTANT, ZERO_C_K
from skeinwright.core.bath.draws import NYLON_SITES, NYLON_SLOPES
from skeinwright.core.bath.spread import Spread
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.foundations.posterior import NINETY, factor_estimate, factor_prior, off

COLOUR_RATIO = 1.25
"""A depth read off a dyed piece against another is right within this factor, 90 % [assumed]."""
SUPERWASH_SHIFT_C = (15.0, 25.0, 40.0)
"""Superwash dyes as untreated wool does so much hotter: least, usual, most (cegarra-superwash, seen as an abstract: 25 to 40)."""


@dataclass(frozen=True, slots=True)
class SuperwashPair:
    """How much faster the superwash piece dyed than the untreated one, as a factor at the test's temperature and as degrees by which it is ahead."""

    speed: Estimate
    shift_c: Estimate


def superwash_prior(temp_c: float = 60.0, activation_j_mol: float = 80e3) -> Spread:
    """What is held of superwash's speed over untreated wool's before any test: shifts of 15, 25, 40 C as factors at `temp_c`. At 60 C 7.5, 3.5 to 22."""
    low, usual, high = (speed_of_shift(shift, temp_c, activation_j_mol) for shift in SUPERWASH_SHIFT_C)
    return Spread(usual, low, high)


def superwash_pair(
    untreated_on: float, superwash_on: float, temp_c: float = 60.0, *, activation_j_mol: float = 80e3, ratio: float = COLOUR_RATIO
) -> SuperwashPair:
    """The speed of superwash from two pieces in one bath for one time: the share of its final depth that each had got (0-1, exclusive).

        u = (1 - exp(-k t))^(1/2),  s = (1 - exp(-f k t))^(1/2);   ln of each read with sd ln(ratio)/1.645
        prior: ln f as `superwash_prior`; ln(k t) even from 1/500 to 12

    f and k t on a grid, k t summed out; the value is the median. A piece that is nearly done tells little, and the interval says so.
    Source of the law: cegarra-puente (seen in a list). Without prior and error ln(1 - s^2)/ln(1 - u^2): half against nine tenths at 60 C is 5.8 times.
    """
    import numpy as np

    if not (0 < untreated_on < 1 and 0 < superwash_on < 1):
        raise BadInput("Take the pieces out while both still gain: each share lies between 0 and 1 of what it would end at.", where="pair")
    prior = superwash_prior(temp_c, activation_j_mol)
    ln_f, density = factor_prior(prior.value, prior.low, prior.high, points=241, reach=3.0)
    ln_kt = np.linspace(log(1 / 500), log(12.0), 321)
    sd = log(ratio) / NINETY
    expected = [0.5 * np.log(-np.expm1(-np.exp(one))) for one in (ln_kt[None, :], ln_f[:, None] + ln_kt[None, :])]
    read = off(log(untreated_on), expected[0], sd) + off(log(superwash_on), expected[1], sd)
    speed = factor_estimate(density[:, None] + read, ln_f, unit="x", note=f"at {temp_c:g} C")
    low, value, high = (shift_of_speed(one, temp_c, activation_j_mol) for one in (speed.low, speed.value, speed.high))
    return SuperwashPair(speed, Estimate(value, low, high, "C", Origin.MEASURED))


def shift_of_speed(factor: float, temp_c: float = 60.0, activation_j_mol: float = 80e3) -> float:
    """The degrees by which a speed is ahead: k(T + shift)/k(T) = factor under the untreated wool's activation energy. 5.8 at 60 C: 22 C."""
    kelvin = temp_c + ZERO_C_K
    return 1 / (1 / kelvin - GAS_CONSTANT * log(factor) / activation_j_mol) - kelvin


def speed_of_shift(shift_c: float, temp_c: float = 60.0, activation_j_mol: float = 80e3) -> float:
    """The other way round: exp((E/R)(1/T - 1/(T + shift)))."""
    kelvin = temp_c + ZERO_C_K
    return exp(activation_j_mol / GAS_CONSTANT * (1 / kelvin - 1 / (kelvin + shift_c)))


@dataclass(frozen=True, slots=True)
class NylonPair:
    """Nylon's partition over wool's for a trace of dye (`slope`), and what nylon holds at most (`saturation_g_kg`)."""

    slope: Estimate
    saturation_g_kg: Estimate


@dataclass(frozen=True, slots=True)
class NylonReading:
    """One dyeing of wool and nylon together: whole dose (g/kg of both), nylon's share of the weight, and the nylon's depth over the wool's, read as K/S."""

    dose_g_kg: float
    nylon_share: float
    ratio: float


def nylon_ratio(dose_g_kg: Any, nylon_share: float, slope: Any, saturation_g_kg: Any) -> Any:
    """Nylon's depth over wool's where all the dose is on: wool far from full, nylon as Langmuir's.

        q_n = slope q_w/(1 + slope q_w/S),   (1 - x) q_w + x q_n = dose;   the ratio is slope/(1 + slope q_w/S)

    q_w is the positive root of (1 - x) b q_w^2 + (1 - x + x slope - b dose) q_w - dose = 0 with b = slope/S. Slope 5, S 20 g/kg, a quarter nylon: 4.4 at
    1 g/kg, 0.80 at 20.
    """
    import numpy as np

    x, b = nylon_share, slope / saturation_g_kg
    linear = 1 - x + x * slope - b * dose_g_kg
    root = np.sqrt(linear * linear + 4 * (1 - x) * b * dose_g_kg)
    wool = np.where(linear > 0, 2 * dose_g_kg / (root + np.abs(linear)), (root - linear) / (2 * (1 - x) * b))
    return slope / (1 + b * wool)


def nylon_pair(readings: tuple[NylonReading, ...], *, ratio: float = COLOUR_RATIO) -> NylonPair:
    """What one or two dyeings of wool and nylon in one pot tell, each as the nylon's depth over the wool's.

        ln ratio read = ln nylon_ratio(dose, share, slope, S), sd ln(1.25)/1.645;   priors: slope 5 (2-15), S from 0.02-0.07 mol/kg of amine ends

    Slope and S on a grid, each with the other summed out. A pale dyeing tells the slope; a deep one, beside it, what nylon holds.
    """
    import numpy as np

    if not readings:
        raise BadInput("One dyeing at least: a pale one, such as 0.2 %.", where="pale_ratio")
    if any(not 0 < one.nylon_share < 1 or one.dose_g_kg <= 0 or one.ratio <= 0 for one in readings):
        raise BadInput("Both fibres are in the pot, with some dye, and the nylon's depth is given against the wool's.", where="nylon_share")
    ordered = sorted(readings, key=lambda one: one.dose_g_kg)
    if ordered[-1].ratio > ordered[0].ratio * ratio**2:
        raise BadInput("In the deep dyeing the nylon should be paler against the wool than in the pale one; look again at which is which.", where="deep_ratio")
    ln_slope, slope_density = factor_prior(NYLON_SLOPES.value, NYLON_SLOPES.low, NYLON_SLOPES.high, points=161)
    ln_full, full_density = factor_prior(NYLON_SITES.value * MOLAR_G, NYLON_SITES.low * MOLAR_G, NYLON_SITES.high * MOLAR_G, points=161)
    density = slope_density[:, None] + full_density[None, :]
    for one in readings:
        expected = np.log(nylon_ratio(one.dose_g_kg, one.nylon_share, np.exp(ln_slope)[:, None], np.exp(ln_full)[None, :]))
        density = density + off(log(one.ratio), expected, log(ratio) / NINETY)
    note = "" if len(readings) > 1 else "mostly what was assumed: a deep dyeing would tell"
    return NylonPair(factor_estimate(density, ln_slope, 0, unit="x"), factor_estimate(density, ln_full, 1, unit="g/kg", note=note))
