"""What a colourway could be tried with: the amounts, heats, times and grains of its steps, one or several at once, each with a few values near its own."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.standing import standing_at
from skeinwright.core.colourway.steps import read_step, sentence
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.core.foundations.quantities import HABITS, Habits, Quantity, parse_water

STANDING = -1
"""The place of the water that stands in the vessel before the first step: no step says it."""
WHAT: dict[tuple[str, str], str] = {
    ("fill", "volume"): "water", ("soak", "water"): "water", ("add water", "volume"): "water", ("pour off", "volume"): "water",
    ("add acid", "amount"): "acid",
    ("heat", "to"): "temperature", ("hold", "to"): "temperature",
    ("sprinkle", "grain"): "grain",
    ("wait", "time"): "wait", ("hold", "time"): "wait", ("steam", "time"): "wait",
}  # fmt: skip
"""Which slots of which steps can be tried, and under which of the five words."""
WORDS = ("water", "acid", "temperature", "grain", "wait")
NEAR = {"water": (0.6, 1.5), "acid": (0.5, 2.0), "grain": (0.5, 2.0), "wait": (0.5, 2.0)}
"""Values that are proposed, times the own one."""
NEAR_C, NEAR_PH, HOTTEST_C = (-12.0, 8.0), (-0.5, 0.5), 97.0
USUAL = {"grain": ("0.06 mm", "0.12 mm", "0.24 mm")}
"""Proposed where a step does not say its own."""
FEWEST, MOST = 2, 5
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class Factor:
    """Something to try. `places` are (step from 0, slot); `said` is how it stands now ("" where no step says it)."""

    key: str
    what: str
    label: str
    places: tuple[tuple[int, str], ...]
    said: str
    proposed: tuple[str, ...]


def factors_of(colourway: Colourway, *, habits: Habits = HABITS) -> tuple[Factor, ...]:
    """All that can be tried, by the five words in turn. Where several steps say the same, all of them together come first, under the word alone."""
    found: list[Factor] = []
    for what in WORDS:
        places = _places(colourway, what)
        said = {_said(colourway, place) for place in places}
        if len(places) > 1 and len(said) == 1:
            numbers = ", ".join(str(number + 1) for number, _ in places)
            found.append(_factor(colourway, what, what, f"{what} of steps {numbers} alike", tuple(places), habits))
        for number, slot in places:
            key = what if len(places) == 1 else f"{what} {number + 1 if number != STANDING else 0}"
            where = "standing in the vessel" if number == STANDING else f"step {number + 1}: {sentence(colourway.steps[number])}"
            found.append(_factor(colourway, key, what, f"{what}, {where}", ((number, slot),), habits))
    return tuple(found)


def factor_named(factors: Sequence[Factor], key: str, *, where: str) -> Factor:
    """The factor of that key, also by its word alone where only one has it. Raises BadInput, which lists those there are."""
    wanted = " ".join(key.casefold().split())
    found = next((one for one in factors if one.key == wanted), None)
    if found is None:
        listed = "; ".join(f"'{one.key}' ({one.label.removeprefix(f'{one.what}, ')})" for one in factors)
        nothing = "No step of this colourway has a value to try."
        raise BadInput(f"This colourway has no '{key[:40]}' to try. It has: {listed}." if listed else nothing, where=where)
    return found


def with_value(colourway: Colourway, factor: Factor, value: str) -> Colourway:
    """The colourway as it would be."""
    steps = list(colourway.steps)
    for number, slot in factor.places:
        if number == STANDING:
            colourway = replace(colourway, water_volume=value)
        else:
            steps[number] = Step(steps[number].do, MappingProxyType({**steps[number].said, slot: value}))
    return replace(colourway, steps=tuple(steps))


def check_value(colourway: Colourway, factor: Factor, value: str, *, habits: Habits = HABITS, where: str) -> None:
    """Raises BadInput, at `where`, for a value that the step cannot have."""
    tried = with_value(colourway, factor, value)
    try:
        for number, _ in factor.places:
            if number == STANDING:
                parse_water(value, habits=habits)
            else:
                read_step(tried.steps[number], habits=habits)
    except (BadInput, ManyBadInputs) as error:
        first = first_of(error)
        raise BadInput(first.sentence, where=where, text=value) from None


def _places(colourway: Colourway, what: str) -> list[tuple[int, str]]:
    standing = [(STANDING, "water")] if what == "water" and standing_at(colourway.steps, colourway.water_volume) is not None else []
    slots = [(number, slot) for number, step in enumerate(colourway.steps) for (do, slot), word in WHAT.items() if word == what and do == step.do]
    return standing + [(number, slot) for number, slot in slots if colourway.steps[number].get(slot).strip() or slot == "grain"]


def _said(colourway: Colourway, place: tuple[int, str]) -> str:
    number, slot = place
    return (colourway.water_volume if number == STANDING else colourway.steps[number].get(slot)).strip()


def _factor(colourway: Colourway, key: str, what: str, label: str, places: tuple[tuple[int, str], ...], habits: Habits) -> Factor:
    said = _said(colourway, places[0])
    return Factor(key, what, label, places, said, _proposed(colourway, what, places[0], said, habits))


def _proposed(colourway: Colourway, what: str, place: tuple[int, str], said: str, habits: Habits) -> tuple[str, ...]:
    if not said:
        return USUAL.get(what, ())
    value = _read(colourway, place, said, habits)
    number = _NUMBER.search(said)
    if value is None or number is None or len(_NUMBER.findall(said.split(":")[0])) != 1:
        return (said,)
    typed = float(number[0].replace(",", "."))
    if what == "temperature":
        near = [typed + change * (1.8 if value.unit == "F" else 1.0) for change in NEAR_C if value.value + change <= HOTTEST_C]
    elif value.kind == "ph":
        near = [typed + change for change in NEAR_PH]
    else:
        near = [typed * factor for factor in NEAR[what]]
    whole = what in ("temperature", "wait")
    texts = [said[: number.start()] + (f"{round(one):g}" if whole and one >= 2 else f"{float(f'{one:.2g}'):g}") + said[number.end() :] for one in near]
    return (*texts[:1], said, *texts[1:]) if near and near[0] < typed else (said, *texts)


def _read(colourway: Colourway, place: tuple[int, str], said: str, habits: Habits) -> Quantity | None:
    number, slot = place
    try:
        return parse_water(said, habits=habits) if number == STANDING else read_step(colourway.steps[number], habits=habits).quantity(slot)
    except (BadInput, ManyBadInputs):
        return None
