"""Take the finish of a lot back."""

from __future__ import annotations

from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio


def reopen_lot(studio: Studio, lot: str, *, key: str = "") -> Entry:
    """Record that the lot goes on; the finish stays legible. Raises Conflict where it is not finished. `key` as in `append_entry`."""
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        if first := written_by(record, key):
            return first[0]
        return append_entry(record, entry_of(record.lot, Entered.UNTICK, studio.now()), key=key)
