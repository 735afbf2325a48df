"""Acid that waits: how much goes in at the start, so that no dye goes on faster than it levels."""

from __future__ import annotations

from dataclasses import dataclass, replace

from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.pot_run import AddAcid, Event, PotRun
from skeinwright.core.bath.process import process
from skeinwright.core.bath.strike import LEVEL_LIMIT_PER_MIN, LEVELS_FROM_C, fastest_per_min

AT_ONCE = (0.75, 0.5, 0.33, 0.2, 0.0)
"""Shares of the acid that go in as written; the rest waits."""
WAITING_OVER_S = 600.0
"""The acid that waited goes in over ten minutes [common practice: in small portions]."""
WORTH_IT = 0.05
"""A staging that lowers the fastest minute by less than this is no help."""


@dataclass(frozen=True, slots=True)
class StagedAcid:
    """A run whose acid partly waits until 80 C: the share that waits, the run, and whether its fastest minute keeps within the limit."""

    waits: float
    run: PotRun
    fastest_per_min: float
    within_limit: bool


def staged_acid(course: PotCourse, limit_per_min: float = LEVEL_LIMIT_PER_MIN) -> StagedAcid:
    """The least share of the acid that must wait for 80 C to keep every dye's uptake below `limit_per_min` until then.

    Shares of a quarter, half, two thirds, four fifths and all are tried on the centre line; where none keeps within the limit, the slowest is given, and where
    waiting hardly slows anything the run comes back as it was, with nothing waiting. Acid that goes in from 80 C on stays as written.
    """
    as_written = fastest(course)
    best = StagedAcid(0.0, course.run, as_written, as_written <= limit_per_min)
    ready_s = _ready_s(course)
    if best.within_limit or ready_s is None or not any(isinstance(event, AddAcid) and event.at_s < ready_s for event in course.run.events):
        return best
    for share in AT_ONCE:
        run = with_waiting_acid(course.run, share, ready_s)
        pace = fastest(process(run))
        if pace < best.fastest_per_min:
            best = StagedAcid(1 - share, run, pace, pace <= limit_per_min)
        if best.within_limit:
            break
    return best if best.fastest_per_min < (1 - WORTH_IT) * as_written else StagedAcid(0.0, course.run, as_written, False)


def fastest(course: PotCourse) -> float:
    """The fastest minute below 80 C of any dye that is to be even."""
    return max((fastest_per_min(course, band) for dye, band in course.uptake.items() if dye not in course.run.laid_on), default=0.0)


def with_waiting_acid(run: PotRun, at_once: float, ready_s: float) -> PotRun:
    """The run with only `at_once` of each early acid going in as written and the rest from `ready_s` on, over ten minutes. No acid is lost or added."""
    events: list[Event] = []
    for event in run.events:
        if isinstance(event, AddAcid) and event.at_s < ready_s:
            if at_once > 0:
                events.append(replace(event, amount=at_once * event.amount))
            events.append(replace(event, at_s=ready_s, over_s=min(WAITING_OVER_S, max(run.end_s - ready_s, 0.0)), amount=(1 - at_once) * event.amount))
        else:
            events.append(event)
    return replace(run, events=tuple(events))


def _ready_s(course: PotCourse) -> float | None:
    """When the pot first reaches 80 C; None where it does not, or only at the end."""
    for time, temp in zip(course.time_s, course.temp_c, strict=True):
        if temp >= LEVELS_FROM_C - 1e-6 and time < course.run.end_s:
            return float(time)
    return None
