"""What is said of a pot that was followed, of a colourway or of a lot: figures with their spread, sentences, and what they rest on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.foundations.estimate import Estimate, Origin

if TYPE_CHECKING:
    from skeinwright.core.bath.course import PotCourse
    from skeinwright.core.bath.fibre import Sponge
    from skeinwright.core.bath.heat import Falling
    from skeinwright.core.bath.ph import Bath, PhForecast
    from skeinwright.core.bath.pot_run import PotRun
    from skeinwright.core.bath.strike import DyeSummary
    from skeinwright.core.bath.uptake_of_acid import AcidUptake

DRAWS = 200
FULL_BLOCK_S = 120.0
"""With bands the pH is solved every two minutes; uptake moves by under 0.01 against every minute."""
TEST_FIRST = "Test the pH before the dye goes in: a strip is ± 0.5, and cannot be read in coloured liquor."
LOOK = "Stay in the room: heat is on. Look at the water line every 15 minutes; a reminder never takes the place of looking."


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class PotSheet:
    """What is forecast of a colourway's pot. `course` is None where nothing can be followed yet: `why` says what is missing.

    `banded` tells whether the bands were drawn; without them every line stands alone, and there are no `sentences` and no `acid` yet. `dyes` gives
    exhaustion to 1 % and no finer. `acid` is the bath when it is last heated, as mixed and once the yarn has taken its share. With a what-if, `what` says it
    and `planned` is the centre line without it. `measured` tells what rests on the dyer's own tests and readings.
    """

    base: str
    why: str = ""
    course: PotCourse | None = None
    planned: PotCourse | None = None
    what: str = ""
    banded: bool = False
    sentences: tuple[str, ...] = ()
    dyes: dict[str, DyeSummary] = field(default_factory=dict)
    acid: AcidUptake | None = None
    cost_minor: Estimate | None = None
    falling: Falling | None = None
    reminders: tuple[str, ...] = ()
    status: str = "ok"
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class HowToFollow:
    """`draws` of the unknowns (0: the centre line alone, which is quick), their seed, what a kilowatt hour costs, and the steps that could not be read."""

    draws: int = DRAWS
    seed: int = 1
    price_minor: int | None = None
    left_out: Iterable[int] = ()


def pot_sheet(base: str, run: PotRun, hot: Bath | None, how: HowToFollow) -> PotSheet:
    """`run` followed, with bands and sentences where draws are asked for; `hot` is its bath when it is last heated. Raises BadInput as `process` does."""
    import numpy as np

    from skeinwright.core.bath.process import process, quick_course
    from skeinwright.core.bath.staged_acid import staged_acid
    from skeinwright.core.bath.strike import LEVEL_LIMIT_PER_MIN, sentences

    if not how.draws:
        return _sheet(base, quick_course(run), how)
    course = process(run, rng=np.random.default_rng(how.seed), draws=how.draws, block_s=FULL_BLOCK_S)
    staged = staged_acid(course, LEVEL_LIMIT_PER_MIN)
    said = sentences(course, acid_waits=staged.waits, enough=staged.within_limit)
    return replace(_sheet(base, course, how), banded=True, sentences=said, acid=None if hot is None else _acid(hot, course))


def _acid(bath: Bath, course: PotCourse) -> AcidUptake:
    """The bath as mixed and with the yarn, moved by what a reading says of it."""
    from skeinwright.core.bath.written_run import sponges_in

    found = _acid_uptake(bath, sponges_in(course.run.fibres))
    return replace(found, before=_moved(found.before, course.ph_offset), after=_moved(found.after, course.ph_offset))


@lru_cache(maxsize=64)
def _acid_uptake(bath: Bath, sponges: tuple[Sponge, ...]) -> AcidUptake:
    from skeinwright.core.bath.uptake_of_acid import acid_uptake

    return acid_uptake(bath, sponges)


def _moved(forecast: PhForecast, by: float) -> PhForecast:
    ph = forecast.ph
    return replace(forecast, ph=replace(ph, value=ph.value + by, low=ph.low + by, high=ph.high + by)) if by else forecast


def _sheet(base: str, course: PotCourse, how: HowToFollow) -> PotSheet:
    from skeinwright.core.bath.said_of_pot import bases_sentences, blend_sentences, falling_of, water_sentences
    from skeinwright.core.bath.strike import summary

    return PotSheet(
        base=base,
        course=course,
        dyes={dye: summary(course, dye) for dye in course.uptake},
        cost_minor=_cost(course.energy_kwh, how.price_minor),
        falling=falling_of(course),
        reminders=_reminders(course, (*course.run.told, *water_sentences(course))),
        status=course.status,
        notes=(
            *course.notes,
            *blend_sentences(course),
            *bases_sentences(course),
            *(f"Step {number} could not be read and is left out here." for number in sorted(how.left_out)),
        ),
        assumed=tuple(_sentence(one) for one in dict.fromkeys(course.run.assumed)),
        measured=tuple(_sentence(one) for one in dict.fromkeys(course.run.measured)),
    )


def _cost(energy: Estimate, price_minor: int | None) -> Estimate | None:
    if price_minor is None:
        return None
    low, high = energy.low * price_minor, energy.high * price_minor
    return Estimate(energy.value * price_minor, low, high, "minor", Origin.ASSUMED, energy.note)


def _reminders(course: PotCourse, more: tuple[str, ...]) -> tuple[str, ...]:
    said = [TEST_FIRST, *more]
    if course.run.heated:
        said.append(LOOK)
    return tuple(said)


def _sentence(said: str) -> str:
    return f"{said[:1].upper()}{said[1:].rstrip('.')}."
