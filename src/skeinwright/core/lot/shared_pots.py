"""Bases that lie in one pot compete for its dye: what each is likely to get, said before the lot is started."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.lot.lot import Planned, Row
from skeinwright.core.lot.on_shelf import OnShelf

if TYPE_CHECKING:
    import numpy as np

DRAWS, BLOCK_S = 100, 240.0


def shared_pots(plan: Sequence[Planned], rows: Sequence[Row], shelf: OnShelf, *, altitude_m: float, rng: np.random.Generator) -> tuple[str, ...]:
    """For each vessel with more than one base, on which of them each dye lies deepest and on which palest, with its 90 % interval.

    Nothing of a pot that cannot be followed to its end: its own page says why.
    """
    found: list[str] = []
    for vessel in dict.fromkeys(row.vessel for row in rows):
        if len({row.base for row in rows if row.vessel == vessel}) > 1:
            found += _of_pot(plan, rows, vessel, shelf, altitude_m, rng)
    return tuple(found)


def _of_pot(plan: Sequence[Planned], rows: Sequence[Row], vessel: str, shelf: OnShelf, altitude_m: float, rng: np.random.Generator) -> tuple[str, ...]:
    from skeinwright.core.bath.process import process
    from skeinwright.core.bath.said_of_pot import bases_sentences
    from skeinwright.core.lot.in_pot import pot_of_rows

    try:
        run = pot_of_rows(plan, rows, vessel, shelf, altitude_m=altitude_m).run
    except (BadInput, ManyBadInputs):
        return ()
    return bases_sentences(process(run, rng=rng, draws=DRAWS, block_s=BLOCK_S)) if run.status == "ok" else ()
