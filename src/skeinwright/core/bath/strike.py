"""What a course says to a dyer: how early a dye strikes, whether the dyes part, what stays in the liquor. In plain sentences."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.bath.course import Band, PotCourse
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.items import NOT_KNOWN

LEVEL_LIMIT_PER_MIN = 0.01
"""Uptake of more than 1 % of the dye a minute below 80 C goes on unevenly (rule of thumb of exhaust dyeing, from memory: 1 to 2 %)."""
LEVELS_FROM_C = 80.0
"""From here on most dyes move about again."""
EARLY_C = 60.0
EARLY_SHARE = 0.4
PART_GAP = 0.15
"""Dyes part on the yarn where at any moment so much more of one's final uptake is on than of another's [assumed]."""
LEAST_LEFT = 0.10
ALL_FROM = 0.995

_SHARES = (
    (0.995, "All"),
    (0.95, "Nearly all"),
    (0.85, "Nine tenths"),
    (0.71, "Three quarters"),
    (0.58, "Two thirds"),
    (0.45, "Half"),
    (0.37, "Two fifths"),
    (0.29, "A third"),
)


@dataclass(frozen=True, slots=True)
class DyeSummary:
    """A dye's run: the share on the fibre at the end (to 1 %), when on the run's clock half of that is on, the fastest minute below 80 C, what is on
    before 60 C."""

    exhaustion: Estimate
    t50_s: float | None
    fastest_per_min: float
    early: float


def summary(course: PotCourse, dye: str | None = None) -> DyeSummary:
    """The summary of one dye, or of all together. Exhaustion is never finer than 1 %."""
    band = course.all_uptake if dye is None else course.uptake[dye]
    end = [round(float(line[-1]), 2) for line in (band.centre, band.low, band.high)]
    exhaustion = Estimate(end[0], min(end[1], end[0]), max(end[2], end[0]), "", Origin.ASSUMED)
    return DyeSummary(exhaustion, half_time_s(course.time_s, band.centre), fastest_per_min(course, band), early_share(course, band))


def share_said(share: float) -> str:
    """A share of a dye in per cent and no finer: "83 %", and "over 99 %" where it rounds to all, which nobody knows."""
    return "over 99 %" if share >= ALL_FROM else f"{100 * share:.0f} %"


def ends_said(share: Estimate) -> str:
    """The 90 % interval of a share: "54 to 97 %"; "" where all of it is over 99 %."""
    return "" if share.low >= ALL_FROM else f"{100 * share.low:.0f} to {100 * share.high:.0f} %"


def half_time_s(time_s: Array, uptake: Array) -> float | None:
    """When half of what goes on in the end is on, between the grid's points in a straight line; None where nothing goes on."""
    goal = 0.5 * float(uptake[-1])
    if goal <= 0:
        return None
    place = int(np.argmax(uptake >= goal))
    if place == 0:
        return float(time_s[0])
    before, after = float(uptake[place - 1]), float(uptake[place])
    share = (goal - before) / (after - before) if after > before else 1.0
    return float(time_s[place - 1] + share * (time_s[place] - time_s[place - 1]))


def fastest_per_min(course: PotCourse, band: Band) -> float:
    """The most of a dye's dose that goes on in a minute below 80 C; the yarn's first minute is left out, in which it only meets the liquor."""
    spans = np.diff(course.time_s)
    rates = 60 * np.diff(band.centre) / np.maximum(spans, 1e-9)
    cool = (course.temp_c[1:] < LEVELS_FROM_C) & (spans > 0) & (band.centre[:-1] > 0)
    return float(rates[cool].max()) if cool.any() else 0.0


def early_share(course: PotCourse, band: Band) -> float:
    """The share of the dose that is on when the pot first reaches 60 C; at the end, where it never does."""
    warm = np.flatnonzero(course.temp_c >= EARLY_C)
    return float(band.centre[warm[0]] if warm.size else band.centre[-1])


def sentences(course: PotCourse, *, acid_waits: float = 0.0, enough: bool = True) -> tuple[str, ...]:
    """What to say of the course; of dye that is laid on, only what stays in the liquor.

    `acid_waits` is the share of the acid that had better wait (`staged_acid`), 0 where waiting does not help; `enough`
    whether it is."""
    return (*_early(course, _unless(acid_waits, enough)), *_parting(course), *_left(course))


def _unless(acid_waits: float, enough: bool) -> str:
    if acid_waits and enough:
        return f"unless {share_words(acid_waits).lower()} of the acid waits until {LEVELS_FROM_C:.0f} °C"
    helps = f"; {share_words(acid_waits).lower()} of the acid waiting until {LEVELS_FROM_C:.0f} °C helps a little" if acid_waits else ""
    return f"unless it is entered cooler and heated more slowly{helps}"


def _early(course: PotCourse, unless: str) -> list[str]:
    found = []
    for dye in course.uptake:
        if dye in course.run.laid_on:
            continue
        one = summary(course, dye)
        if one.fastest_per_min <= LEVEL_LIMIT_PER_MIN:
            continue
        if one.early >= EARLY_SHARE:
            found.append(f"{share_words(one.early)} of the {dye} is on before {EARLY_C:.0f} °C: it will look uneven {unless}.")
        else:
            pace = f"{100 * one.fastest_per_min:.1f} % of the {dye} goes on in the fastest minute below {LEVELS_FROM_C:.0f} °C"
            found.append(f"{pace}, over the usual limit of 1 %: it may look uneven {unless}.")
    return found


def _parting(course: PotCourse) -> list[str]:
    lines = {dye: band.centre / band.centre[-1] for dye, band in course.uptake.items() if float(band.centre[-1]) > 0 and dye not in course.run.laid_on}
    if len(lines) < 2:
        return []
    halves = sorted((half_time_s(course.time_s, line) or 0.0, dye) for dye, line in lines.items())
    first, last = halves[0][1], halves[-1][1]
    if float(np.max(lines[first] - lines[last])) < PART_GAP:
        return []
    classes = {dye.name: dye.dye_class for dye in course.run.dyes}
    sure = all(classes[dye] != NOT_KNOWN for dye in (first, last))
    return [f"These {'will' if sure else 'may'} break: {first} first, {last} last."]


def _left(course: PotCourse) -> list[str]:
    found = []
    for dye in course.uptake:
        end = summary(course, dye).exhaustion
        if 1 - end.value >= LEAST_LEFT:
            found.append(f"About {100 * (1 - end.value):.0f} % of the {dye} stays in the liquor ({100 * (1 - end.high):.0f} to {100 * (1 - end.low):.0f} %).")
    return found


def share_words(share: float) -> str:
    """A share as people say it: 0.66 is "Two thirds"."""
    for least, words in _SHARES:
        if share >= least:
            return words
    return "A quarter" if share >= 0.2 else "A little"
