"""How well mixtures are forecast from ladders, on hidden dyes (hidden_dyes.py) whose truth is known; writes docs/proof/colour.md.

    python3 run.py prove colour

300 mixtures of three dyes each are forecast from the Labs of the ladders alone and compared with the truth; the stated spread is that of `forecast_dyeing` for
a pot without scatter, since the truth has none. tests/unit/test_hidden_dyes.py keeps a seeded tenth.
"""

from __future__ import annotations

import platform
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import hidden_dyes as HIDDEN
import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.forecast.dyeing import Scatter, fit_dyes, forecast_dyeing
from skeinwright.core.forecast.ground import ground_of
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

ROOT = Path(__file__).parents[1]


LADDERS = ((1.0,), (0.25, 1.0), (0.1, 0.5, 2.0), (0.1, 0.25, 0.5, 1.0, 2.0))
READINGS = {0.0: Reading.INSTRUMENT, 1.0: Reading.TYPED, 2.0: Reading.HEX}
"""What the fit is told of readings with an error of 0, 1 and 2: it takes them to be off by 0.5, 1 and 2."""
GOALS = {(3, 0.0): 0.9, (3, 1.0): 1.7, (1, 0.0): 2.2}
EXACT_POT = Scatter(weighing_fraction=0, weighing_g=0, uptake_fraction=0)
_LEAST_GROUND_SD = 0.3


@dataclass(frozen=True)
class Row:
    """CIEDE2000 between forecast and truth over all mixtures, and the share of the truth that lies within the stated spread."""

    rungs: tuple[float, ...]
    noise: float
    mean: float
    high: float
    spread: float
    held: float


def campaign(rungs: tuple[float, ...], noise: float, seeds: Iterable[int] = HIDDEN.SEEDS) -> Row:
    """One row: ladders of these rungs (per cent), read with this error."""
    errors, spreads = [], []
    for seed in seeds:
        hidden = HIDDEN.hidden_set(seed)
        labs, bare = hidden.read(rungs, noise)
        undyed = {f"yarn {index}": _lab(values) for index, values in enumerate(bare)}
        dyes = [_dye(str(index), rungs, ladder, READINGS[noise], f"yarn {hidden.ladder_yarn}") for index, ladder in enumerate(labs)]
        models, rng = fit_dyes(dyes, undyed), np.random.default_rng(seed)
        for mixture in hidden.mixtures:
            name = f"yarn {mixture.yarn}"
            ground = replace(ground_of(undyed[name], name), sd=max(noise / 2, _LEAST_GROUND_SD))
            doses = {str(index): pct / 100 for index, pct in mixture.doses_pct.items()}
            found = forecast_dyeing(doses, dyes, ground, rng=rng, undyed=undyed, models=models, scatter=EXACT_POT)
            assert found.lab is not None
            assert found.spread_de00 is not None
            errors.append(float(ciede2000(mixture.lab, np.array(found.lab.values))))
            spreads.append(found.spread_de00)
    error, spread = np.array(errors), np.array(spreads)
    return Row(rungs, noise, float(error.mean()), float(np.quantile(error, 0.95)), float(spread.mean()), float((error <= spread).mean()))


def _lab(values: np.ndarray) -> Lab:
    L, a, b = (float(value) for value in values)
    return Lab(L, a, b)


def _dye(name: str, rungs: tuple[float, ...], ladder: np.ndarray, reading: Reading, base: str) -> Dye:
    return Dye(name=name, swatches=tuple(Swatch(depth=pct / 100, lab=_lab(lab), reading=reading, base=base) for pct, lab in zip(rungs, ladder, strict=True)))


def main() -> int:
    """Print and write the table; 1 where a goal is missed."""
    rows = [campaign(rungs, noise) for rungs in LADDERS for noise in READINGS]
    lines = ["| rungs, % | error of a reading | mean CIEDE2000 | 95 % | goal, mean | stated spread, mean | truth within it |", "|---|---|---|---|---|---|---|"]
    missed = []
    for row in rows:
        goal = GOALS.get((len(row.rungs), row.noise))
        if goal is not None and row.mean > goal:
            missed.append(row)
        rungs = " ".join(f"{pct:g}" for pct in row.rungs)
        said = "" if goal is None else f"{goal:g}: {'met' if row.mean <= goal else 'MISSED'}"
        lines.append(f"| {rungs} | {row.noise:g} | {row.mean:.2f} | {row.high:.2f} | {said} | {row.spread:.2f} | {100 * row.held:.0f} % |")
    print("\n".join(lines))
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.strip() or "not known"
    head = (
        "# Colour: mixtures forecast from ladders\n\n"
        "300 mixtures of three hidden dyes (20 sets of nine dyes, three undyed yarns, 0.05-1.6 % of the fibre a dye), forecast from the Labs of the dyes'\n"
        "ladders and of the undyed yarns alone. The ladders of a set are dyed on one yarn, its mixtures on all three.\n"
        "The error of a reading is the standard deviation in each of L\\*, a\\*, b\\*; the undyed yarns are read four times.\n"
        "The stated spread should hold 85-95 % of the truth.\n\n"
        "The hidden dyes (`proofs/hidden_dyes.py`) have another form than the prior of the fit: bands that are asymmetric in wavelength with a shoulder, and\n"
        "a depth curve that saturates. They were committed before the fit was written; while it was, it was tried on sets 100-119, and what the model itself\n"
        "may miss was set on 100-119 and looked at again on 120-139. These are sets 0-19.\n"
        "The mixing law is the program's own, so this tests what can be learned from Labs, and says nothing of real dyes on real wool: there only your own\n"
        "log can tell.\n\n"
        f"Made by `python3 run.py prove colour` on {date.today().isoformat()}, {platform.system()} {platform.machine()}, "
        f"Python {platform.python_version()}, at or after commit {commit}.\n\n"
    )
    (ROOT / "docs" / "proof" / "colour.md").write_text(head + "\n".join(lines) + "\n", encoding="utf-8")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
