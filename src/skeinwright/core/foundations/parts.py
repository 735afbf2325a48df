"""Several things with a number each: parts ("3 Kelp : 1 Ember"), shares ("75 % wool, 25 % nylon"), amounts and doses ("Kelp 0.5 %, Ember 0.2 %")."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import TypeVar

from skeinwright.core.foundations.doses import is_unit, parse_dose
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.measured import Quantity, parse
from skeinwright.core.foundations.numbers import NUMBER_STARTS, read_number, skip_space, write_number
from skeinwright.core.foundations.say import write
from skeinwright.core.foundations.units import HABITS, Habits

Parts = tuple[tuple[str, float], ...]
"""(name, number) pairs in the order said."""

SEPARATORS = ",;:"
"""What stands between things, and so cannot stand in a name."""

MOST_THINGS = 24
LONGEST_LIST = 2000
T = TypeVar("T")
PERCENT_SLACK = Fraction(1, 2)
"""Per cents may miss 100 by this much before they are refused (33.3 + 33.3 + 33.3); they are then scaled to 1."""

_BETWEEN = re.compile(r"\s*(?:;|:|(?<![0-9]),|,(?![0-9])|\n)\s*")
_PER_CENT = re.compile(r"\s*(?:%|per\s*cent\b)\s*(?:of\s+)?", re.IGNORECASE)
_SPLIT = re.compile(r"\s*([0-9]+(?:\s*/\s*[0-9]+)+)\s*(?:%|per\s*cent\b)?\s*(?:of\s+)?(.+?)\s*", re.IGNORECASE | re.DOTALL)
_SPLIT_AFTER = re.compile(r"\s*([^/]+(?:/[^/]+?)+)\s+([0-9]+(?:\s*/\s*[0-9]+)+)\s*(?:%|per\s*cent)?\s*", re.IGNORECASE | re.DOTALL)
"""A split as labels print it: "75/25 wool/nylon", "wool/nylon 75/25"."""
_PARTS_WORD = re.compile(r"\s*(?:parts?\b\s*)?(?:of\s+)?", re.IGNORECASE)


def parse_parts(text: str, *, where: str | None = None) -> Parts:
    """Shares that add up to 1: "3 Kelp : 1 Ember : 1/2 Rosehip", "75 % wool, 25 % nylon", "75/25 wool nylon" as labels print it, or one name alone."""
    pieces = _pieces(text, where)
    if len(pieces) == 1 and (split := _split(text, where)) is not None:
        return _shares(split, percent=True, text=text, where=where)
    read = [_part(text, start, end, where) for start, end in pieces]
    if len(read) == 1 and read[0][0] is None:
        return ((read[0][2], 1.0),)
    shares: list[tuple[str, Fraction]] = []
    for (number, _, name), (start, end) in zip(read, pieces, strict=True):
        if number is None:
            raise BadInput(f"How many parts of '{text[start:end].strip()}'? Write for example '3 Kelp : 1 Ember'.", where=where, position=start, text=text)
        shares.append((name, number))
    if len({percent for _, percent, _ in read}) > 1:
        raise BadInput("Parts and per cents are mixed; write all in one way.", where=where, position=0, text=text)
    return _shares(shares, percent=read[0][1], text=text, where=where)


def shares_of(table: Mapping[str, float], *, where: str | None = None) -> Parts:
    """Parts given as a table ({Kelp = 3, Ember = 1}) as shares that add up to 1."""
    for name, number in table.items():
        if isinstance(number, bool) or not isinstance(number, int | float) or not math.isfinite(number):
            raise BadInput(f"The parts of '{name}' must be a number.", where=where)
    return _shares([(name, Fraction(str(number))) for name, number in table.items()], percent=False, text="", where=where)


def _shares(pairs: list[tuple[str, Fraction]], *, percent: bool, text: str, where: str | None) -> Parts:
    total = sum((number for _, number in pairs), Fraction(0))
    place = 0 if text else None
    if total <= 0 or any(number < 0 for _, number in pairs):
        raise BadInput("The parts must be more than nothing.", where=where, position=place, text=text)
    if percent and abs(total - 100) > PERCENT_SLACK:
        raise BadInput(f"The per cents add up to {write_number(total)}, not to 100.", where=where, position=place, text=text)
    seen: set[str] = set()
    for name, _ in pairs:
        if name.casefold() in seen:
            raise BadInput(f"'{name}' is named twice.", where=where, position=text.rfind(name) if text else None, text=text)
        seen.add(name.casefold())
    return tuple((name, float(number / total)) for name, number in pairs)


def _pieces(text: str, where: str | None) -> list[tuple[int, int]]:
    """Start and end of each thing in the list."""
    if not text.strip():
        raise BadInput("At least one name is needed here.", where=where, position=0, text=text)
    if len(text) > LONGEST_LIST:
        raise BadInput("This list is too long.", where=where, position=LONGEST_LIST, text=text)
    pieces, at = [], 0
    for between in _BETWEEN.finditer(text):
        pieces.append((at, between.start()))
        at = between.end()
    pieces.append((at, len(text)))
    for start, end in pieces:
        if not text[start:end].strip():
            raise BadInput("A name is missing between the separators.", where=where, position=min(start, len(text)), text=text)
    if len(pieces) > MOST_THINGS:
        raise BadInput(f"More than {MOST_THINGS} things are named.", where=where, position=pieces[MOST_THINGS][0], text=text)
    return pieces


def _split(text: str, where: str | None) -> list[tuple[str, Fraction]] | None:
    """The (name, per cent) pairs of "75/25 wool/nylon"; None where the numbers do not make a hundred, so that "1/2 Rosehip" stays a half."""
    if before := _SPLIT.fullmatch(text):
        said, names = before.groups()
    elif after := _SPLIT_AFTER.fullmatch(text):
        names, said = after.groups()
    else:
        return None
    numbers = [Fraction(one) for one in said.split("/")]
    if sum(numbers) != 100:
        return None
    named = [one.strip() for one in (names.split("/") if "/" in names else names.split())]
    if len(named) != len(numbers) or not all(named):
        raise BadInput(f"'{said}' says {len(numbers)} shares; name each, for example '75 % wool, 25 % nylon'.", where=where, position=0, text=text)
    return list(zip(named, numbers, strict=True))


def _part(text: str, start: int, end: int, where: str | None) -> tuple[Fraction | None, bool, str]:
    """(number or None, was it a per cent, name) of one thing: "3 Kelp", "75 % wool", "wool 75 %", "wool"."""
    start = skip_space(text, start)
    if text[start] in NUMBER_STARTS + ".":
        number = _placed(lambda clipped: read_number(clipped, start, where=where), text, end)
        percent = _PER_CENT.match(text, number.end, end)
        after = percent or _PARTS_WORD.match(text, number.end, end)
        name = text[after.end() if after else number.end : end].strip()
        if not name:
            raise BadInput(
                f"'{text[start:end].strip()}' names nothing; write for example '3 Kelp'.", where=where, position=min(number.end, len(text)), text=text
            )
        return number.value, percent is not None, name
    if trailing := re.search(rf"\s([{NUMBER_STARTS}.,/ ]+)(?:%|per\s*cent)\s*$", text[start:end], re.IGNORECASE):
        at = start + trailing.start(1)
        number = _placed(lambda clipped: read_number(clipped, at, where=where), text, end)
        return number.value, True, text[start:at].strip()
    return None, False, text[start:end].strip()


def parse_amounts(text: str, *, where: str | None = None, habits: Habits = HABITS) -> Parts:
    """(name, grams) pairs: "Kelp 0.2 g, Ember 0.05 g" or "0.2 g Kelp"."""
    named = _named(text, lambda said: parse("mass", said, where=where, habits=habits), where, habits)
    return tuple((name, quantity.value) for name, quantity in named)


def parse_doses(text: str, *, where: str | None = None, habits: Habits = HABITS) -> tuple[tuple[str, Quantity], ...]:
    """(name, dose) pairs: "Kelp 0.5 %, Ember 0.2 %"."""
    return _named(text, lambda said: parse_dose(said, where=where, habits=habits), where, habits)


def _named(text: str, read: Callable[[str], Quantity], where: str | None, habits: Habits) -> tuple[tuple[str, Quantity], ...]:
    found: list[tuple[str, Quantity]] = []
    for start, end in _pieces(text, where):
        name, quantity = _name_and_amount(text, start, end, read, where, habits)
        if name.casefold() in (other.casefold() for other, _ in found):
            raise BadInput(f"'{name}' is named twice.", where=where, position=start, text=text)
        found.append((name, quantity))
    return tuple(found)


def _name_and_amount(text: str, start: int, end: int, read: Callable[[str], Quantity], where: str | None, habits: Habits) -> tuple[str, Quantity]:
    """The amount stands after the name ("Kelp 0.5 %") or before it ("0.5 % Kelp")."""
    piece = text[start:end]
    first: BadInput | None = None
    for space in re.finditer(r"\s+", piece):
        before, at = piece[: space.start()].strip(), start + space.end()
        if at >= end or not before:
            continue
        if text[at] in NUMBER_STARTS + ".,":
            try:
                return before, _at(text, at, end, read)
            except BadInput as problem:
                first = first or problem
    start = skip_space(text, start)
    if text[start] in NUMBER_STARTS:
        for space in re.finditer(r"\s+", text[start:end]):
            at = start + space.start()
            after = text[start + space.end() : end].strip()
            if not after or is_unit(after, habits) or after[0] in NUMBER_STARTS:
                continue
            try:
                return after.removeprefix("of ").strip(), _at(text, start, at, read)
            except BadInput:
                continue
    raise first or BadInput(f"How much '{piece.strip()}'? Write the name and the amount, for example 'Kelp 0.5 %'.", where=where, position=start, text=text)


def _at(text: str, start: int, end: int, read: Callable[[str], Quantity]) -> Quantity:
    found = _placed(lambda clipped: read(" " * start + clipped[start:]), text, end)
    return Quantity(found.kind, found.value, found.unit, text[start:end].strip())


def _placed(read: Callable[[str], T], text: str, end: int) -> T:
    """Read from the text cut off at `end`; an error shows the whole text."""
    try:
        return read(text[:end])
    except BadInput as problem:
        raise BadInput(problem.sentence, where=problem.where, position=problem.position, text=text) from None


def write_parts(parts: Parts, *, percent: bool = False) -> str:
    """Shares in words that read back as the same shares: "3 Kelp : 1 Ember", or "75 % wool, 25 % nylon" with `percent` or where no small parts fit."""
    if len(parts) == 1:
        name = parts[0][0]
        return f"100 % {name}" if percent else f"1 {name}" if name[:1] in NUMBER_STARTS + "." else name
    adds_up = sum(Fraction(write_number(share)) for _, share in parts) == 1
    whole = None if percent and adds_up else _small_parts([share for _, share in parts])
    if whole is not None:
        return " : ".join(f"{number} {name}" for (name, _), number in zip(parts, whole, strict=True))
    return ", ".join(f"{write('fraction', share)} {name}" for name, share in parts)


def _small_parts(shares: list[float]) -> list[int] | None:
    exact = [Fraction(share).limit_denominator(1000) for share in shares]
    common = math.lcm(*(fraction.denominator for fraction in exact))
    whole = [int(fraction * common) for fraction in exact]
    fits = common <= 1000 and sum(whole) == common and all(number / common == share for number, share in zip(whole, shares, strict=True))
    return whole if fits and min(whole) > 0 else None


def write_amounts(amounts: Parts, kind: str = "mass", unit: str = "g") -> str:
    """ "Kelp 0.2 g, Ember 0.05 g", exactly."""
    return ", ".join(f"{name} {write(kind, value, unit)}" for name, value in amounts)
