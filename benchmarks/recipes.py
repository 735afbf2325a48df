"""Recipes, forecasts and colour differences a second, beside colour-science and scipy; writes docs/proof/colour_speed.md.

    .venv/bin/python benchmarks/recipes.py

Wall clock, the least of several runs after a warm-up; the processor's own time stands beside it, because a busy machine stretches the first.
"""

from __future__ import annotations

import os
import platform
import sys
import time
import warnings
from collections.abc import Callable
from datetime import date
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # small products gain nothing from threads, and lose much on a busy machine
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from invented_dyes import BASE, invented, ladder
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import dye_set
from skeinwright.core.colour.ladder import fit_dye
from skeinwright.core.colour.match import Wanted, combos_of, find_matches
from skeinwright.core.colour.solve import Solver, nearness
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import WAVELENGTHS_NM, weights
from skeinwright.core.shelf.swatch import Lab

ROOT = Path(__file__).parents[1]
NAMES = [f"dye {index:02d}" for index in range(24)]


def best_s(act: Callable[[], object], repeats: int) -> tuple[float, float]:
    """The least of several runs in seconds: by the wall, by the processor."""
    act()
    wall, own = [], []
    for _ in range(repeats):
        start, used = time.perf_counter(), time.process_time()
        act()
        wall.append(time.perf_counter() - start)
        own.append(time.process_time() - used)
    return min(wall), min(own)


def main() -> None:
    """Print and write the table."""
    rng = np.random.default_rng(5)
    swatches = [ladder(name, invented(rng), (0.1, 0.5, 2)).swatches for name in NAMES]
    models = {name: fit_dye(rungs, BASE) for name, rungs in zip(NAMES, swatches, strict=True)}
    dyes, limits = dye_set(models, BASE), np.full(24, 0.04)
    depths = np.zeros(24)
    depths[[3, 11, 19]] = 0.004, 0.002, 0.003
    target = dyes.labs(depths)
    L, a, b = (float(value) for value in target)
    solver, triples, quads = Solver(dyes, target, limits), combos_of(dyes, 3), combos_of(dyes, 4)
    three = dye_set(models, BASE, names=NAMES[:3])
    many = np.exp(rng.uniform(np.log(1e-4), np.log(0.03), (100_000, 3)))
    spectra = three.spectra(many)
    one, other = rng.uniform([0, -80, -80], [100, 80, 80], (2, 1_000_000, 3))
    few = triples[rng.choice(len(triples), 40, replace=False)]
    weight = nearness(target)

    def peer_solve() -> None:
        from scipy.optimize import least_squares

        for combo in few:

            def off(x: np.ndarray, combo: np.ndarray = combo) -> np.ndarray:
                dense = np.zeros(24)
                dense[combo] = x
                result: np.ndarray = weight @ (spectrum_to_lab(dyes.spectra(dyes.depths(dense))) - target)
                return result

            least_squares(off, np.minimum(solver.start[combo], 0.99 * solver.most[combo]), bounds=(0, solver.most[combo]))

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        shape = colour.SpectralShape(400, 700, 10)
        cmfs = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(shape)
        light = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
        peer_xyz = best_s(lambda: colour.msds_to_XYZ(spectra, cmfs=cmfs, illuminant=light, method="Integration", shape=shape), 3)
        peer_difference = best_s(lambda: colour.delta_E(one, other, method="CIE 2000"), 2)
    peer = best_s(peer_solve, 1)
    scaled = tuple(value * len(triples) / len(few) for value in peer)
    rows: list[tuple[str, tuple[float, ...], str]] = [
        ("a dye fitted to three rungs of Lab", best_s(lambda: fit_dye(swatches[0], BASE), 20), "5-10 ms"),
        (f"{len(triples)} triples of 24 dyes solved for one target", best_s(lambda: solver.solve(triples), 10), "under 100 ms"),
        (f"the same by scipy's least_squares, one by one ({len(few)} timed, scaled)", scaled, ""),
        (f"{len(quads)} quads of 24 dyes solved for one target", best_s(lambda: solver.solve(quads), 5), "under 1 s"),
        ("a target matched: 1-3 dyes of 24, polished and ranked", best_s(lambda: find_matches(dyes, Wanted(lab=Lab(L, a, b), max_dyes=3)), 5), ""),
        ("the same out of reach", best_s(lambda: find_matches(dyes, Wanted(lab=Lab(50, 0, -120), max_dyes=3)), 5), ""),
        ("the same out of reach, 1-4 dyes", best_s(lambda: find_matches(dyes, Wanted(lab=Lab(50, 0, -120), max_dyes=4)), 2), ""),
        ("100 000 forecasts of three dyes, dose to Lab", best_s(lambda: three.labs(many), 5), "under 1 s"),
        ("100 000 spectra to XYZ", best_s(lambda: spectra @ weights(), 5), ""),
        (f"the same, colour-science {colour.__version__}", peer_xyz, ""),
        ("CIEDE2000 of 1 000 000 pairs, on two threads", best_s(lambda: ciede2000(one, other), 3), "a fifth of the next"),
        (f"the same, colour-science {colour.__version__}", peer_difference, ""),
    ]
    assert len(WAVELENGTHS_NM) == spectra.shape[1]
    lines = ["| what | ms | processor, ms | goal |", "|---|---|---|---|"]
    lines += [f"| {name} | {1e3 * taken[0]:.2f} | {1e3 * taken[1]:.2f} | {goal} |" for name, taken, goal in rows]
    print("\n".join(lines))
    head = (
        "# Colour: speed\n\n"
        f"Made by `benchmarks/recipes.py` on {date.today().isoformat()}, {platform.system()} {platform.machine()}, Python {platform.python_version()}, "
        "numpy only, one thread for\n"
        "linear algebra, on a machine with two cores that did nothing else. The least of several runs after a warm-up, by the wall and by the\n"
        "processor; the goals are for the wall of a quiet machine. Peers run in the same run, on one thread, as they come.\n\n"
    )
    (ROOT / "docs" / "proof" / "colour_speed.md").write_text(head + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
