"""Record a weight, a pH, a temperature, the wet identity, a note or a photo."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import Habits, parse
from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.services.append_entry import OpenRecord, append_entry, open_record, written_by
from skeinwright.services.studio import Studio

_MEASURED = {Entered.WEIGHT: ("mass", "g"), Entered.WET_WEIGHT: ("mass", "g"), Entered.PH: ("ph", ""), Entered.TEMPERATURE: ("temperature", "C")}
_OTHERS = (Entered.MARK, Entered.NOTE, Entered.PHOTO)


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordEntry:
    """`what` is a weight, wet weight, pH, temperature, mark, note or photo; `said` its number or words as typed ("98 g", "4.5", "2 ties").

    `about` names the skein that is weighed ("1", "2"); `row` the row that it or the mark belongs to; a bare number is read in grams or C.
    `key` as in `append_entry`.
    """

    lot: str
    what: Entered
    said: str = ""
    step: int | None = None
    vessel: str = ""
    row: int | None = None
    about: str = ""
    photo: int | None = None
    minutes_ago: float = 0
    key: str = ""


def record_entry(studio: Studio, request: RecordEntry) -> Entry:
    """Add one entry. Raises BadInput where the number cannot be one of its kind."""
    with studio.store.writing() as writing:
        return append_entry_said(open_record(writing, request.lot), request, now=studio.now(), habits=writing.settings().habits())


def append_entry_said(record: OpenRecord, request: RecordEntry, *, now: datetime, habits: Habits) -> Entry:
    """Read what was said and add it; for services that hold the pen already."""
    if first := written_by(record, request.key):
        return first[0]
    if request.what not in (*_MEASURED, *_OTHERS):
        raise BadInput(f"A {request.what.value} is recorded by its own service.", where="what")
    value, unit = None, ""
    if request.what in _MEASURED:
        kind, unit = _MEASURED[request.what]
        value = parse(kind, with_unit(request.said, unit), where=request.what.value, habits=habits).value
    if request.what in (Entered.WEIGHT, Entered.MARK) and request.row is None:
        raise BadInput("Say which row of the lot it is.", where="row")
    if request.what is Entered.MARK and not request.said.strip():
        raise BadInput("Say what marks the skein: a tag number, or how many ties.", where="mark")
    entry = entry_of(
        record.lot,
        request.what,
        now,
        minutes_ago=request.minutes_ago,
        step=request.step,
        vessel=request.vessel,
        row=request.row,
        about=request.about,
        value=value,
        unit=unit,
        text="" if value is not None else request.said.strip(),
        photo=request.photo,
    )
    return append_entry(record, entry, key=request.key)
