"""Add one line to the record of a lot inside a transaction: checked, with what it took from the shelf. Every recording service goes through here."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from skeinwright.core.lot.lot import Entry, Lot
from skeinwright.core.lot.record import check
from skeinwright.core.lot.uses import uses_of

if TYPE_CHECKING:
    from skeinwright.store.store import Writing


@dataclass(slots=True)
class OpenRecord:
    """The record of one lot while the pen is held; `entries` grows as lines are added."""

    writing: Writing
    lot: Lot
    entries: list[Entry] = field(default_factory=list)


def open_record(writing: Writing, code: str) -> OpenRecord:
    """The plan and the record of a lot, for adding to. The code may be in small letters."""
    lot = writing.lot(code.strip().upper())
    return OpenRecord(writing, lot, list(writing.entries(lot.code)))


def append_entry(record: OpenRecord, entry: Entry) -> Entry:
    """Check `entry` against all that was written before and add it, with its use events. Raises BadInput or Conflict; then nothing is written."""
    check(record.lot, record.entries, entry)
    kept = record.writing.add_entry(entry, uses_of(record.lot, record.entries, entry))
    record.entries.append(kept)
    return kept
