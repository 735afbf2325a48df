"""The spread model's speed, with peers in the same run; run by hand, on an idle machine:

    .venv/bin/python benchmarks/spread.py [THREADS] [--write]

`--write` keeps the tables as docs/proof/spread_speed.md. Times are the least of several runs, of the clock and of the processor: on a machine that others
use at the same time the second tells more.

Diffusion alone is compared at equal error (relative L2 of 1e-3 against the exact semigroup of the same grid, 600 points of dye, r = D dt/dx^2): the
explicit stencil
takes as many steps as that needs. The copy limit is what reading and writing a plane of single precision once takes on this machine.
"""

from __future__ import annotations

import os
import platform
import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from datetime import date
from pathlib import Path

from skeinwright.wiring import one_thread_for_small_matrices, wait_without_burning

one_thread_for_small_matrices()
wait_without_burning()

import numpy as np  # noqa: E402
from numba import njit  # noqa: E402

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from skeinwright.core.colourway.document import read_colourway_document  # noqa: E402
from skeinwright.core.spread import transport  # noqa: E402
from skeinwright.core.spread.grid import Grid, panel  # noqa: E402
from skeinwright.core.spread.quick import quick  # noqa: E402
from skeinwright.core.spread.session import session_of  # noqa: E402
from skeinwright.core.spread.skein import grid_of  # noqa: E402
from skeinwright.core.spread.stepper import full, length_s  # noqa: E402
from spread_cases import case  # noqa: E402

N = 512
PLANE = Grid(N, N, 0.01, 0.01)


def best_s(act: Callable[[], object], repeats: int) -> float:
    """The least of several runs, s."""
    return best_both(act, repeats)[0]


def best_both(act: Callable[[], object], repeats: int) -> tuple[float, float]:
    """The least of several runs by the clock, and by the processor's own time of all threads, s."""
    times, worked = [], []
    for _ in range(repeats):
        start, busy = time.perf_counter(), time.process_time()
        act()
        times.append(time.perf_counter() - start)
        worked.append(time.process_time() - busy)
    return min(times), min(worked)


@njit(cache=True)
def _explicit(a, b, r):  # type: ignore[no-untyped-def]
    n, m = a.shape
    for i in range(n):
        up, here, down, out = a[max(i - 1, 0)], a[i], a[min(i + 1, n - 1)], b[i]
        out[0] = here[0] + r * (up[0] + down[0] + here[1] - 3 * here[0])
        for j in range(1, m - 1):
            out[j] = here[j] + r * (up[j] + down[j] + here[j - 1] + here[j + 1] - 4 * here[j])
        out[m - 1] = here[m - 1] + r * (up[m - 1] + down[m - 1] + here[m - 2] - 3 * here[m - 1])


def explicit(start: np.ndarray, r: float, steps: int) -> np.ndarray:
    """Forward Euler with mirrored edges."""
    a, b = start.copy(), np.empty_like(start)
    for _ in range(steps):
        _explicit(a, b, np.float32(r / steps))
        a, b = b, a
    return a


def numpy_stencil(start: np.ndarray, r: float, steps: int) -> np.ndarray:
    """The same in whole arrays."""
    a, small = start.copy(), np.float32(r / steps)
    for _ in range(steps):
        p = np.pad(a, 1, mode="edge")
        a = a + small * (p[:-2, 1:-1] + p[2:, 1:-1] + p[1:-1, :-2] + p[1:-1, 2:] - 4 * a)
    return a


def steps_needed(start: np.ndarray, exact: np.ndarray, r: float) -> int:
    """The fewest explicit steps with an error of 1e-3, in jumps of a quarter."""
    steps = max(2, int(np.ceil(4 * r)) + 1)
    while np.linalg.norm(explicit(start, r, steps) - exact) / np.linalg.norm(exact) > 1e-3 and steps < 5000:
        steps = int(steps * 1.25) + 1
    return steps


def diffusion_rows() -> list[str]:
    """Rows of the table of diffusion alone."""
    import pde

    rng = np.random.default_rng(1)
    start = np.zeros((N, N), np.float32)
    start[rng.integers(0, N, 600), rng.integers(0, N, 600)] = 1
    copy = best_s(lambda: np.copyto(np.empty_like(start), start), 50)
    rows = [f"| copy limit, one plane | | | {1e3 * copy:.3f} | |"]
    for r in (1.0, 4.0, 12.0, 64.0):
        exact = start.astype(np.float64)[None].copy()
        transport.spread(exact, PLANE, r * 1e-4, r * 1e-4)
        ours = start[None].copy()
        transport.spread(ours, PLANE, r * 1e-4, r * 1e-4)
        error = np.linalg.norm(ours[0] - exact[0]) / np.linalg.norm(exact)
        taken = best_s(lambda r=r, ours=ours: transport.spread(ours, PLANE, r * 1e-4, r * 1e-4), 7)  # type: ignore[misc]
        steps = steps_needed(start, exact[0], r)
        peer = best_s(lambda r=r, steps=steps: explicit(start, r, steps), 3)  # type: ignore[misc]
        plain = best_s(lambda r=r, steps=steps: numpy_stencil(start, r, min(steps, 20)), 2) * steps / min(steps, 20)  # type: ignore[misc]
        rows.append(f"| ours | {r:g} | {error:.0e} | {1e3 * taken:.2f} | {taken / copy:.0f} |")
        rows.append(f"| explicit, numba, {steps} steps | {r:g} | 1e-3 | {1e3 * peer:.2f} | {peer / copy:.0f} |")
        rows.append(f"| explicit, numpy, {steps} steps | {r:g} | 1e-3 | {1e3 * plain:.1f} | {plain / copy:.0f} |")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        state = pde.ScalarField(pde.CartesianGrid([[0, N * 0.01]] * 2, N), start.astype(float))
        equation = pde.DiffusionPDE(1e-4, bc="auto_periodic_neumann")
        theirs = best_s(lambda: equation.solve(state, t_range=4.0, dt=0.04, backend="scipy", tracker=None), 1)
    rows.append(f"| explicit, py-pde {pde.__version__}, 100 steps | 4 | | {1e3 * theirs:.0f} | {theirs / copy:.0f} |")
    return rows


def model_rows(threads: int) -> list[str]:
    """Rows of the table of the whole model."""
    import tomllib

    rows = []
    session = case(0.4, 0.15, dyes=3)
    file = session_of(read_colourway_document(tomllib.loads((ROOT / "tests" / "reference" / "data" / "three_rounds.toml").read_text())))
    full(case(0.4, 0.15, dyes=3, time_s=20), panel(64), threads=threads)
    quick(session, panel(64))
    for name, one, grid, goal in (
        (f"panel {N} x {N}, 3 dyes, 1500 s", session, panel(), "3 s"),
        (f"whole skein, 3 dyes in 3 rounds, {length_s(file):.0f} s", file, grid_of(file), "10 s"),
    ):
        kept = []
        taken, worked = best_both(lambda one=one, grid=grid, kept=kept: kept.append(full(one, grid, threads=threads)), 3)  # type: ignore[misc]
        steps = kept[0].steps
        per = 1e9 * worked / steps / (grid.rows * grid.columns)
        rows.append(f"| {name} | {grid.rows} x {grid.columns} | {steps} | {taken:.2f} s | {worked:.2f} s | {per:.0f} | {goal} |")
    for name, one, grid in (("quick, panel 256 x 256, 3 dyes", session, panel(256, 0.02)), ("quick, whole skein, 9 sprinkles", file, grid_of(file, 0.15))):
        taken, worked = best_both(lambda one=one, grid=grid: quick(one, grid, threads=threads), 7)  # type: ignore[misc]
        rows.append(f"| {name} | {grid.rows} x {grid.columns} | | {1e3 * taken:.0f} ms | {1e3 * worked:.0f} ms | | 200 ms |")
    return rows


def tables(threads: int) -> str:
    """Both tables."""
    head = "| diffusion of one 512 x 512 plane | r | error | ms | times the copy limit |\n|---|---|---|---|---|"
    model = "| the whole model | cells | steps | clock | processor | ns of the processor a cell and step | goal, clock |\n|---|---|---|---|---|---|---|"
    return "\n".join([head, *diffusion_rows(), "", model, *model_rows(threads)])


def main() -> None:
    """Print both tables; keep them where that is asked for."""
    numbers = [one for one in sys.argv[1:] if one.isdigit()]
    threads = int(numbers[0]) if numbers else 1
    made = tables(threads)
    print(f"Threads: {threads}. Single precision.\n\n{made}")
    if "--write" in sys.argv:
        commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=ROOT, check=False).stdout.strip()
        load = f", load {os.getloadavg()[0]:.1f} (other work ran at the same time: a quiet machine is quicker)" if hasattr(os, "getloadavg") else ""
        lines = [
            "# Spread: speed, with peers in the same run",
            "",
            f"Made by `benchmarks/spread.py {threads} --write` on {date.today()}, at or after commit {commit}: {platform.system()} {platform.machine()}, "
            f"Python {platform.python_version()}, {os.cpu_count()} cores{load}. {threads} threads, single precision, the least of several runs.",
            "",
            made,
            "",
            "The explicit stencil takes as many steps as an error of 1e-3 needs, in the same single precision; numpy the same; py-pde its own explicit solver.",
            "The copy limit is reading and writing one plane once.",
            "",
        ]
        (ROOT / "docs" / "proof" / "spread_speed.md").write_text("\n".join(lines))


if __name__ == "__main__":
    main()
