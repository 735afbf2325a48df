"""A plan as one pot really ran: with the amounts, temperatures and times of the record, without what was left out, with what was done besides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.colourway.timing import minutes_of
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.core.lot.lot import Entry, Planned
from skeinwright.core.lot.state import Doing, LotState

OF_HEAT_AND_TIME = ("to", "time", "rate")
"""Slots of a step whose recorded value changes how the pot runs."""


def as_ran(plan: Sequence[Planned], state: LotState, vessel: str, habits: Habits = HABITS) -> tuple[Planned, ...]:
    """The steps of one vessel in order: what was not done yet stands as planned. A step that was done besides stands behind the last one done by then.

    Where a step was left out, added, or done at another temperature, for another time or at another rate, all starts are worked out anew, one step after
    the other; where a step cannot be read they stay as planned. When things were ticked is not looked at, as a tick may come late; only in an unplanned pot,
    which has no other times, a step starts no sooner than it was written down.
    """
    done: list[Planned] = []
    moved = False
    for planned in plan:
        doing = state.doing(planned.number, vessel)
        if doing.how == "skipped":
            moved = True
            continue
        step = _step(planned, doing)
        moved = moved or step is not planned.step
        done.append(replace(planned, step=step, doses=doing.actual) if doing.how == "done" else planned)
    for number, extra in enumerate(state.extras, start=len(plan) + 1):
        if extra.vessel in ("", vessel) and (extra.doses or extra.about in WORDS):
            besides = Planned(number=number, step=Step(extra.about or "note", MappingProxyType(_said(extra))), sentence=extra.text, doses=extra.doses)
            done.insert(_behind(done, extra, state, vessel), besides)
            moved = True
    timed = _timed(done, habits) if moved else tuple(done)
    return timed if plan else _with_pauses(timed, state)


def _step(planned: Planned, doing: Doing) -> Step:
    """The step with the temperature, time and rate that the record says; the same object where it says none."""
    differs = {entry.about: f"{entry.value:g} {entry.unit}".strip() for entry in doing.instead if entry.about in OF_HEAT_AND_TIME and entry.value is not None}
    return Step(planned.step.do, MappingProxyType({**planned.step.said, **differs})) if differs and doing.how == "done" else planned.step


def _said(extra: Entry) -> dict[str, str]:
    return dict(extra.said) if extra.about in WORDS and extra.about != "note" else {"text": extra.text}


def _behind(done: Sequence[Planned], extra: Entry, state: LotState, vessel: str) -> int:
    """The place behind the last step that was done by then, and behind what was added there before it; the end where none was done."""
    by_then = [place for place, one in enumerate(done) if _was_done_by(one, extra, state, vessel)]
    place = by_then[-1] + 1 if by_then else len(done)
    while place < len(done) and (done[place].number, vessel) not in state.doings:
        place += 1
    return place


def _was_done_by(one: Planned, extra: Entry, state: LotState, vessel: str) -> bool:
    doing = state.doings.get((one.number, vessel))
    return doing is not None and doing.how == "done" and doing.at is not None and doing.at <= extra.at


def _timed(done: Sequence[Planned], habits: Habits) -> tuple[Planned, ...]:
    try:
        times = minutes_of(read_steps([one.step for one in done], habits=habits))
    except (BadInput, ManyBadInputs):
        return tuple(done)
    return tuple(one if time is None else replace(one, start_min=time[0], minutes=time[1]) for one, time in zip(done, times, strict=True))


def _with_pauses(done: Sequence[Planned], state: LotState) -> tuple[Planned, ...]:
    """The steps of an unplanned pot, numbered from 1: each starts when it was written down, or when the one before it is over if that is later."""
    at = {number: extra.at for number, extra in enumerate(state.extras, start=1)}
    first, over, found = min(at.values(), default=None), 0.0, []
    for one in done:
        since = 0.0 if first is None else (at[one.number] - first).total_seconds() / 60
        start = max(over, since)
        over = start + (one.minutes or 0.0)
        found.append(replace(one, start_min=start))
    return tuple(found)
