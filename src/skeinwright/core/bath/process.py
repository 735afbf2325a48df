"""A pot from first water to last minute: temperature, pH, water, and every dye in the liquor and on each fibre, together.

Every minute or sooner: water and acid come and go as the run says; steam and carbonic acid leave; dye goes on (`kinetics.advance`, implicit, in sub-steps); the
acid that dye takes along goes with it; and the pH is solved again with fibre and all. Draws run side by side as arrays; the centre line is the draw at
everything's usual value.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import ceil

import numpy as np

from skeinwright.core.bath.charge_balance import Composition
from skeinwright.core.bath.course import Band, PotCourse
from skeinwright.core.bath.draws import Drawn, central, draw
from skeinwright.core.bath.engine import Engine
from skeinwright.core.bath.heat import EFFICIENCY, HotPot, hot_pot, loss_w
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.pot import Kept, Pot, PotState, fresh_state
from skeinwright.core.bath.pot_run import AddAcid, AddWater, Event, PotRun
from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.bath.water_properties import boiling_point_c
from skeinwright.core.foundations.estimate import Estimate, Origin

DRAWS = 200
BLOCK_S = 60.0
QUICK_BLOCK_S = 240.0
LOWEST_PERCENTILE, HIGHEST_PERCENTILE = 5.0, 95.0
LEAST_LINE_MM = 10.0
"""A note is made where the liquor, spread over the floor, would stand lower than this at the fast end of the interval, or half of it has gone."""


def process(run: PotRun, *, rng: np.random.Generator | None = None, draws: int = DRAWS, block_s: float = BLOCK_S, loops: Engine | None = None) -> PotCourse:
    """What happens in the pot. With `rng`, `draws` draws give the bands (5 and 95 %); without it only the centre line is worked out, which is quick. The pH is
    solved every `block_s` seconds (120 halves the work and moves uptake by under 0.01). `loops` are the quickest that are ready where none are given.

    Raises BadInput for a run that cannot be. The status is "ok", "outside range", or "not forecast after this step" as the run was written down.
    """
    run = run.checked()
    times = _block_times(run, block_s)
    kept, state, held = _integrate(run, central(run) if rng is None else draw(run, draws, rng), times, loops)
    return _course(run, times, kept, state, held)


@lru_cache(maxsize=64)
def quick_course(run: PotRun) -> PotCourse:
    """The centre line with the pH solved every 4 min, kept for the next who asks for the same run: uptake is within 0.01 of that of `process`."""
    return process(run, block_s=QUICK_BLOCK_S)


def _block_times(run: PotRun, block_s: float) -> list[float]:
    """Every `block_s` or sooner, with every event and every corner of the programme on the grid."""
    start = next(event.at_s for event in run.events if isinstance(event, AddWater))
    corners = {start, run.end_s}
    corners |= {time for time, _ in run.programme if time > start}
    if run.reading is not None:
        corners.add(max(start, run.reading.at_s))
    for event in run.events:
        corners |= {max(start, at) for at in _moments(event)}
    ordered = sorted(time for time in corners if time <= run.end_s)
    times = [ordered[0]]
    for before, after in pairwise(ordered):
        parts = max(1, ceil((after - before) / block_s - 1e-9))
        times += [before + (after - before) * part / parts for part in range(1, parts + 1)]
    return times


def _moments(event: Event) -> list[float]:
    if isinstance(event, AddAcid) and event.over_s > 0:
        parts = max(1, ceil(event.over_s / BLOCK_S))
        return [event.at_s + event.over_s * part / parts for part in range(parts)]
    return [event.at_s]


def _integrate(run: PotRun, drawn: Drawn, times: list[float], loops: Engine | None) -> tuple[Kept, PotState, float]:
    state = fresh_state(run, drawn)
    pot = Pot(run, drawn, loops)
    kept = Kept()
    queue, read = _queue(run, times[0]), False
    for place, time in enumerate(times):
        if place:
            pot.block(state, times[place - 1], time)
        while queue and queue[0][0] <= time + 1e-9:
            state.ph_step, state.strength_step = 0.0 * state.ph, 0.0 * state.ph
            pot.happen(state, queue.pop(0)[1])
        pot.solve(state, run.temp_c(time))
        if run.reading is not None and not read and time >= run.reading.at_s - 1e-9:
            pot.read(state, run.reading)
            read = True
        pot.remember(state, kept)
    return kept, state, float(pot.held(state)[0])


def _queue(run: PotRun, start_s: float) -> list[tuple[float, Event]]:
    """Events in order, an acid that goes in slowly as its parts."""
    found: list[tuple[float, Event]] = []
    for event in run.events:
        moments = _moments(event)
        for at in moments:
            part = AddAcid(at_s=at, acid=event.acid, amount=event.amount / len(moments)) if isinstance(event, AddAcid) else event
            found.append((max(at, start_s), part))
    return sorted(found, key=lambda one: one[0])


def _course(run: PotRun, times: list[float], kept: Kept, state: PotState, held: float) -> PotCourse:
    uptake = {}
    for place, dye in enumerate(run.dyes):
        if run.dose_g[dye.name] > 0:
            uptake[dye.name] = _band(np.array([on[:, place] for on in kept.on_g]) / run.dose_g[dye.name])
    fibre = state.going.fibre_g_kg[0]
    temp = np.array([run.temp_c(time) for time in times])
    water = _band(np.array(kept.water_l))
    status, notes = _standing(run, temp, water, state)
    return PotCourse(
        run=run,
        time_s=np.array(times),
        temp_c=temp,
        ph=_band(np.array(kept.ph)),
        water_l=water,
        uptake=uptake,
        on_fibre=_on_fibre(run, fibre, uptake),
        by_fibre=fibre,
        bath_g={dye.name: float(state.going.bath_g_l[0, place] * state.volume_l[0]) for place, dye in enumerate(run.dyes)},
        liquor=_liquor(state, held),
        energy_kwh=_energy(run, times, np.array(kept.water_l)[:, 0]),
        dye_balance=kept.dye_error,
        acid_balance=kept.acid_error,
        status=status,
        notes=notes,
        ph_offset=float(state.offset[0]),
    )


def _band(drawn: Array) -> Band:
    """The first column of (t, n) as the line, the 5 and 95 % of the others as its band, widened where the line lies outside of it."""
    centre = drawn[:, 0]
    if drawn.shape[1] == 1:
        return Band(centre, centre, centre)
    low, high = np.percentile(drawn[:, 1:], [LOWEST_PERCENTILE, HIGHEST_PERCENTILE], axis=1)
    return Band(centre, np.minimum(low, centre), np.maximum(high, centre))


def _on_fibre(run: PotRun, fibre: Array, uptake: dict[str, Band]) -> dict[str, dict[str, Estimate]]:
    """g/kg at the end by base and dye; the spread is that of the whole uptake."""
    found: dict[str, dict[str, Estimate]] = {}
    for base in dict.fromkeys(one.base for one in run.fibres):
        places = [place for place, one in enumerate(run.fibres) if one.base == base]
        masses = np.array([run.fibres[place].mass_g for place in places])
        found[base] = {}
        for number, dye in enumerate(run.dyes):
            if dye.name not in uptake:
                continue
            mean = float(fibre[number, places] @ masses / masses.sum())
            band = uptake[dye.name]
            whole = max(float(band.centre[-1]), 1e-9)
            low, high = mean * float(band.low[-1]) / whole, mean * float(band.high[-1]) / whole
            found[base][dye.name] = Estimate(mean, min(low, mean), max(high, mean), "g/kg", Origin.ASSUMED)
    return found


def _liquor(state: PotState, held: float) -> Composition:
    """What is dissolved at the end without the fibre: its share of the charge stands as strong cations, so that the pH stays."""
    volume = float(state.volume_l[0])
    totals = {name: float(mol[0]) / volume for name, mol in state.mol.items()}
    if state.solved is not None:
        for name, share in state.solved.undissociated_share.items():
            totals[name] *= 1 - float(share[0]) * held
    return Composition(
        acetate=totals["acetate"],
        citrate=totals["citrate"],
        ammonium=totals["ammonium"],
        sulphate=totals["sulphate"],
        carbonate=totals["carbonate"],
        strong_cation=float(state.strong_cation[0]) / volume + float(state.bound_eq_l[0]),
        strong_anion=float(state.strong_anion[0]) / volume,
    )


def _energy(run: PotRun, times: list[float], water_l: Array) -> Estimate:
    """What the source gave while it was on: warming and losses over its efficiency."""
    joules = 0.0
    for place in range(1, len(times)):
        start, end = times[place - 1], times[place]
        on = sum(max(0.0, min(end, off) - max(start, since)) for since, off in run.heated)
        if on <= 0:
            continue
        before, after = run.temp_c(start), run.temp_c(end - 1e-9)
        pot = HotPot(water_l=float(water_l[place - 1]), fibre_g=run.fibre_g, pan_g=1000.0, material="not known", face_m2=0.05, wall_m2=0.15, lid=run.lid)
        if run.vessel is not None:
            pot = hot_pot(run.vessel, float(water_l[place - 1]), run.fibre_g, lid=run.lid)
        middle = 0.5 * (before + after)
        joules += max(0.0, 1000 * pot.heat_capacity_kj_k(middle) * (after - before) + loss_w(pot, middle, run.around) * on)
    usual, least, most = EFFICIENCY.get(run.energy, EFFICIENCY["not known"])
    kwh = joules / 3.6e6
    return Estimate(kwh / usual, kwh / most, kwh / least, "kWh", Origin.ASSUMED, "burner's efficiency")


def _standing(run: PotRun, temp: Array, water: Band, state: PotState) -> tuple[str, tuple[str, ...]]:
    notes = list(run.notes)
    status = run.status
    boils = boiling_point_c(run.around.altitude_m)
    if float(temp.max()) > boils + 0.05:
        notes.append(f"Water boils at {boils:.1f} °C here; the pot is not hotter than that whatever is written down.")
    if not state.laid:
        notes.append("The yarn never goes in: put a 'lay in' step where it does.")
        status = "outside range" if status == "ok" else status
    notes += _falling(run, water)
    if run.vessel is None:
        notes.append("The vessel is not known: no water is taken to steam away.")
    if state.solved is not None and float(state.solved.ionic_strength_mol_l[0]) > 0.5:
        status = "outside range" if status == "ok" else status
        notes.append("The bath holds more salt than the pH model covers (ionic strength 0.5 mol/l).")
    if float(state.mol["ammonium"][0]) > 0 and float(temp.max()) > 80:
        notes.append("Ammonia leaves a hot pot and the pH falls further, by perhaps 0.2 to 0.5 an hour at the boil; this is not counted.")
    return status, tuple(notes)


def _falling(run: PotRun, water: Band) -> list[str]:
    """What to say of a line that falls far."""
    if run.vessel is None:
        return []
    most, end, worst = float(water.centre.max()), float(water.centre[-1]), float(water.low[-1])
    lost = most - end
    line_mm = 1e6 * worst / floor_mm2(run.vessel)
    if lost < 0.5 * most and line_mm >= LEAST_LINE_MM:
        return []
    amount = f"About {lost:.1f} of {most:.1f} l steam away ({max(0.0, most - float(water.high[-1])):.1f} to {most - worst:.1f} l)"
    return [f"{amount}: put a lid on or top up with hot water, and look into the pan early; it must not run dry."]
