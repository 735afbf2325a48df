"""Take the finish of a lot back."""

from __future__ import annotations

from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import append_entry, open_record
from skeinwright.services.studio import Studio


def reopen_lot(studio: Studio, lot: str) -> Entry:
    """Record that the lot goes on; the finish stays legible. Raises Conflict where it is not finished."""
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        return append_entry(record, entry_of(record.lot, Entered.UNTICK, studio.now()))
