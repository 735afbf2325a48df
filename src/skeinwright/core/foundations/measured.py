"""One quantity of a known kind: read strictly, echoed back, never guessed.

An unknown unit, a missing unit or a number that can be read two ways raises `BadInput`: what was read, at which place, and what is accepted.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import MINUSES, NUMBER_STARTS, Number, read_number, skip_space
from skeinwright.core.foundations.say import echo_of, write
from skeinwright.core.foundations.units import ACCEPTED, HABITS, LIKELY, NAMES, Habits, Unit, find_unit, units_of

LONGEST_TEXT = 400
_SIGNED = frozenset({"temperature"})
_MIXABLE = frozenset({"mass", "volume", "length", "time"})
_SMALLER = {"h": "min", "min": "s"}
_CLOCK = re.compile(r"\s*([0-9]{1,3}):([0-9]{2})(?::([0-9]{2}))?\s*(.*?)\s*$", re.DOTALL)
_UP_TO_NUMBER = re.compile(rf"(.+?)\s*(?:\+|\band\b|,(?=\s))?\s*(?=[{NUMBER_STARTS}])", re.DOTALL)
_EASILY_MIXED = {
    "t": "T and t are easily mixed up: write tbsp or tsp",
    "c": "write cups if you mean cups",
    "oz": "an ounce is a weight: write fl oz for a volume",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity as it was understood: `value` in the base unit of its kind (see `units.Kind`), `unit` as understood, `text` as typed."""

    kind: str
    value: float
    unit: str
    text: str

    @property
    def echo(self) -> str:
        """What was understood: "3 tbsp = 44.4 ml"; only the text where it already says so."""
        return echo_of(self.kind, self.value, self.unit, self.text)


def parse(kind: str, text: str, *, where: str | None = None, habits: Habits = HABITS) -> Quantity:
    """The quantity of this kind in `text`, value in the kind's base unit.

    `habits` says what a spoon and a drop are. Raises `BadInput` with `position` inside the text.
    """
    if len(text) > LONGEST_TEXT:
        raise BadInput(f"This is too long for {NAMES.get(kind, kind)}.", where=where, position=LONGEST_TEXT, text=text)
    if not text.strip():
        raise BadInput(f"{_capital(NAMES.get(kind, kind))} is needed here; nothing was written.", where=where, position=0, text=text)
    special = {"count": _count, "money": _money, "ratio": _ratio, "ph": _ph, "cover": _cover, "time": _time, "strength": _strength}.get(kind)
    quantity = special(text, where, habits) if special else _measured(kind, text, where, habits)
    return _possible(quantity, where)


def _measured(kind: str, text: str, where: str | None, habits: Habits) -> Quantity:
    total, at, units = Fraction(0), 0, list[Unit]()
    while True:
        number = read_number(text, at, where=where)
        _no_range(kind, text, number, where)
        if number.value < 0 and kind not in _SIGNED:
            what = "An amount" if kind == "fraction" else _capital(NAMES[kind])  # a depth is the first thing that an amount is read as
            raise BadInput(f"{what} cannot be less than nothing.", where=where, position=number.start, text=text)
        unit, at = _unit_after(kind, text, number, units, where, habits)
        if units and unit.size >= units[-1].size:
            raise BadInput(f"'{text.strip()}' is not clear: after {units[-1].name} a smaller unit is expected.", where=where, position=number.start, text=text)
        units.append(unit)
        total += number.value * unit.size + unit.offset
        if at >= len(text):
            break
    return Quantity(kind, float(total), units[0].name if len(units) == 1 else " ".join(u.name for u in units), text.strip())


def _unit_after(kind: str, text: str, number: Number, before: list[Unit], where: str | None, habits: Habits) -> tuple[Unit, int]:
    """The unit after a number and the place where the next number starts (the end of the text where there is none)."""
    at = skip_space(text, number.end)
    rest = text[at:].strip()
    if not rest:
        smaller = _SMALLER.get(before[-1].name) if before else None
        if smaller and (unit := find_unit(kind, smaller, habits)):
            return unit, len(text)
        raise _no_unit(kind, text, number, where)
    if unit := find_unit(kind, rest, habits):
        return unit, len(text)
    if kind in _MIXABLE and (more := _UP_TO_NUMBER.match(text, at)) and (unit := find_unit(kind, more[1], habits)):
        return unit, more.end()
    raise _unknown_unit(kind, text, at, rest, where, habits)


def _no_unit(kind: str, text: str, number: Number, where: str | None) -> BadInput:
    said = text[number.start : number.end]
    if kind == "temperature":
        sentence = f"Is {said} in C or in F? Write '{said} C' or '{said} F'."
    elif kind == "fraction" and 0 < number.value < 1:
        sentence = f"'{said}' has no unit: write '{write('fraction', number.value)}' or '{said} %', whichever you mean."
    else:
        likely = f"'{said} l' or '{said} ml'" if kind == "volume" else f"'{said} {LIKELY[kind]}'"
        sentence = f"'{said}' has no unit. Do you mean {likely}? Accepted here: {ACCEPTED[kind]}."
    return BadInput(sentence, where=where, position=number.end, text=text)


def _unknown_unit(kind: str, text: str, at: int, rest: str, where: str | None, habits: Habits) -> BadInput:
    shown = rest if len(rest) <= 40 else rest[:40] + "..."
    if kind == "volume" and (hint := _EASILY_MIXED.get(rest.lower())):
        return BadInput(f"'{shown}' is not clear here: {hint}.", where=where, position=at, text=text)
    if kind == "temperature" and rest.lower() in ("°", "º", "deg", "degree", "degrees"):
        said = text[:at].strip()
        return BadInput(f"Is {said} in C or in F? Write '{said} C' or '{said} F'.", where=where, position=at, text=text)
    if kind == "mass" and rest.lower() in ("gr", "grain", "grains"):
        return BadInput(f"'{shown}' may be grams or grains (a grain is 0.065 g): write g.", where=where, position=at, text=text)
    for other in ACCEPTED:
        if other != kind and (unit := find_unit(other, rest, habits)):
            article = "a" if unit.name[0] not in "aeio" else "an"
            return BadInput(
                f"'{shown}' is {article} unit of {_bare(other)}, but {NAMES[kind]} is needed here: {ACCEPTED[kind]}.", where=where, position=at, text=text
            )
    spellings = [s for u in units_of(kind, habits) for s in (u.name, *u.spellings)]
    near = difflib.get_close_matches(rest.lower()[:40], spellings, n=1, cutoff=0.7)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    return BadInput(f"The unit '{shown}' is not known here.{hint} Accepted: {ACCEPTED[kind]}.", where=where, position=at, text=text)


def _no_range(kind: str, text: str, number: Number, where: str | None) -> None:
    at = skip_space(text, number.end)
    if at < len(text) and text[at] in MINUSES and skip_space(text, at + 1) < len(text) and text[skip_space(text, at + 1)] in NUMBER_STARTS:
        raise BadInput(f"'{text.strip()}' is a range; {NAMES[kind]} must be one number.", where=where, position=at, text=text)


def _time(text: str, where: str | None, habits: Habits) -> Quantity:
    clock = _CLOCK.match(text)
    if clock is None:
        return _measured("time", text, where, habits)
    first, second, third, unit = int(clock[1]), int(clock[2]), clock[3], clock[4].lower()
    shown = text.strip()
    if second > 59 or (third is not None and int(third) > 59):
        raise BadInput(f"'{shown}' is no time: there are 60 minutes in an hour and 60 seconds in a minute.", where=where, position=clock.start(2), text=text)
    if third is not None and unit in ("", "h"):
        return Quantity("time", float(3600 * first + 60 * second + int(third)), "h:min:s", shown)
    if third is None and find_unit("time", unit, habits) is not None and unit[0] in "hm":
        return Quantity(
            "time", float((3600 if unit[0] == "h" else 60) * first + (60 if unit[0] == "h" else 1) * second), "h:min" if unit[0] == "h" else "min:s", shown
        )
    if third is None and not unit:
        raise BadInput(
            f"Is '{shown}' {first} h {second} min or {first} min {second} s? Write '{shown} h' or '{shown} min'.", where=where, position=clock.end(2), text=text
        )
    raise BadInput(f"'{clock[4]}' is not known after {first}:{clock[2]}; write h or min.", where=where, position=clock.start(4), text=text)


def _whole_text(text: str, number: Number, where: str | None, kind: str, advice: str) -> None:
    at = skip_space(text, number.end)
    if at < len(text):
        raise BadInput(f"'{text[at:].strip()[:40]}' cannot be read in {NAMES[kind]}; {advice}.", where=where, position=at, text=text)


def _count(text: str, where: str | None, habits: Habits) -> Quantity:
    number = read_number(text, where=where)
    rest = text[number.end :].strip().lower()
    if rest not in ("times", "time", "x", "×"):
        _whole_text(text, number, where, "count", "write a whole number such as 4")
    if number.value.denominator != 1 or number.value < 0:
        raise BadInput(f"'{text.strip()}' must be a whole number, 0 or more.", where=where, position=number.start, text=text)
    return Quantity("count", float(number.value), "", text.strip())


_CURRENCY_BEFORE = re.compile(r"\s*([A-Za-z]{1,3}\s|[^\w\s.,+\-−–]{1,2}|[A-Z]{3})\s*(?=[0-9.,+\-−–])")


def _is_currency(said: str) -> bool:
    """True for "", a sign such as the euro's, three capitals (ISO 4217), and crowns and francs as they are written."""
    return said == "" or re.fullmatch(r"[A-Z]{3}|[Kk]r\.?|Fr\.?|zł|[A-Z]{0,2}[^\w\s.,+\-−–]", said) is not None


def _money(text: str, where: str | None, habits: Habits) -> Quantity:
    before = _CURRENCY_BEFORE.match(text)
    number = read_number(text, before.end() if before else 0, where=where)
    rest = text[number.end :].strip()
    currency = before[1].strip() if before else rest
    if (before and rest) or not _is_currency(currency):
        raise BadInput(
            f"'{rest[:40]}' cannot be read in an amount of money; write it like 12.50.", where=where, position=skip_space(text, number.end), text=text
        )
    if currency and habits.currency and currency.casefold() != habits.currency.casefold():
        raise BadInput(
            f"'{currency}' is not the currency of this studio ({habits.currency}); convert it first.", where=where, position=text.find(currency), text=text
        )
    minor = number.value * 100
    if minor.denominator != 1 or minor < 0:
        raise BadInput(f"'{text.strip()}' cannot be an amount of money; write at most two decimals, 0 or more.", where=where, position=number.start, text=text)
    return Quantity("money", float(minor), currency or habits.currency, text.strip())


_RATIO = re.compile(r"(?:\s*:\s*|\s+to\s+)", re.IGNORECASE)


def _ratio(text: str, where: str | None, habits: Habits) -> Quantity:
    first = read_number(text, where=where)
    between = _RATIO.match(text, first.end)
    if between is None:
        rest = text[first.end :].strip()
        said = text[first.start : first.end]
        hint = f"Do you mean '{said}:1'?" if not rest else f"'{rest[:40]}' was read."
        raise BadInput(f"A liquor ratio is written like 30:1 (30 of liquor to 1 of fibre). {hint}", where=where, position=first.end, text=text)
    second = read_number(text, between.end(), where=where)
    _whole_text(text, second, where, "ratio", "write it like 30:1")
    if first.value == 1 and second.value > 1:
        said = text[second.start : second.end]
        raise BadInput(
            f"Is '{text.strip()}' 1 in {said} or 1 to {said}? For a liquor ratio write '{said}:1', the liquor first.",
            where=where,
            position=first.start,
            text=text,
        )
    if second.value != 1 or first.value <= 0:
        raise BadInput(f"'{text.strip()}' is not a liquor ratio; write the liquor for 1 of fibre, like 30:1.", where=where, position=second.start, text=text)
    return Quantity("ratio", float(first.value), ":1", text.strip())


_DILUTION = re.compile(r"(\s*:\s*|\s+in\s+|\s+to\s+)", re.IGNORECASE)


def _strength(text: str, where: str | None, habits: Habits) -> Quantity:
    """A strength: "1 %", "10 g/l" (w/v), "1 in 100" = 0.01, "1 to 100" = 1/101; "1:100" asks which."""
    first = read_number(text, where=where)
    between = _DILUTION.match(text, first.end)
    if between is None:
        return _measured("strength", text, where, habits)
    second = read_number(text, between.end(), where=where)
    _whole_text(text, second, where, "strength", "write it like 1 % or 1 in 100")
    one, many = text[first.start : first.end], text[second.start : second.end]
    if ":" in between[1]:
        raise BadInput(
            f"Is '{text.strip()}' {one} in {many} or {one} to {many}? Write '{one} in {many}', '{one} to {many}' or a per cent.",
            where=where,
            position=between.start(),
            text=text,
        )
    whole = second.value if between[1].strip().lower() == "in" else first.value + second.value
    if whole <= 0 or first.value < 0:
        raise BadInput(f"'{text.strip()}' is no strength.", where=where, position=second.start, text=text)
    return Quantity("strength", float(first.value / whole), between[1].strip().lower(), text.strip())


_PH = re.compile(r"\s*(?:to\s+)?(?:ph\s*)?(?:=\s*)?", re.IGNORECASE)


def _ph(text: str, where: str | None, habits: Habits) -> Quantity:
    start = _PH.match(text)
    number = read_number(text, start.end() if start else 0, where=where)
    _whole_text(text, number, where, "ph", "write it like 4.5")
    return Quantity("ph", float(number.value), "pH", text.strip())


_COVER = re.compile(r"\s*(?:to\s+)?cover(?:ed)?\b\s*(?:by\b\s*)?", re.IGNORECASE)


def _cover(text: str, where: str | None, habits: Habits) -> Quantity:
    start = _COVER.match(text)
    if start is None:
        raise BadInput("Write it like 'to cover by 2 cm'.", where=where, position=0, text=text)
    if start.end() >= len(text.rstrip()):
        raise BadInput(
            "By how much should the water cover the yarn? Write for example 'to cover by 2 cm'.", where=where, position=min(start.end(), len(text)), text=text
        )
    inner = " " * start.end() + text[start.end() :]
    try:
        depth = _measured("length", inner, where, habits)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=where, position=problem.position, text=text) from None
    return Quantity("cover", depth.value, depth.unit, text.strip())


_LIMITS = {"temperature": (-50.0, 400.0), "ph": (0.0, 14.0)}


def _possible(quantity: Quantity, where: str | None) -> Quantity:
    low, high = _LIMITS.get(quantity.kind, (0.0, float("inf")))
    if quantity.kind == "rate" and quantity.value == 0:
        raise BadInput("A heating rate must be more than nothing.", where=where, position=0, text=quantity.text)
    if low <= quantity.value <= high:
        return quantity
    sentence = "A pH lies between 0 and 14." if quantity.kind == "ph" else f"'{quantity.text}' is no temperature of a dye room (-50 to 400 C)."
    raise BadInput(sentence, where=where, position=0, text=quantity.text)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _bare(kind: str) -> str:
    return NAMES[kind].split(" ", 1)[1]
