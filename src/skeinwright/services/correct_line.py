"""Correct a line of the record by what the dyer says of it: a number as people write it, other words, another time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.state import state_of
from skeinwright.services.append_entry import open_record, written_by
from skeinwright.services.correct_entry import CorrectEntry, correct_entry
from skeinwright.services.get_lot import get_lot
from skeinwright.services.studio import Studio

_KINDS = {Entered.WEIGHT: ("mass", "g"), Entered.WET_WEIGHT: ("mass", "g"), Entered.PH: ("ph", ""), Entered.TEMPERATURE: ("temperature", "C")}
_UNITS = {"g": ("mass", 1.0), "ml": ("volume", 1.0), "min": ("time", 60.0), "C": ("temperature", 1.0), "C/min": ("rate", 1.0)}


@dataclass(frozen=True, kw_only=True, slots=True)
class CorrectLine:
    """Which entry, and what is said in its place: `said` is a number (in its old unit where it names none) or words; `at` another time; or `withdraw`.

    `key` as in `append_entry`.
    """

    lot: str
    entry: int
    said: str = ""
    at: datetime | None = None
    withdraw: bool = False
    key: str = ""


def correct_line(studio: Studio, request: CorrectLine) -> Entry:
    """Read what was said and add the correction; the old line stays, struck through.

    Raises BadInput where nothing was said or the number cannot be read, Conflict where the line is struck through already.
    """
    with studio.store.writing() as writing:
        if first := written_by(open_record(writing, request.lot), request.key):
            return first[0]
    old = standing_entry(studio, request.lot, request.entry)
    said = request.said.strip()
    if request.withdraw or not (said or request.at):
        if not request.withdraw:
            raise BadInput("Say what was really done, or strike the line through.", where="said")
        return correct_entry(studio, CorrectEntry(lot=request.lot, entry=request.entry, withdraw=True, key=request.key))
    if said and is_number(old):
        value = _read(studio, old, said)
        return correct_entry(studio, CorrectEntry(lot=request.lot, entry=request.entry, value=value, at=request.at, key=request.key))
    return correct_entry(studio, CorrectEntry(lot=request.lot, entry=request.entry, text=said, at=request.at, key=request.key))


def standing_entry(studio: Studio, lot: str, entry: int) -> Entry:
    """The entry as it stands, whichever correction of it is the newest: what it is of comes from the first line. Raises BadInput where it stands no more."""
    view = get_lot(studio, lot)
    for line in state_of(view.lot, view.entries).lines:
        if line.entry.id == entry:
            if line.stands is None:
                raise BadInput("That line is already struck through; correct the newer one.", where="said")
            return line.stands
    raise BadInput(f"There is no line {entry} in the record of this lot.", where="said")


def is_number(entry: Entry) -> bool:
    """True where the line is a number that can be put right; an act that took several things at once is struck through and written anew."""
    if entry.what is Entered.EXTRA:
        return len(entry.doses) == 1
    return entry.value is not None and len(entry.doses) <= 1


def unit_of(entry: Entry) -> str:
    """The unit in which a bare number is read."""
    if entry.what in _KINDS:
        return _KINDS[entry.what][1]
    return entry.doses[0].unit if len(entry.doses) == 1 else entry.unit


def _read(studio: Studio, entry: Entry, said: str) -> float:
    with studio.store.reading() as reading:
        habits = reading.settings().habits()
    unit = unit_of(entry)
    kind, size = ("ph", 1.0) if entry.what is Entered.PH else _UNITS.get(unit, ("count", 1.0))
    return parse(kind, with_unit(said, unit), where="said", habits=habits).value / size
