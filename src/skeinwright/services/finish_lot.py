"""Finish a lot."""

from __future__ import annotations

from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio


def finish_lot(studio: Studio, lot: str, *, minutes_ago: float = 0, key: str = "") -> Entry:
    """Record that the lot is finished; weights, notes, photos and corrections can still be added. Raises Conflict where it is finished already.

    `key` as in `append_entry`: sent again, it returns what it wrote the first time.
    """
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        if first := written_by(record, key):
            return first[0]
        return append_entry(record, entry_of(record.lot, Entered.FINISH, studio.now(), minutes_ago=minutes_ago), key=key)
