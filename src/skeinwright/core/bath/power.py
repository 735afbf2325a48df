"""A pot cannot warm faster than its burner lets it: a run whose ramps ask for more, held to what can be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from skeinwright.core.bath.heat import Heating, HotPot, Surroundings, hot_pot, time_to_heat
from skeinwright.core.bath.jar import JAR_W_M2_K, LEAST_W_M2_K, MOST_W_M2_K, jar_lag_s
from skeinwright.core.bath.pot_run import PotRun, litres_in
from skeinwright.core.bath.spread import Spread
from skeinwright.core.foundations.estimate import Estimate

SLOWER_BY = 1.05
"""A ramp is held back where the pot needs more than this times what was planned: less does not show."""


LEAST_RISE_C = 20.0
"""A smaller ramp is not worth telling how long it takes at full power."""
MOST_JAR_L = 1.5
"""Liquor of what may be a jar in a water bath [assumed]."""


@dataclass(frozen=True, slots=True)
class Source:
    """What heats the pot: its name, its power as its plate says (W), and what it burns (`heat.EFFICIENCY`)."""

    name: str
    power_w: float
    energy: str


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A piece of the programme that takes longer."""

    start_s: float
    end_s: float
    more_s: float


def within_power(run: PotRun, source: Source) -> PotRun:
    """`run` with each ramp no faster than `source` can warm this vessel, its liquor and its yarn (`heat.time_to_heat`, the usual efficiency).

    What comes after a ramp that takes longer comes later by as much, and a note says so; where the pot never gets there, it stays at the temperature that it
    reaches. A run whose vessel is not known is given back as it is.
    """
    if run.vessel is None or source.power_w <= 0:
        return run
    stretches: list[_Stretch] = []
    notes: list[str] = []
    points = [run.programme[0]]
    most = 1000.0
    for before, after in zip(run.programme, run.programme[1:], strict=False):
        start_c, end_c = points[-1][1], min(after[1], most)
        if end_c > start_c + 0.5:
            heating = _heating(_pot_at(run, before[0]), start_c, end_c, source, run.around)
            if not heating.reached:
                end_c = most = heating.top_c
                notes.append(f"On {source.name} this pot gets no hotter than about {end_c:.0f} °C: it gives off as much as it gets.")
            planned = after[0] - before[0]
            if heating.time_s.value > SLOWER_BY * planned:
                stretches.append(_Stretch(before[0], after[0], heating.time_s.value - planned))
                notes.append(_slower(source, start_c, end_c, heating, planned))
        points.append((after[0], end_c))
    if not notes:
        return run
    later = _later(stretches)
    return replace(
        run,
        programme=tuple((later(time), temp) for time, temp in points),
        events=tuple(replace(event, at_s=later(event.at_s)) for event in run.events),
        heated=tuple((later(start), later(end)) for start, end in run.heated),
        lids=tuple((later(at), is_on) for at, is_on in run.lids),
        reading=None if run.reading is None else replace(run.reading, at_s=later(run.reading.at_s)),
        notes=(*run.notes, *notes),
    )


def heating_sentences(run: PotRun, source: Source) -> tuple[str, ...]:
    """How long `source` at full power takes for the longest ramp of the run; nothing where the vessel is not known or nothing is heated."""
    ramps = [(after[1] - before[1], before, after) for before, after in zip(run.programme, run.programme[1:], strict=False)]
    rise, before, after = max(ramps, default=(0.0, (0.0, 0.0), (0.0, 0.0)))
    if run.vessel is None or source.power_w <= 0 or rise < LEAST_RISE_C:
        return ()
    heating = _heating(_pot_at(run, before[0]), before[1], after[1], source, run.around)
    time = heating.time_s
    if not heating.reached:
        return ()
    said = f"{source.name} at full power takes about {time.value / 60:.0f} min ({time.low / 60:.0f} to {time.high / 60:.0f})"
    return (f"From {before[1]:.0f} to {after[1]:.0f} °C {said}; the plan gives it {(after[0] - before[0]) / 60:.0f}.",)


def behind_water_bath(run: PotRun, bath: str) -> PotRun:
    """`run` as that of a vessel that stands in the water bath named `bath`: the steps' temperatures are the bath's, and the liquor follows with its lag.

    lag = `jar.jar_lag_s` of the most liquor that is in it and the wall that this wets. Times stay as they are: after a ramp the liquor is not yet as warm as
    the step says, and what goes on the yarn comes later. A run whose vessel or liquor is not known is given back as it is.
    """
    lag = _lag(run)
    if lag is None or run.vessel is None:
        return run
    told = (
        f"The steps' temperatures are those of {bath}, and this is the liquor in {run.vessel.name}: it lags {_behind(lag)}. Hold that much "
        "longer, or read the thermometer in it. Heat is told of the vessel alone, without the water round it."
    )
    wall = f"heat through the wall of {run.vessel.name}: {JAR_W_M2_K:.0f} W/(m2 K) ({LEAST_W_M2_K:.0f} to {MOST_W_M2_K:.0f})"
    return replace(run, lag=Spread(lag.value, lag.low, lag.high), told=(*run.told, told), assumed=(*run.assumed, wall))


def jar_sentences(run: PotRun) -> tuple[str, ...]:
    """How far the liquor of a jar lags behind the water bath that it may stand in; nothing for larger vessels, or where the vessel is not known."""
    lag = _lag(run)
    if lag is None or run.vessel is None or _most_l(run) > MOST_JAR_L or not run.heated:
        return ()
    return (
        f"If it stands in a water bath, its liquor lags {_behind(lag)}: hold that much longer, or read the thermometer in the jar. "
        f"Write on the shelf what {run.vessel.name} stands on, and this forecast follows.",
    )


def _lag(run: PotRun) -> Estimate | None:
    """By the most liquor that is ever in the vessel, and the wall that it wets."""
    litres = _most_l(run)
    if run.vessel is None or litres <= 0:
        return None
    pot = hot_pot(run.vessel, litres, run.fibre_g)
    return jar_lag_s(litres, min(pot.wall_m2, litres / 1000 / pot.face_m2 * pot.wall_m2 / (run.vessel.height_mm / 1000)))


def _most_l(run: PotRun) -> float:
    return max((_litres(run, event.at_s) for event in run.events), default=0.0)


def _behind(lag: Estimate) -> str:
    return f"about {max(1, round(lag.value / 60))} min behind the bath ({lag.low / 60:.0f} to {lag.high / 60:.0f})"


def _slower(source: Source, start_c: float, end_c: float, heating: Heating, planned_s: float) -> str:
    time = heating.time_s
    takes = f"about {time.value / 60:.0f} min ({time.low / 60:.0f} to {time.high / 60:.0f}), not {planned_s / 60:.0f}"
    return f"From {start_c:.0f} to {end_c:.0f} °C takes {takes}, on {source.name} at full power: all that comes after is that much later here."


def _later(stretches: list[_Stretch]) -> Callable[[float], float]:
    """Where a moment of the plan comes to lie."""

    def moved(at_s: float) -> float:
        late = 0.0
        for one in stretches:
            if at_s >= one.end_s:
                late += one.more_s
            elif at_s > one.start_s:
                late += one.more_s * (at_s - one.start_s) / (one.end_s - one.start_s)
        return at_s + late

    return moved


def _pot_at(run: PotRun, time_s: float) -> HotPot:
    """The pot with the liquor that has gone into it by then; steam is not taken off."""
    assert run.vessel is not None
    lid = run.covered(time_s)
    return hot_pot(run.vessel, _litres(run, time_s), run.fibre_g, lid=lid, steam=run.steam(lid).value)


def _litres(run: PotRun, time_s: float) -> float:
    return litres_in(event for event in run.events if event.at_s <= time_s + 1e-9)


@lru_cache(maxsize=256)
def _heating(pot: HotPot, from_c: float, to_c: float, source: Source, around: Surroundings) -> Heating:
    return time_to_heat(pot, from_c, to_c, source.power_w, source.energy, around)
