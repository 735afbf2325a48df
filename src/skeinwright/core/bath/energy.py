"""What the heat under a whole run draws: warming and losses over the source's efficiency."""

from __future__ import annotations

from math import exp, hypot, log

from skeinwright.core.bath.heat import EFFICIENCY, HotPot, hot_pot, loss_w
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.foundations.estimate import Estimate, Origin


def energy_kwh(run: PotRun, times: list[float], water_l: Array) -> Estimate:
    """What the source gave while it was on: warming and losses over its efficiency. The interval is that of the efficiency and of what steams away, as squares
    of factors."""
    usual, least, most = EFFICIENCY.get(run.energy, EFFICIENCY["not known"])
    joules, dry, wet = (_joules(run, times, water_l, pick) for pick in ("value", "low", "high"))
    if joules <= 0:
        return Estimate(0.0, 0.0, 0.0, "kWh", Origin.ASSUMED, "nothing is heated")
    kwh = joules / 3.6e6 / usual
    down, up = hypot(log(most / usual), 1 - dry / joules), hypot(log(usual / least), wet / joules - 1)
    return Estimate(kwh, kwh * exp(-down), kwh * exp(up), "kWh", Origin.ASSUMED, "burner's efficiency and steam")


def _joules(run: PotRun, times: list[float], water_l: Array, pick: str) -> float:
    """What gets into the pot, with the usual steam, or as little or much of it as may be."""
    joules = 0.0
    for place in range(1, len(times)):
        start, end = times[place - 1], times[place]
        on = sum(max(0.0, min(end, off) - max(start, since)) for since, off in run.heated)
        if on <= 0:
            continue
        before, after = run.temp_c(start), run.temp_c(end - 1e-9)
        lid, water = run.covered(0.5 * (start + end)), float(water_l[place - 1])
        steam = float(getattr(run.steam(lid), pick))
        pot = HotPot(water_l=water, fibre_g=run.fibre_g, pan_g=1000.0, material="not known", face_m2=0.05, wall_m2=0.15, lid=lid, steam=steam)
        if run.vessel is not None:
            pot = hot_pot(run.vessel, water, run.fibre_g, lid=lid, steam=steam)
        middle = 0.5 * (before + after)
        joules += max(0.0, 1000 * pot.heat_capacity_kj_k(middle) * (after - before) + loss_w(pot, middle, run.around) * on)
    return joules
