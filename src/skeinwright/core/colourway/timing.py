"""When each step starts and how long it keeps the pot: minutes that a planner and a pot slip can print from the first day.

Where a step says no time, common practice fills in and `timing_assumptions` says so: hands' time from the table of words, heating at 1 C/min from 20 C,
cooling at 0.5 C/min down to 40 C. All four figures are assumed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from skeinwright.core.colourway.steps import ReadStep
from skeinwright.core.foundations.quantities import say

START_C = 20.0
"""[assumed] Water out of the tap, warmed by the room."""
RAMP_C_MIN = 1.0
"""[assumed] The default ramp of a pot on a burner; common practice for levelness between 40 and 80 C."""
COOLING_C_MIN = 0.5
"""[assumed] A covered pot off the heat."""
COOLED_C = 40.0
"""[assumed] Cool enough to handle, where a cooling step says no temperature."""


def minutes_of(read_steps: Iterable[ReadStep | None]) -> tuple[tuple[float, float] | None, ...]:
    """(start, duration) of each step in minutes after the start of the first; None for a step that could not be read, and for those after it."""
    return tuple(None if start is None or minutes is None else (start, minutes) for start, minutes, _ in _timed(read_steps))


def timing_assumptions(read_steps: Iterable[ReadStep | None]) -> tuple[str, ...]:
    """A sentence for each time that was assumed, numbered as the steps are."""
    return tuple(f"step {number}: {why}" for number, (_, _, why) in enumerate(_timed(read_steps), start=1) if why)


def _timed(read_steps: Iterable[ReadStep | None]) -> Iterator[tuple[float | None, float | None, str]]:
    start: float | None = 0.0
    temp_c = START_C
    for step in read_steps:
        if step is None or start is None:
            yield (start, None, "")
            start = None
            continue
        minutes, temp_c, why = _one(step, temp_c)
        yield (start, minutes, why)
        start += minutes


def _one(step: ReadStep, temp_c: float) -> tuple[float, float, str]:
    """(minutes, temperature afterwards, what was assumed)."""
    time, to = step.quantity("time"), step.quantity("to")
    if step.do == "heat":
        return _heat(step, temp_c)
    if step.do == "hold":
        warm = max(to.value - temp_c, 0.0) / RAMP_C_MIN if to else 0.0
        why = f"heated from {say('temperature', temp_c)} at {say('rate', RAMP_C_MIN)} before the hold (assumed)" if warm else ""
        return warm + (time.value / 60 if time else 0.0), to.value if to else temp_c, why
    if step.do == "cool":
        return _cool(step, temp_c)
    if time is not None:
        hands = step.word.hands_s / 60 if step.do in ("steam", "spin") else 0.0
        return time.value / 60 + hands, 100.0 if step.do == "steam" else temp_c, ""
    hands = step.word.hands_s / 60
    times = step.quantity("times")
    hands *= times.value if times else 1
    why = f"takes {say('time', step.word.hands_s * (times.value if times else 1))} (assumed)" if hands else ""
    return hands, START_C if step.do in ("rinse", "spin", "hang") else temp_c, why


def _heat(step: ReadStep, temp_c: float) -> tuple[float, float, str]:
    to, rate = step.quantity("to"), step.quantity("rate")
    end_c = to.value if to else temp_c
    ramp = rate.value if rate and rate.value > 0 else RAMP_C_MIN
    minutes = max(end_c - temp_c, 0.0) / ramp
    assumed = [] if rate else [f"heated at {say('rate', RAMP_C_MIN)}"]
    if temp_c == START_C:
        assumed.append(f"started at {say('temperature', START_C)}")
    return minutes, max(end_c, temp_c), f"{' and '.join(assumed)} (assumed)" if assumed else ""


def _cool(step: ReadStep, temp_c: float) -> tuple[float, float, str]:
    time, to = step.quantity("time"), step.quantity("to")
    if time is not None:
        after_c = max(START_C, temp_c - COOLING_C_MIN * time.value / 60)
        return time.value / 60, min(to.value if to else after_c, temp_c), ""
    end_c = to.value if to else COOLED_C
    minutes = max(temp_c - end_c, 0.0) / COOLING_C_MIN
    return minutes, min(end_c, temp_c), f"cools to {say('temperature', end_c)} at {say('rate', COOLING_C_MIN)} (assumed)"
