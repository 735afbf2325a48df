"""Follow the pot of a colourway while it is being written: temperature, pH and uptake over time, and what they say."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.bath.what_if import WhatIf
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.items import Base
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.bath.course import PotCourse
    from skeinwright.core.bath.fibre import Sponge
    from skeinwright.core.bath.heat import Falling
    from skeinwright.core.bath.ph import Bath, PhForecast
    from skeinwright.core.bath.strike import DyeSummary
    from skeinwright.core.bath.uptake_of_acid import AcidUptake
    from skeinwright.core.lot.in_pot import ReadPh
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.lot.sketch import Sketch

DRAWS = 200
NOTHING_ELSE = WhatIf()
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
class PotQuestion:
    """What is asked of a pot besides its steps: things otherwise than planned, and a pH that was read in it."""

    what: WhatIf = NOTHING_ELSE
    read: ReadPh | None = None


NOTHING_ASKED = PotQuestion()


def follow_pot(studio: Studio, colourway: Colourway, *, base: str | None = None, draws: int = DRAWS, asked: PotQuestion = NOTHING_ASKED) -> PotSheet:
    """The pot of a colourway, saved or not, with all its fibre on `base` (its first where none is named). Nothing is written.

    `draws` 0 works out the centre line alone, which is quick. What cannot be followed is told in `why`, and raises nothing.
    """
    from skeinwright.core.lot.in_pot import wool_base
    from skeinwright.core.lot.plan import with_own
    from skeinwright.core.lot.sketch import sketch_of

    with studio.store.reading() as reading:
        plain, settings = shelf_for_lot(reading, colourway.water), reading.settings()
    shelf = with_own(colourway, plain)
    sketch = sketch_of(colourway, plain, today=studio.now().date())
    name = base if base is not None else sketch.row.base
    yarn = (shelf.find(Base, name) if name else None) or wool_base(name)
    try:
        return _followed(sketch, yarn, shelf, settings.altitude_m, settings.energy_price_minor, studio.seed, draws, asked)
    except (BadInput, ManyBadInputs) as error:
        said = error.problems[0].sentence if isinstance(error, ManyBadInputs) else error.sentence
        return PotSheet(base=yarn.name, why=said, status="not forecast")


def _followed(sketch: Sketch, yarn: Base, shelf: OnShelf, altitude_m: float, price_minor: int | None, seed: int, draws: int, asked: PotQuestion) -> PotSheet:
    import numpy as np

    from skeinwright.core.bath.process import process, quick_course
    from skeinwright.core.bath.staged_acid import staged_acid
    from skeinwright.core.bath.strike import LEVEL_LIMIT_PER_MIN, sentences
    from skeinwright.core.bath.what_if import what_if
    from skeinwright.core.lot.in_pot import pot_of_sketch

    pot = pot_of_sketch(sketch, yarn, shelf, altitude_m=altitude_m, read=asked.read)
    planned = quick_course(pot.run) if asked.what else None
    # what was read was read in the pot as planned: its error is carried over to the other one
    run = pot.run if planned is None else what_if(replace(pot.run, reading=None, ph_offset=planned.ph_offset), asked.what)
    if not draws:
        return replace(_sheet(yarn, quick_course(run), sketch, price_minor), planned=planned, what=asked.what.said)
    course = process(run, rng=np.random.default_rng(seed), draws=draws, block_s=FULL_BLOCK_S)
    staged = staged_acid(course, LEVEL_LIMIT_PER_MIN)
    said = sentences(course, acid_waits=staged.waits, enough=staged.within_limit)
    acid = None if pot.hot is None else _acid(asked.what.on_bath(pot.hot), course)
    sheet = replace(_sheet(yarn, course, sketch, price_minor), banded=True, sentences=said, acid=acid)
    return replace(sheet, planned=planned, what=asked.what.said)


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


def _sheet(yarn: Base, course: PotCourse, sketch: Sketch, price_minor: int | None) -> PotSheet:
    from skeinwright.core.bath.said_of_pot import blend_sentences, falling_of, water_sentences
    from skeinwright.core.bath.strike import summary

    return PotSheet(
        base=yarn.name,
        course=course,
        dyes={dye: summary(course, dye) for dye in course.uptake},
        cost_minor=_cost(course.energy_kwh, price_minor),
        falling=falling_of(course),
        reminders=_reminders(course, (*course.run.told, *water_sentences(course))),
        status=course.status,
        notes=(*course.notes, *blend_sentences(course), *(f"Step {number} could not be read and is left out here." for number in sorted(sketch.left_out))),
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
