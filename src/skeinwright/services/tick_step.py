"""Tick steps as done, in one or several vessels at once."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Entered, Entry
from skeinwright.core.lot.record import entry_of
from skeinwright.core.lot.state import state_of, vessels_of
from skeinwright.services.append_entry import append_entry, open_record, written_by
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class TickStep:
    """Which steps of which lot, in which vessels (none: all of them), and how long ago. `skip` records that they were left out instead.

    `key` as in `append_entry`.
    """

    lot: str
    steps: tuple[int, ...]
    vessels: tuple[str, ...] = ()
    minutes_ago: float = 0
    skip: bool = False
    why: str = ""
    key: str = ""


def tick_step(studio: Studio, request: TickStep) -> tuple[Entry, ...]:
    """Tick all that is not ticked yet and return the new entries; a second tap on the same step adds nothing.

    The same request sent again (same `key`) returns what it wrote the first time, even where the tick was taken back since.
    """
    if not request.steps:
        raise BadInput("Say which step was done.", where="steps")
    what = Entered.SKIP if request.skip else Entered.TICK
    now = studio.now()
    with studio.store.writing() as writing:
        record = open_record(writing, request.lot)
        if first := written_by(record, request.key):
            return first
        added: list[Entry] = []
        for vessel in request.vessels or vessels_of(record.lot):
            for step in request.steps:
                doing = state_of(record.lot, record.entries).doings.get((step, vessel))
                if doing is not None and (doing.how == "skipped" if request.skip else doing.ticked):
                    continue
                entry = entry_of(record.lot, what, now, minutes_ago=request.minutes_ago, step=step, vessel=vessel, text=request.why)
                added.append(append_entry(record, entry, key=request.key))
    return tuple(added)
