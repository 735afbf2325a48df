"""A step's typed words read as values; and its sentence, whole or in parts that can be edited in place."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.meaning import AcidSaid, Mix, Place, Recipe, parse_acid, parse_mix, parse_place, parse_recipe
from skeinwright.core.colourway.words import WORDS, Slot, Word
from skeinwright.core.foundations.doses import parse_amount
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits, Quantity, parse, parse_dose, parse_size, parse_water

Value = Quantity | Place | AcidSaid | Recipe | Mix | str | tuple[float, ...]
"""What a slot can mean. Names (dye, solution, vessel, ...) and texts are str; sizes are tuples of mm."""

MISSING = "…"
LONGEST_WORDS = 2000
ALTERNATIVES: dict[str, tuple[str, ...]] = {
    "add dye": ("recipe", "dye", "solution"),
    "pour": ("solution", "dye"),
    "paint": ("solution", "dye"),
    "sprinkle": ("dye", "blend"),
    "dip": ("solution", "dye"),
}
"""Steps that need one of several slots, and only one."""

_TOKENS = re.compile(r"\[|\]|\{(\w+)\}|[^\[\]{}]+")
_PARSED = {"mass", "length", "time", "temperature", "rate", "strength", "count"}


@dataclass(frozen=True, slots=True)
class ReadStep:
    """A step and what its slots mean. `values` holds only what was given (or what its word takes for granted, such as over all)."""

    step: Step
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def do(self) -> str:
        """The step word."""
        return self.step.do

    @property
    def word(self) -> Word:
        """The word's entry in the table of step words."""
        return WORDS[self.step.do]

    def quantity(self, key: str) -> Quantity | None:
        """The slot's quantity, None where it is not given."""
        value = self.values.get(key)
        return value if isinstance(value, Quantity) else None

    def name(self, key: str) -> str:
        """The slot's name or text, "" where it is not given."""
        value = self.values.get(key)
        return value if isinstance(value, str) else ""

    @property
    def place(self) -> Place | None:
        """Where on the skein, None where the step has no place."""
        value = self.values.get("over")
        return value if isinstance(value, Place) else None

    @property
    def acid(self) -> AcidSaid | None:
        """The acid, None where the step has none."""
        value = self.values.get("acid")
        return value if isinstance(value, AcidSaid) else None

    @property
    def recipe(self) -> Recipe | None:
        """The recipe of several dyes, None where the step has none."""
        value = self.values.get("recipe")
        return value if isinstance(value, Recipe) else None

    @property
    def mix(self) -> Mix | None:
        """The dry blend, None where the step has none."""
        value = self.values.get("blend")
        return value if isinstance(value, Mix) else None


def read_step(step: Step, *, habits: Habits = HABITS, number: int | None = None) -> ReadStep:
    """The step's slots as values. Raises `ManyBadInputs`; each problem's `where` is the slot, or "step 3 (add acid): amount" with a `number`."""
    here = f"step {number} ({step.do})" if number is not None else ""
    word = WORDS.get(step.do)
    if word is None:
        raise ManyBadInputs((_unknown_word(step.do, f"step {number}: do" if here else "do"),))
    slots = {slot.key: slot for slot in word.slots}
    problems: list[BadInput] = [_unknown_slot(word, key, _where(here, key)) for key in step.said if key not in slots]
    values: dict[str, Value] = {}
    for slot in word.slots:
        typed = step.get(slot.key)
        try:
            if typed.strip():
                values[slot.key] = _read(slot, typed, step, _where(here, slot.key), habits)
            elif slot.key in needed_slots(word):
                raise BadInput(f"This step needs it{_for_example(slot)}.", where=_where(here, slot.key), position=0, text=typed)
            elif slot.default == "all":
                values[slot.key] = parse_place("all")
        except BadInput as problem:
            problems.append(problem)
    problems.extend(_together(step, here))
    if problems:
        raise ManyBadInputs(tuple(problems))
    return ReadStep(step, MappingProxyType(values))


def read_steps(steps: Iterable[Step], *, habits: Habits = HABITS) -> tuple[ReadStep, ...]:
    """All steps, numbered from 1; the problems of all of them are raised together."""
    read: list[ReadStep] = []
    problems: list[BadInput] = []
    for number, step in enumerate(steps, start=1):
        try:
            read.append(read_step(step, habits=habits, number=number))
        except ManyBadInputs as many:
            problems.extend(many.problems)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return tuple(read)


def needed_slots(word: Word) -> frozenset[str]:
    """Slots without which the step says nothing: those marked so, and those that stand outside brackets in its sentence."""
    outside, depth = {slot.key for slot in word.slots if slot.need}, 0
    for token in _TOKENS.finditer(word.sentence):
        depth += (token[0] == "[") - (token[0] == "]")
        if token[1] and depth == 0:
            outside.add(token[1])
    return frozenset(outside - {slot.key for slot in word.slots if slot.default == "all"})


def sentence_parts(step: Step) -> tuple[tuple[str, str | None], ...]:
    """The step's sentence as (text, slot) pairs; slot is None for plain words. Slots that are needed but empty show a dot-dot-dot."""
    word = WORDS.get(step.do)
    if word is None:
        return ((step.do, None),)
    parts: list[tuple[str, str | None]] = []
    for group in re.findall(r"\[[^\]]*\]|[^\[]+", word.sentence):
        optional = group.startswith("[")
        inner = [(token[0], token[1]) for token in _TOKENS.finditer(group) if token[0] not in "[]"]
        shown = [(_shown(step, word, key, optional) if key else text, key or None) for text, key in inner]
        if not optional or all(text for text, key in shown if key):
            parts.extend(shown)
    return _tidy(parts, step, word)


def sentence(step: Step) -> str:
    """The step in words: "Add 44 ml of vinegar 5 %"."""
    return "".join(text for text, _ in sentence_parts(step))


def _shown(step: Step, word: Word, key: str, optional: bool) -> str:
    typed = step.get(key).strip()
    if typed:
        return typed
    if key == "what" and step.do.startswith("add "):
        return step.do.removeprefix("add ")
    if optional:
        return ""
    default = next((slot.default for slot in word.slots if slot.key == key), "")
    return "all" if default == "all" else MISSING


def _tidy(parts: list[tuple[str, str | None]], step: Step, word: Word) -> tuple[tuple[str, str | None], ...]:
    """Where none of several alternatives is given, the first of them stands as missing."""
    alternatives = ALTERNATIVES.get(word.do, ())
    if alternatives and not any(step.get(key).strip() for key in alternatives):
        place = 0
        for at, (text, _) in enumerate(parts):
            if text.endswith(("of ", "in ", "Add ")):
                place = at + 1
        parts = [*parts[:place], (MISSING, alternatives[0]), *parts[place:]]
    return tuple((text, key) for text, key in parts if text)


def _read(slot: Slot, typed: str, step: Step, where: str, habits: Habits) -> Value:
    if len(typed) > LONGEST_WORDS:
        raise BadInput(f"This is too long: at most {LONGEST_WORDS} characters.", where=where, position=LONGEST_WORDS, text=typed)
    if slot.kind in _PARSED:
        return parse(slot.kind, typed, where=where, habits=habits)
    if slot.kind == "volume":
        return parse_water(typed, where=where, habits=habits) if step.do in ("fill", "soak") else parse("volume", typed, where=where, habits=habits)
    if slot.kind == "amount":
        return parse_amount(typed, where=where, habits=habits)
    if slot.kind == "dose":
        dose = parse_dose(typed, where=where, habits=habits)
        if dose.kind == "ph" and step.do != "add acid":
            raise BadInput("Only acid is added up to a pH.", where=where, position=0, text=typed)
        return dose
    if slot.kind == "size":
        return parse_size(typed, where=where, habits=habits)
    if slot.kind == "place":
        return parse_place(typed, where=where, habits=habits)
    if slot.kind == "acid":
        return parse_acid(typed, where=where, habits=habits)
    if slot.kind == "recipe":
        has_total = bool(step.get("depth").strip() or step.get("amount").strip())
        return parse_recipe(typed, has_total=has_total, where=where, habits=habits)
    if slot.kind == "blend":
        return parse_mix(typed, where=where)
    if slot.kind == "choice" and typed.strip() not in slot.choices:
        raise BadInput(f"'{typed.strip()[:40]}' is none of: {', '.join(slot.choices)}.", where=where, position=0, text=typed)
    return " ".join(typed.split()) if slot.kind != "text" else typed.strip()


def _together(step: Step, here: str) -> list[BadInput]:
    """Checks of a step's slots against each other."""
    alternatives = ALTERNATIVES.get(step.do, ())
    given = [key for key in alternatives if step.get(key).strip()]
    if alternatives and len(given) != 1:
        listed = ", ".join(alternatives[:-1]) + f" or {alternatives[-1]}"
        said = f"{' and '.join(given)} are given" if given else "none is given"
        return [BadInput(f"This step needs one of {listed}; {said}.", where=_where(here, given[-1] if given else alternatives[0]), position=0, text="")]
    if step.do == "add dye":
        both = bool(step.get("depth").strip()) and bool(step.get("amount").strip())
        neither = not step.get("depth").strip() and not step.get("amount").strip()
        if both:
            return [BadInput("Give the depth or the amount, not both.", where=_where(here, "amount"), position=0, text=step.get("amount"))]
        if neither and given != ["recipe"]:
            return [BadInput("How much? Give a depth such as '0.8 %' or an amount such as '2 g'.", where=_where(here, "depth"), position=0, text="")]
    return []


def _unknown_word(said: str, where: str) -> BadInput:
    near = difflib.get_close_matches(said.casefold(), list(WORDS), n=1, cutoff=0.6)
    hint = f"Did you mean '{near[0]}'?" if near else f"Step words are: {', '.join(WORDS)}."
    return BadInput(f"'{said[:40]}' is no step word. {hint}", where=where, position=0, text=said)


def _unknown_slot(word: Word, key: str, where: str) -> BadInput:
    keys = [slot.key for slot in word.slots]
    near = difflib.get_close_matches(key.casefold(), keys, n=1, cutoff=0.6)
    hint = f"Did you mean '{near[0]}'?" if near else f"It may have: {', '.join(keys)}." if keys else "It has no values."
    return BadInput(f"The step '{word.do}' has no '{key[:40]}'. {hint}", where=where)


def _for_example(slot: Slot) -> str:
    return f", for example '{slot.default}'" if slot.default else ""


def _where(here: str, key: str) -> str:
    return f"{here}: {key}" if here else key
