"""Correct a line of the record, or withdraw it: the old line stays, struck through."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from skeinwright.core.lot.lot import Entry
from skeinwright.core.lot.record import correction_of, withdrawal_of
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class CorrectEntry:
    """Which entry, and what stands in its place: a new `value` (in the unit of the old one), `text`, `photo` or time. `withdraw` puts nothing in its place.

    `key` as in `append_entry`.
    """

    lot: str
    entry: int
    value: float | None = None
    text: str = ""
    photo: int | None = None
    at: datetime | None = None
    withdraw: bool = False
    key: str = ""


def correct_entry(studio: Studio, request: CorrectEntry) -> Entry:
    """Add the correction and book the difference in what was used. Raises Conflict where the line is already struck through."""
    now = studio.now()
    with studio.store.writing() as writing:
        record = open_record(writing, request.lot)
        if first := written_by(record, request.key):
            return first[0]
        if request.withdraw:
            entry = withdrawal_of(record.lot, record.entries, request.entry, now, text=request.text)
        else:
            value, text, at, photo = request.value, request.text, request.at, request.photo
            entry = correction_of(record.lot, record.entries, request.entry, now, value=value, text=text, at=at, photo=photo)
        return append_entry(record, entry, key=request.key)
