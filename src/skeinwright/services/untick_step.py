"""Take back what was recorded of a step in one or several vessels: the mis-tap."""

from __future__ import annotations

from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.core.lot.state import state_of, vessels_of
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio


def untick_step(studio: Studio, lot: str, step: int, *, vessels: tuple[str, ...] = (), key: str = "") -> tuple[Entry, ...]:
    """Strike the tick, deviations or skip of `step` through, in these vessels (none: wherever it was done), and give back what they took.

    The struck lines stay in the record. Raises Conflict where a named vessel has nothing to take back. `key` as in `append_entry`.
    """
    now = studio.now()
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        if first := written_by(record, key):
            return first
        state = state_of(record.lot, record.entries)
        chosen = vessels or tuple(
            vessel for vessel in vessels_of(record.lot) if (step, vessel) not in state.doings or state.doing(step, vessel).how != "planned"
        )
        return tuple(
            append_entry(record, entry_of(record.lot, Entered.UNTICK, now, step=step, vessel=vessel), key=key)
            for vessel in chosen or vessels_of(record.lot)[:1]
        )
