"""The plan of a colourway that is still being written: what can be worked out is, and what cannot is said beside its step and slot."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.steps import read_step
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import FibreMass, parse_fibre
from skeinwright.core.lot.lot import Row
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.plan import Draft, draft_of, with_own
from skeinwright.core.shelf.items import Base, Vessel

WHILE_UNKNOWN = "100 g"
"""The fibre that stands in while what was typed cannot be read."""
SOME_POT = "Pot 1"
LEFT_OUT = Step("note", MappingProxyType({"text": "Left out until it can be read"}))
_NUMBER = re.compile(r"step (\d+)")
_WATER_SLOT = {"fill": "volume", "add water": "volume", "pour off": "volume", "soak": "water", "add acid": "amount"}


@dataclass(frozen=True, slots=True)
class Problem:
    """A sentence and where it stands: the step's number from 1 and its slot; number 0 is the head, with "name", "fibre", ... as slot."""

    step: int
    slot: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Sketch:
    """A draft of every step that could be worked out. Those in `left_out` stand in the plan as notes."""

    draft: Draft
    row: Row
    fibre: FibreMass
    problems: tuple[Problem, ...]
    left_out: frozenset[int]


def sketch_of(colourway: Colourway, shelf: OnShelf, *, today: date) -> Sketch:
    """The plan for the colourway's own fibre on its first base in its own vessel, however much of it can be read yet."""
    known = with_own(colourway, shelf)
    base = _first_base(colourway, known)
    problems: list[Problem] = []
    fibre, said = _fibre(colourway, base, known, problems)
    steps = [_readable(step, number, known, problems) for number, step in enumerate(colourway.steps, start=1)]
    readable = replace(colourway, fibre=said)
    name = base.name if base is not None else colourway.bases[0] if colourway.bases else ""
    row = Row(number=1, base=name, skeins=fibre.skeins or 1, skein_g=fibre.skein_g or fibre.total_g, vessel=colourway.vessel.strip() or _own_vessel(colourway))
    draft, steps = _drafted(readable, steps, row, known, problems, today)
    return Sketch(draft, row, fibre, tuple(problems), frozenset(number for number, step in enumerate(steps, start=1) if step is LEFT_OUT))


def problem_at(error: BadInput, steps: Sequence[Step]) -> Problem:
    """Where a problem stands, from its `where`: "step 3 (heat): to", "step 2, add dye: recipe", "fibre"."""
    where = error.where or ""
    number = _number(where)
    if not 1 <= number <= len(steps):
        return Problem(0, where, error.sentence)
    step = steps[number - 1]
    slots = [slot.key for slot in WORDS[step.do].slots] if step.do in WORDS else []
    last = re.split(r"[:,]\s*", where)[-1]
    slot = last if last in slots else _WATER_SLOT.get(step.do, next((key for key in slots if step.get(key).strip()), slots[0] if slots else ""))
    return Problem(number, slot, error.sentence)


def _drafted(colourway: Colourway, steps: list[Step], row: Row, shelf: OnShelf, problems: list[Problem], today: date) -> tuple[Draft, list[Step]]:
    """The draft without the steps that stop it. Where a bath would run over, it is worked out as if the vessel were larger."""
    vessel_counts = True
    for _ in range(2 * len(steps) + 4):
        try:
            return draft_of(replace(colourway, steps=tuple(steps)), (row,), shelf, today=today), steps
        except BadInput as error:
            problem = problem_at(error, steps)
            if problem.step == 0 and problem.slot in ("vessel", "water") and colourway.water_volume:  # the water that stands in the vessel
                problems.append(problem)
                if problem.slot == "vessel" and vessel_counts:
                    vessel_counts = False
                    colourway, shelf = replace(colourway, own_vessel=None), _without_vessel(shelf, row.vessel)
                else:
                    colourway = replace(colourway, water_volume="")
                continue
            if problem.step == 0 or steps[problem.step - 1] is LEFT_OUT:
                raise
            if not _follows_from(problem, colourway.steps, steps):
                problems.append(problem)
            if problem.slot == "volume" and vessel_counts and "over the brim" in problem.sentence:
                vessel_counts = False
                colourway, shelf = replace(colourway, own_vessel=None), _without_vessel(shelf, row.vessel)
            else:
                steps = [LEFT_OUT if number == problem.step else step for number, step in enumerate(steps, start=1)]
    raise AssertionError("each round leaves a step out")


def _without_vessel(shelf: OnShelf, name: str) -> OnShelf:
    others = {key: item for key, item in shelf.things.items() if key != (Vessel.kind, name.strip().casefold())}
    return replace(shelf, things=MappingProxyType(others))


def _follows_from(problem: Problem, written: Sequence[Step], steps: Sequence[Step]) -> bool:
    """True where a step only fails because the filling before it was left out: its own problem is told already."""
    earlier = zip(written[: problem.step - 1], steps[: problem.step - 1], strict=True)
    return written[problem.step - 1].do == "add acid" and any(now is LEFT_OUT and was.do == "fill" for was, now in earlier)


def _readable(step: Step, number: int, shelf: OnShelf, problems: list[Problem]) -> Step:
    try:
        read_step(step, habits=shelf.habits, number=number)
    except ManyBadInputs as many:
        for error in many.problems:
            slot = (error.where or "").rpartition(": ")[2]
            problems.append(Problem(number, slot, error.sentence))
        return LEFT_OUT
    return step


def _fibre(colourway: Colourway, base: Base | None, shelf: OnShelf, problems: list[Problem]) -> tuple[FibreMass, str]:
    skein_g = None if base is None else base.skein_g
    try:
        return parse_fibre(colourway.fibre, skein_g=skein_g, where="fibre", habits=shelf.habits), colourway.fibre
    except BadInput as error:
        problems.append(Problem(0, "fibre", error.sentence))
        return parse_fibre(WHILE_UNKNOWN), WHILE_UNKNOWN


def _first_base(colourway: Colourway, shelf: OnShelf) -> Base | None:
    return shelf.find(Base, colourway.bases[0]) if colourway.bases else colourway.own_base


def _own_vessel(colourway: Colourway) -> str:
    return SOME_POT if colourway.own_vessel is None else colourway.own_vessel.name


def _number(where: str) -> int:
    found = _NUMBER.match(where)
    return int(found[1]) if found else 0
