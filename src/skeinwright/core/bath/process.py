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
from skeinwright.core.bath.energy import energy_kwh
from skeinwright.core.bath.engine import Engine
from skeinwright.core.bath.guards import LEAST_ML_G
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.pot import Kept, Pot, PotState, fresh_state
from skeinwright.core.bath.pot_run import AddAcid, AddWater, Event, PotRun, PourOff
from skeinwright.core.bath.vessels import floor_mm2
from skeinwright.core.bath.water_properties import boiling_point_c
from skeinwright.core.foundations.estimate import Estimate, Origin

DRAWS = 200
BLOCK_S = 60.0
QUICK_BLOCK_S = 240.0
LOWEST_PERCENTILE, HIGHEST_PERCENTILE = 5.0, 95.0
LEAST_LINE_MM, TELLING_SHARE, HALF = 10.0, 0.2, 0.5
"""A note is made where half of the liquor steams away; or where it would stand lower than this over the floor at the fast end of the interval, and steam has a
fifth of the blame."""


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
    corners |= {time for time, _ in (*run.programme, *run.lids) if time > start}
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
    water, steamed = _band(np.array(kept.water_l)), _band(np.array(kept.steamed_l))
    status, notes = _standing(run, times, temp, water, steamed, state)
    return PotCourse(
        run=run,
        time_s=np.array(times),
        temp_c=temp,
        ph=_band(np.array(kept.ph)),
        water_l=water,
        steamed_l=steamed,
        uptake=uptake,
        on_fibre=_on_fibre(run, state.going.fibre_g_kg, uptake),
        by_fibre=fibre,
        fibre_draws=state.going.fibre_g_kg,
        bath_g={dye.name: float(state.going.bath_g_l[0, place] * state.volume_l[0]) for place, dye in enumerate(run.dyes)},
        liquor=_liquor(state, held),
        energy_kwh=energy_kwh(run, times, np.array(kept.water_l)[:, 0]),
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
    """g/kg at the end by base and dye, from (n, dyes, fibres): how much goes on and how the bases share it."""
    found: dict[str, dict[str, Estimate]] = {}
    for base in dict.fromkeys(one.base for one in run.fibres):
        places = [place for place, one in enumerate(run.fibres) if one.base == base]
        masses = np.array([run.fibres[place].mass_g for place in places])
        found[base] = {}
        for number, dye in enumerate(run.dyes):
            if dye.name not in uptake:
                continue
            band = _band((fibre[:, number, places] @ masses / masses.sum())[None, :])
            found[base][dye.name] = Estimate(float(band.centre[0]), float(band.low[0]), float(band.high[0]), "g/kg", Origin.ASSUMED)
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


def _standing(run: PotRun, times: list[float], temp: Array, water: Band, steamed: Band, state: PotState) -> tuple[str, tuple[str, ...]]:
    notes = list(run.notes)
    status = run.status
    boils = boiling_point_c(run.around.altitude_m)
    if float(temp.max()) > boils + 0.05:
        notes.append(f"Water boils at {boils:.1f} °C here; the pot is not hotter than that whatever is written down.")
    if not state.laid:
        notes.append("The yarn never goes in: put a 'lay in' step where it does.")
        status = "outside range" if status == "ok" else status
    if float(water.centre.max()) < LEAST_ML_G * run.fibre_g / 1000:
        status = "outside range" if status == "ok" else status
        soaked = f"{run.fibre_g:.0f} g of yarn soak up (about {LEAST_ML_G * run.fibre_g:.0f} ml)"
        notes.append(f"{1000 * float(water.centre.max()):.0f} ml of liquor is less than {soaked}: there is no bath round it, and this is only a guess.")
    notes += _falling(run, water, _since_poured(run, times, steamed))
    if run.vessel is None:
        notes.append("The vessel is not known: no water is taken to steam away.")
    if state.solved is not None and float(state.solved.ionic_strength_mol_l[0]) > 0.5:
        status = "outside range" if status == "ok" else status
        notes.append("The bath holds more salt than the pH model covers (ionic strength 0.5 mol/l).")
    if float(state.mol["ammonium"][0]) > 0 and float(temp.max()) > 80:
        notes.append("Ammonia leaves a hot pot and the pH falls further, by perhaps 0.2 to 0.5 an hour at the boil; this is not counted.")
    return status, tuple(notes)


def _since_poured(run: PotRun, times: list[float], steamed: Band) -> Band:
    """What has steamed away since liquor was last poured off."""
    poured = max((event.at_s for event in run.events if isinstance(event, PourOff)), default=times[0])
    place = min(int(np.searchsorted(times, poured)), len(times) - 1)
    return Band(*(line - line[place] for line in (steamed.centre, steamed.low, steamed.high)))


def _falling(run: PotRun, water: Band, steamed: Band) -> list[str]:
    """What to say of a line that falls far by steam. What is poured off is no steam."""
    if run.vessel is None:
        return []
    worst = float(water.low[-1])
    lost, least, most = (float(line[-1]) for line in (steamed.centre, steamed.low, steamed.high))
    there = float(water.centre[-1]) + lost
    line_mm = 1e6 * worst / floor_mm2(run.vessel)
    if lost < HALF * there and (line_mm >= LEAST_LINE_MM or most < TELLING_SHARE * (worst + most)):
        return []
    cover = "put a lid on or top up" if run.ever_open else "top up"
    amount = f"About {lost:.1f} of {there:.1f} l steam away ({least:.1f} to {most:.1f} l)"
    return [f"{amount}: {cover} with hot water, and look into the pan early; it must not run dry."]
