"""Add one line to the record of a lot inside a transaction: checked, with what it took from the shelf. Every recording service goes through here."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Entry, Lot
from skeinwright.core.lot.record import check
from skeinwright.core.lot.uses import uses_of

if TYPE_CHECKING:
    from skeinwright.store.store import Writing

_KEY = re.compile(r"[A-Za-z0-9_-]{1,64}")


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


def check_key(key: str) -> None:
    """Raise BadInput for a key that no form makes; no key is fine."""
    if key and not _KEY.fullmatch(key):
        raise BadInput("The key of a request is up to 64 letters, digits, - and _.", where="key")


def written_by(record: OpenRecord, key: str) -> tuple[Entry, ...]:
    """What the request of this `key` wrote when it came the first time; empty where it is new or has no key.

    A form carries a key of its own, so a double tap, or a request that is sent again because its answer was lost, finds its own lines here.
    Raises BadInput for a key that no form makes.
    """
    check_key(key)
    return () if not key else tuple(entry for entry in record.entries if entry.key.partition("/")[0] == key)


def append_entry(record: OpenRecord, entry: Entry, *, key: str = "") -> Entry:
    """Check `entry` against all that was written before and add it, with its use events. Raises BadInput or Conflict; then nothing is written.

    Further lines of the request of one `key` are told apart by their number: "key", "key/2", "key/3".
    """
    if key:
        before = len(written_by(record, key))
        entry = replace(entry, key=key if not before else f"{key}/{before + 1}")
    check(record.lot, record.entries, entry)
    kept = record.writing.add_entry(entry, uses_of(record.lot, record.entries, entry))
    record.entries.append(kept)
    return kept
