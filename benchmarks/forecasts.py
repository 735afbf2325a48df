"""Forecasts a second, and CIEDE2000 beside colour-science; run by hand:

.venv/bin/python benchmarks/forecasts.py
"""

from __future__ import annotations

import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from invented_dyes import UNDYED, invented, ladder
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.recover import recover
from skeinwright.core.forecast.dyeing import fit_dyes, forecast_dyeing
from skeinwright.core.forecast.ground import ground_of


def best_s(act: Callable[[], object], repeats: int) -> float:
    """The least of several runs, in seconds: what the machine can do when nothing disturbs it."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the table."""
    rng = np.random.default_rng(1)
    dyes = [ladder(name, invented(rng), (0.1, 0.5, 2)) for name in ("Kelp", "Ember", "Rosehip")]
    doses, undyed, ground = {"Kelp": 0.005, "Ember": 0.002, "Rosehip": 0.001}, {"Quay Sock": UNDYED}, ground_of(UNDYED)
    models = fit_dyes(dyes, undyed)

    def cold() -> None:
        recover.cache_clear()
        forecast_dyeing(doses, dyes, ground, rng=rng, undyed=undyed)

    lab1, lab2 = rng.uniform([0, -80, -80], [100, 80, 80], (2, 100_000, 3))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        peer = best_s(lambda: colour.delta_E(lab1, lab2, method="CIE 2000"), 5)
    rows = [
        ("forecast, 3 dyes of 3 swatches, fitted afresh", best_s(cold, 20)),
        ("the same, swatches seen before", best_s(lambda: forecast_dyeing(doses, dyes, ground, rng=rng, undyed=undyed), 50)),
        ("the same, dyes fitted before", best_s(lambda: forecast_dyeing(doses, dyes, ground, rng=rng, undyed=undyed, models=models), 100)),
        ("CIEDE2000 of 100 000 pairs", best_s(lambda: ciede2000(lab1, lab2), 5)),
        (f"CIEDE2000 of 100 000 pairs, colour-science {colour.__version__}", peer),
    ]
    print(f"| what | ms | a second |\n|---|---|---|\n{chr(10).join(f'| {name} | {1e3 * taken:.2f} | {1 / taken:.0f} |' for name, taken in rows)}")


if __name__ == "__main__":
    main()
