"""Finish a lot."""

from __future__ import annotations

from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import append_entry, open_record
from skeinwright.services.studio import Studio


def finish_lot(studio: Studio, lot: str, *, minutes_ago: float = 0) -> Entry:
    """Record that the lot is finished; weights, notes, photos and corrections can still be added. Raises Conflict where it is finished already."""
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        return append_entry(record, entry_of(record.lot, Entered.FINISH, studio.now(), minutes_ago=minutes_ago))
