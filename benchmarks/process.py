"""A pot's run with its bands beside scipy's solve_ivp on the same dye equations, in one process on one core; run by hand:

    .venv/bin/python benchmarks/process.py

Two peers, one draw each, without steam: the dye alone with a partition that stands still, and the dye with the pH solved in every evaluation, as the coupled
system asks. Times are of the processor (process_time), so that other work on the machine does not count.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from scipy.integrate import solve_ivp

from skeinwright.core.bath.acids import VINEGAR
from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.classes import CLASSES
from skeinwright.core.bath.engine import PLAIN, make_compiled_ready
from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan, fibre_in_bath, held_per_litre, nylon, with_dye, wool
from skeinwright.core.bath.isotherm import Array, counted_anions_eq_l, partition
from skeinwright.core.bath.kinetics import FIBRE_RADIUS_M, ON_RATE, relative_rate
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.bath.process import DRAWS, QUICK_BLOCK_S, process
from skeinwright.core.bath.waters import stated_alkalinity, tap_water
from skeinwright.core.shelf.items import Vessel

NAMES = ("Kelp", "Ember", "Rosehip")
RUN = PotRun(
    fibres=(FibreInPot(base="Quay Sock", kind="superwash", mass_g=75), FibreInPot(base="Quay Sock", kind="nylon", mass_g=25)),
    dyes=tuple(DyeInPot(name=name, dye_class=kind) for name, kind in zip(NAMES, ("levelling", "half-milling", "milling"), strict=True)),
    events=(
        AddWater(at_s=0, volume_ml=3000),
        AddDye(at_s=0, grams=tuple((name, 0.5) for name in NAMES)),
        LayIn(at_s=120),
        AddAcid(at_s=600, acid=VINEGAR, amount=45),
    ),
    programme=((0, 40), (2880, 88), (5400, 88)),
    alkalinity=stated_alkalinity(100),
    vessel=Vessel(name="Kettle", shape="round", length_mm=260, height_mm=200),
)


def best_s(act: Callable[[], object], repeats: int) -> float:
    """The least of several runs, in seconds of the processor."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        act()
        times.append(time.process_time() - start)
    return min(times)


MASS_KG, LITRES = np.array([0.075, 0.025]), 3.0
SITES = np.array([[150.0, 13.0], [120.0, 20.0], [100.0, 20.0]])
SPEED = np.array([[9e-15, 3e-15], [3e-15, 3e-15], [1e-15, 1e-15]]) / FIBRE_RADIUS_M**2
SLOPES = np.array([1.0, 5.0])
CLASS = [CLASSES[name] for name in ("levelling", "half-milling", "milling")]
IONIC, NEUTRAL = np.array([one.ionic for one in CLASS]), np.array([one.neutral for one in CLASS])
CHARGES = np.array([one.sulphonates for one in CLASS])
FILM_L_KG_S = 0.03


def partitions(q: Array, temp_c: float, acid: float) -> Array:
    """Kp of three dyes on two fibres in the bath's own pH, the acid that dye took along counted."""
    brought = float(((CHARGES * 0.55 / 500)[:, None] * q).sum(axis=0) @ MASS_KG) / 0.1
    yarn = with_dye((wool(75.0), nylon(25.0)), brought)
    mixed = replace(tap_water(100.0).plus(VINEGAR.in_bath(acid, 3045.0)), held=held_per_litre(yarn, 3045.0))
    solved = solve_ph(mixed, temp_c, fibre=fibre_in_bath(yarn, 3045.0))
    counted = float(counted_anions_eq_l(solved.anions_eq_l))
    filled = donnan(10**-solved.ph, counted, WOOL_SITES_MOL_KG).filled
    return np.asarray(partition(IONIC, NEUTRAL, filled, CHARGES, counted, temp_c)[:, None] * SLOPES)


def peer(*, coupled: bool) -> Array:
    """Three dyes on two fibres, 90 min, one draw, by solve_ivp (LSODA, rtol 1e-4): quadratic driving force, film, dual mode with shared sites."""
    fixed = np.array([[900.0, 4500.0], [900.0, 4500.0], [2500.0, 12500.0]])

    def rate(t: float, y: Array) -> Array:
        q = np.maximum(y[:6].reshape(3, 2), 1e-9)
        c = np.maximum(y[6:], 0.0)
        temp_c = min(88.0, 40.0 + t / 60)
        k = ON_RATE * SPEED * relative_rate(temp_c, 80e3)
        kp = partitions(q, temp_c, 45.0 if t > 600 else 0.0) if coupled else fixed
        face = c[:, None] * np.ones(2)
        for _ in range(4):
            crowd = 1 + (0.9 * kp * face / SITES).sum(axis=0)
            rest = (0.9 * kp / crowd + 0.1 * kp) * face
            flux = 0.5 * k * (rest**2 - q**2) / q
            slope = k * rest * (0.9 * kp / crowd + 0.1 * kp) / q + FILM_L_KG_S
            face = np.maximum(face - (flux - FILM_L_KG_S * (c[:, None] - face)) / slope, 0.0)
        flux = FILM_L_KG_S * (c[:, None] - face)
        return np.concatenate([flux.ravel(), -(flux @ MASS_KG) / LITRES])

    start = np.concatenate([np.full(6, 1e-6), np.full(3, 0.5 / LITRES)])
    return np.asarray(solve_ivp(rate, (0, 5400), start, method="LSODA", rtol=1e-4, atol=1e-7, t_eval=np.linspace(0, 5400, 91)).y)


def main() -> None:
    """Print the table."""
    plain_whole = best_s(lambda: process(RUN, rng=np.random.default_rng(1), draws=DRAWS, loops=PLAIN), 5)
    plain_line = best_s(lambda: process(RUN, loops=PLAIN), 10)
    make_compiled_ready()
    whole = best_s(lambda: process(RUN, rng=np.random.default_rng(1), draws=DRAWS), 5)
    line = best_s(lambda: process(RUN), 10)
    live = best_s(lambda: process(RUN, block_s=QUICK_BLOCK_S), 10)
    alone, coupled = best_s(partial(peer, coupled=False), 3), best_s(partial(peer, coupled=True), 1)
    rows = [
        (f"3 dyes, 2 fibres, 90 min, {DRAWS} draws and the line, with pH, acid and water, compiled", whole),
        ("the same by arrays, while nothing is compiled", plain_whole),
        ("the centre line alone, compiled", line),
        ("the same by arrays", plain_line),
        ("the line as a slider asks for it, the pH every 4 min, compiled", live),
        ("one draw by scipy's solve_ivp (LSODA), the dye alone", alone),
        ("one draw by scipy's solve_ivp (LSODA), dye and pH", coupled),
    ]
    print("| what | ms |\n|---|---|")
    for name, taken in rows:
        print(f"| {name} | {1e3 * taken:.0f} |")
    mine = whole / (DRAWS + 1)
    print(f"\nA draw is {coupled / mine:.0f} times as fast as solve_ivp with the pH (goal 50) and {alone / mine:.0f} times as fast as the dye alone.")
    print(f"All of them take {whole:.2f} s (goal 0.3). Much of the first peer's time is our own pH solver for one bath, called at every evaluation.")


if __name__ == "__main__":
    main()
