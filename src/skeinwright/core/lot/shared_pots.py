"""Bases that lie in one pot compete for its dye: what each is likely to get, said before the lot is started."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.lot.lot import Planned, Row
from skeinwright.core.lot.on_shelf import OnShelf

if TYPE_CHECKING:
    from skeinwright.core.bath.pot_run import PotRun

DRAWS, BLOCK_S = 100, 240.0
KEPT = 8


def shared_pots(plan: Sequence[Planned], rows: Sequence[Row], shelf: OnShelf, *, altitude_m: float, seed: int) -> tuple[str, ...]:
    """For each vessel with more than one base, on which of them each dye lies deepest and on which palest, with its 90 % interval.

    Nothing of a pot that cannot be followed to its end: its own page says why.
    """
    from skeinwright.core.lot.in_pot import pot_of_rows

    runs: list[PotRun] = []
    for vessel in dict.fromkeys(row.vessel for row in rows):
        if len({row.base for row in rows if row.vessel == vessel}) > 1:
            with suppress(BadInput, ManyBadInputs):
                runs.append(pot_of_rows(plan, rows, vessel, shelf, altitude_m=altitude_m).run)
    return _said(tuple(run for run in runs if run.status == "ok"), seed)


@lru_cache(maxsize=KEPT)
def _said(runs: tuple[PotRun, ...], seed: int) -> tuple[str, ...]:
    """Kept for the next who asks for the same pots: a lot is drafted anew at every change of its rows, and once more when it is started."""
    import numpy as np

    from skeinwright.core.bath.process import process
    from skeinwright.core.bath.said_of_pot import bases_sentences

    rng = np.random.default_rng(seed)
    return tuple(sentence for run in runs for sentence in bases_sentences(process(run, rng=rng, draws=DRAWS, block_s=BLOCK_S)))
