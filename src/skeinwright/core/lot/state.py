"""The state of a lot, computed from its entries: what is done, what comes next, what was really taken, what was struck through.

A pure function of the plan and the list of entries, in the order in which they were written. Nothing is ever removed from the list: an entry that was
corrected or taken back is a struck line, still legible, and the newest standing line counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Literal

from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned

WITHDRAWN = "withdrawn"
"""`about` of a correction that puts nothing in the place of what it strikes."""

How = Literal["planned", "done", "skipped"]
Status = Literal["planned", "under way", "finished", "from the notebook"]
_DOING = (Entered.TICK, Entered.INSTEAD, Entered.SKIP)


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as it was written, and what it stands for now.

    `stands` is None where the line is struck through (by entry `struck_by`) or says nothing by itself (an untick, a withdrawal).
    For a correction it is the first entry of the chain with the new values.
    """

    entry: Entry
    stands: Entry | None
    struck_by: int | None = None
    place: int = 0
    """Where it stands in the order of the record: a correction has the place of what it corrects."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Doing:
    """One step in one vessel: how it stands, when it was done, its doses as planned and as taken."""

    step: int
    vessel: str
    how: How = "planned"
    at: datetime | None = None
    planned: tuple[Dose, ...] = ()
    actual: tuple[Dose, ...] = ()
    instead: tuple[Entry, ...] = ()
    """Standing deviations, one for each thing that differed."""
    ticked: bool = False
    """True where it was ticked as planned (it may carry deviations as well)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LotState:
    """All that the record says of a lot now."""

    status: Status
    lines: tuple[Line, ...]
    doings: Mapping[tuple[int, str], Doing]
    """By (step number, vessel)."""
    next_step: Mapping[str, int | None]
    """By vessel: the number of the first step that is neither done nor skipped."""
    extras: tuple[Entry, ...] = ()
    weights: tuple[Entry, ...] = ()
    marks: Mapping[int, Entry] = field(default_factory=lambda: MappingProxyType({}))
    """The wet identity last seen, by row."""
    readings: tuple[Entry, ...] = ()
    """Wet weights, pH and temperatures."""
    notes: tuple[Entry, ...] = ()
    photos: tuple[Entry, ...] = ()
    finished_at: datetime | None = None

    def doing(self, step: int, vessel: str) -> Doing:
        """One step in one vessel."""
        return self.doings[(step, vessel)]


def vessels_of(lot: Lot) -> tuple[str, ...]:
    """The vessels of a lot in the order of its rows; ("",) where none is named."""
    return tuple(dict.fromkeys(row.vessel for row in lot.rows)) or ("",)


def dose_key(dose: Dose) -> str:
    """How an entry names a planned dose in `about`: "dye Kelp", "acid vinegar 5 %"."""
    return f"{dose.kind} {dose.name}"


def lines_of(entries: Sequence[Entry]) -> tuple[Line, ...]:
    """Every entry with what it stands for; a line is struck by a correction that names it or by an untick of its step."""
    lines: list[Line] = []
    for entry in entries:
        if entry.what is Entered.CORRECTION:
            lines.append(_correct(lines, entry))
        elif entry.what is Entered.UNTICK:
            _strike_doings(lines, entry)
            lines.append(Line(entry, None, place=len(lines)))
        else:
            lines.append(Line(entry, entry, place=len(lines)))
    return tuple(lines)


def _correct(lines: list[Line], entry: Entry) -> Line:
    """Strike the line that `entry` replaces and return the correction's own line."""
    for place, line in enumerate(lines):
        if line.entry.id is not None and line.entry.id == entry.replaces and line.stands is not None:
            lines[place] = replace(line, stands=None, struck_by=entry.id)
            return Line(entry, None if entry.about == WITHDRAWN else _with_values(line.stands, entry), place=line.place)
    return Line(entry, None, place=len(lines))


def _with_values(root: Entry, new: Entry) -> Entry:
    """`root` with the values of a correction: what, step, vessel, row and `about` stay; the rest is as corrected."""
    return replace(
        root,
        id=new.id,
        at=new.at,
        entered_at=new.entered_at,
        value=new.value,
        unit=new.unit,
        text=new.text,
        photo=root.photo if new.photo is None else new.photo,
        said=new.said or root.said,
        doses=new.doses,
    )


def _strike_doings(lines: list[Line], entry: Entry) -> None:
    """An untick strikes what was done to its step in its vessel (one line of it where it names one); without a step it reopens a finished lot."""
    kinds = (Entered.FINISH,) if entry.step is None else _DOING
    for place, line in enumerate(lines):
        stands = line.stands
        if stands is None or stands.what not in kinds or (stands.step, stands.vessel) != (entry.step, entry.vessel):
            continue
        if entry.replaces is None or line.entry.id == entry.replaces:
            lines[place] = replace(line, stands=None, struck_by=entry.id)


def state_of(lot: Lot, entries: Sequence[Entry]) -> LotState:
    """Fold the entries, in the order in which they were written, into the state of the lot."""
    lines = lines_of(entries)
    standing = [line.stands for line in sorted(lines, key=lambda line: line.place) if line.stands is not None]
    vessels = vessels_of(lot)
    doings = {(planned.number, vessel): _doing(planned, vessel, standing) for planned in lot.plan for vessel in vessels}
    next_step = {vessel: next((p.number for p in lot.plan if doings[(p.number, vessel)].how == "planned"), None) for vessel in vessels}
    finish = next((entry for entry in reversed(standing) if entry.what is Entered.FINISH), None)
    begun = bool(entries)
    status: Status = "from the notebook" if lot.old else "finished" if finish is not None else "under way" if begun or lot.unplanned else "planned"

    def of(*kinds: Entered) -> tuple[Entry, ...]:
        return tuple(entry for entry in standing if entry.what in kinds)

    return LotState(
        status=status,
        lines=lines,
        doings=MappingProxyType(doings),
        next_step=MappingProxyType(next_step),
        extras=of(Entered.EXTRA),
        weights=of(Entered.WEIGHT),
        marks=MappingProxyType({entry.row: entry for entry in of(Entered.MARK) if entry.row is not None}),
        readings=of(Entered.WET_WEIGHT, Entered.PH, Entered.TEMPERATURE),
        notes=of(Entered.NOTE),
        photos=of(Entered.PHOTO),
        finished_at=None if finish is None else finish.at,
    )


def _doing(planned: Planned, vessel: str, standing: Sequence[Entry]) -> Doing:
    doses = tuple(dose for dose in planned.doses if dose.vessel == vessel)
    mine = [entry for entry in standing if entry.what in _DOING and (entry.step, entry.vessel) == (planned.number, vessel)]
    if not mine:
        return Doing(step=planned.number, vessel=vessel, planned=doses)
    if mine[-1].what is Entered.SKIP:
        return Doing(step=planned.number, vessel=vessel, how="skipped", at=mine[-1].at, planned=doses)
    instead = {entry.about: entry for entry in mine if entry.what is Entered.INSTEAD}
    actual: list[Dose] = []
    for dose in doses:
        other = instead.get(dose_key(dose))
        actual += [dose] if other is None else list(other.doses)
    at = next((entry.at for entry in mine if entry.what is Entered.TICK), mine[0].at)
    ticked = any(entry.what is Entered.TICK for entry in mine)
    return Doing(step=planned.number, vessel=vessel, how="done", at=at, planned=doses, actual=tuple(actual), instead=tuple(instead.values()), ticked=ticked)
