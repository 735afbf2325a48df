"""A shelf item out of typed words, and back: one reader for form, CSV, TOML and command line, driven by each field's `Ask`.

Fields are keyed by the dataclass's field names. Nothing is guessed: an unknown field is refused by name, several errors are told at once, and
`say_item` writes words that `read_item` reads back as the same item.
"""

from __future__ import annotations

import dataclasses
import difflib
import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, cast

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.parts import SEPARATORS
from skeinwright.core.foundations.quantities import HABITS, Habits, parse, parse_amounts, parse_parts, write, write_amounts, write_parts
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.items import KINDS, Item
from skeinwright.core.shelf.lab_text import parse_lab, write_lab

LONGEST_LINE = 400
LONGEST_WORDS = 2000
LONGEST_TEXT = 20_000
MOST_ALKALINITY_MG_L = 2000.0
"""No tap water has more [common practice]: a figure in another unit, or ten times too much."""
TWISTS = ("soft", "medium", "high")
NOT_SAID = ("", "not known", "unknown", "?")
YES = ("yes", "y", "true", "1", "on")
NO = ("no", "n", "false", "0", "off")


def fields(kind: str) -> tuple[tuple[str, Ask], ...]:
    """(field name, how it is asked) of a shelf kind, in the order of the form."""
    cls = KINDS.get(kind)
    if cls is None:
        raise BadInput(f"'{kind}' is no kind of the shelf; kinds are {', '.join(KINDS)}.", where="kind")
    return tuple((field.name, cast(Ask, field.metadata["ask"])) for field in dataclasses.fields(cls) if "ask" in field.metadata)


def read_item(kind: str, said: Mapping[str, str], *, habits: Habits = HABITS, keep: Item | None = None) -> Item:
    """The item that `said` describes. An empty value means "not known" (the field's default).

    `keep` is the item as it was: its swatches, and every field that `said` does not name, are taken over from it.
    Raises `ManyBadInputs`; each problem's `where` is the field's name.
    """
    asks = dict(fields(kind))
    problems: list[BadInput] = [_unknown(kind, name, asks) for name in said if name not in asks]
    values: dict[str, Any] = {} if keep is None else {name: getattr(keep, name) for name in asks if name not in said or asks[name].kind == "swatches"}
    for name, how in asks.items():
        typed = said.get(name, "")
        if name in values or how.kind == "swatches":
            continue
        try:
            if typed.strip() and not (typed.strip().casefold() in NOT_SAID and how.kind in _MEASURED and not how.need):
                values[name] = _read(name, how, typed, habits)
            elif how.need:
                raise BadInput(f"{how.label} must be given{_why(how.help)}", where=name, position=0, text=typed)
        except BadInput as problem:
            problems.append(problem)
    if not problems:
        problems.extend(_together(kind, values))
    if problems:
        raise ManyBadInputs(tuple(problems))
    filled = {name: value for name, value in values.items() if value is not None or asks[name].kind == "swatches"}
    return cast(Item, KINDS[kind](**filled))


def say_item(item: Item, habits: Habits = HABITS) -> dict[str, str]:
    """Every field in words that `read_item` reads back as the same value; "" where it is not known. Swatches are not among them."""
    return {name: _say(name, how, getattr(item, name), habits) for name, how in fields(item.kind) if how.kind != "swatches"}


def _unknown(kind: str, name: str, asks: Mapping[str, Ask]) -> BadInput:
    labels = {how.label.casefold(): key for key, how in asks.items()}
    near = difflib.get_close_matches(name.casefold(), [*asks, *labels], n=1, cutoff=0.5)
    meant = labels.get(near[0], near[0]) if near else ""
    hint = f"Did you mean '{meant}'?" if meant else f"It may have: {', '.join(asks)}."
    return BadInput(f"{_a(kind)} has no '{name[:60]}'. {hint}", where=name[:60])


def _a(kind: str) -> str:
    return f"{'An' if kind[0] in 'aeiou' else 'A'} {kind}"


def _read(name: str, how: Ask, typed: str, habits: Habits) -> Any:
    if how.kind != "long text" and len(typed) > LONGEST_WORDS:
        raise BadInput(f"{how.label} is too long: at most {LONGEST_WORDS} characters.", where=name, position=LONGEST_WORDS, text=typed)
    if name == "name":
        return read_name(typed)
    reader = _READERS.get(how.kind)
    if reader is not None:
        return reader(name, how, typed, habits)
    return parse(how.kind, typed, where=name, habits=habits).value


def read_name(typed: str, *, where: str = "name") -> str:
    """A name: one line, without what parts things in a recipe (comma, semicolon, colon) and without quotation marks or brackets."""
    name = " ".join(typed.split())
    if not name:
        raise BadInput("A name is needed.", where=where, position=0, text=typed)
    if len(name) > 80:
        raise BadInput("A name has at most 80 characters.", where=where, position=80, text=typed)
    for at, ch in enumerate(typed):
        if ch in SEPARATORS + '"{}[]=' or (not ch.isprintable() and not ch.isspace()):
            raise BadInput(
                f"A name cannot have '{ch if ch.isprintable() else repr(ch)}' in it, because that parts one thing from the next in a recipe.",
                where=where,
                position=at,
                text=typed,
            )
    return name


def _text(name: str, how: Ask, typed: str, habits: Habits) -> str:
    text = typed.strip()
    if "\n" in text or "\r" in text or len(text) > LONGEST_LINE:
        raise BadInput(f"{how.label} is one line of at most {LONGEST_LINE} characters.", where=name, position=0, text=typed)
    return text


def _long_text(name: str, how: Ask, typed: str, habits: Habits) -> str:
    text = "\n".join(line.rstrip() for line in typed.strip().splitlines())
    if len(text) > LONGEST_TEXT:
        raise BadInput(f"{how.label} has at most {LONGEST_TEXT} characters.", where=name, position=LONGEST_TEXT, text=typed)
    return text


def _choice(name: str, how: Ask, typed: str, habits: Habits) -> str:
    plain = " ".join(typed.split()).casefold()
    for choice in how.choices:
        if plain == choice.casefold():
            return choice
    near = difflib.get_close_matches(plain, [choice.casefold() for choice in how.choices], n=1, cutoff=0.6)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    raise BadInput(f"'{typed.strip()[:60]}' is none of: {', '.join(how.choices)}.{hint}", where=name, position=0, text=typed)


def _yes_no(name: str, how: Ask, typed: str, habits: Habits) -> bool | None:
    plain = typed.strip().casefold()
    if plain in YES or plain in NO:
        return plain in YES
    if plain in NOT_SAID:
        return None
    raise BadInput(f"{how.label}: write yes, no or not known; '{typed.strip()[:40]}' was read.", where=name, position=0, text=typed)


def _date(name: str, how: Ask, typed: str, habits: Habits) -> date:
    plain = typed.strip()
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", plain, re.ASCII):
        try:
            return date.fromisoformat(plain)
        except ValueError:
            pass
    raise BadInput(f"Write a date as year-month-day, for example 2026-11-24; '{plain[:40]}' was read.", where=name, position=0, text=typed)


def _link(name: str, how: Ask, typed: str, habits: Habits) -> str:
    text = _text(name, how, typed, habits)
    if re.match(r"(?!https?:|file:)[a-z][a-z0-9+.-]*:", text, re.IGNORECASE) and not re.match(r"[a-z]:[\\/]", text, re.IGNORECASE):
        raise BadInput("A link starts with https:// or http://; or write the name of a file or a paper.", where=name, position=0, text=typed)
    return text


def _count(name: str, how: Ask, typed: str, habits: Habits) -> int:
    if name == "plies" and (ply := re.fullmatch(r"\s*([0-9]+)[\s-]*(?:ply|plies)\s*", typed, re.IGNORECASE)):
        raise BadInput(
            f"Is '{typed.strip()}' a count? It may be the name of a thickness. Count the plies at a cut end; if there are {ply[1]}, write {ply[1]}.",
            where=name,
            position=typed.find(ply[1]) + len(ply[1]),
            text=typed,
        )
    value = parse("count", typed, where=name, habits=habits).value
    if value > 1e9:
        raise BadInput(f"{how.label}: {int(value)} is too many to be meant.", where=name, position=0, text=typed)
    if name in ("plies", "holds", "keeps_days") and value < 1:
        raise BadInput(f"{how.label} must be 1 or more.", where=name, position=0, text=typed)
    return int(value)


def _money(name: str, how: Ask, typed: str, habits: Habits) -> int:
    return int(parse("money", typed, where=name, habits=habits).value)


def _above_nothing(name: str, how: Ask, typed: str, habits: Habits) -> float:
    kind = "strength" if name == "strength" and how.kind == "fraction" else how.kind
    value = parse(kind, typed, where=name, habits=habits).value
    if value <= 0 and not re.match(r"on_hand|alkalinity|price|ph", name):
        raise BadInput(f"{how.label} must be more than nothing.", where=name, position=0, text=typed)
    if how.kind == "alkalinity" and value > MOST_ALKALINITY_MG_L:
        raise BadInput(
            f"{value:.0f} mg/L as calcium carbonate is more than any tap water has: 20 to 400 are usual. Did you mean {value / 10:.0f} mg/L?",
            where=name,
            position=0,
            text=typed,
        )
    return value


def read_twist(typed: str, *, where: str = "twist") -> str:
    """A twist: "soft", "medium", "high", or turns per metre ("300 turns per metre", "7 turns per inch"), kept as typed."""
    plain = typed.strip().casefold()
    if plain in TWISTS:
        return plain
    try:
        parse("twist", typed, where=where)
    except BadInput as problem:
        if problem.position == 0 or not any(ch.isdigit() for ch in typed):
            raise BadInput(
                f"A twist is soft, medium, high, or turns per metre such as '300 turns per metre'; '{typed.strip()[:40]}' was read.",
                where=where,
                position=0,
                text=typed,
            ) from None
        raise
    return " ".join(typed.split())


def turns_per_m(twist: str) -> float | None:
    """The turns per metre of a twist that was given as a number, None for a word."""
    return None if twist in TWISTS else parse("twist", twist).value


def _together(kind: str, values: Mapping[str, Any]) -> list[BadInput]:
    """Checks of fields against each other."""
    problems = []
    if kind == "vessel" and values.get("shape") == "rectangle" and values.get("width_mm") is None:
        problems.append(BadInput("A rectangular vessel needs its width.", where="width_mm", position=0, text=""))
    if kind == "vessel" and values.get("shape") == "round" and values.get("width_mm") not in (None, values.get("length_mm")):
        problems.append(BadInput("A round vessel has a diameter only; leave its width empty.", where="width_mm", position=0, text=""))
    if kind == "solution" and values["strength"] > 1:
        problems.append(BadInput("A solution cannot be stronger than 100 %.", where="strength", position=0, text=""))
    if kind == "acid" and values["acid"] == "vinegar" and values.get("strength") is not None and values["strength"] > 1:
        problems.append(BadInput("Vinegar cannot be stronger than 100 %.", where="strength", position=0, text=""))
    if kind == "base" and values.get("round_mm") is not None and values["round_mm"] > values["length_mm"]:
        problems.append(BadInput("Once round cannot be longer than the yarn in the skein.", where="round_mm", position=0, text=""))
    return problems


def _say(name: str, how: Ask, value: Any, habits: Habits) -> str:
    if value is None or value == ():
        return ""
    writer = _WRITERS.get(how.kind)
    if writer is not None:
        return writer(name, how, value, habits)
    return write("strength" if how.kind == "fraction" else how.kind, value, how.unit or None, habits=habits)


def _why(help: str) -> str:
    """The end of "Length must be given": the field's help, or its example."""
    return f", for example {help}" if help.startswith("'") else f". {help}" if help else "."


_READERS: dict[str, Callable[[str, Ask, str, Habits], Any]] = {
    "text": _text,
    "long text": _long_text,
    "choice": _choice,
    "yes no": _yes_no,
    "date": _date,
    "link": _link,
    "count": _count,
    "money": _money,
    "mass": _above_nothing,
    "volume": _above_nothing,
    "length": _above_nothing,
    "fraction": _above_nothing,
    "power": _above_nothing,
    "twist": lambda name, how, typed, habits: read_twist(typed, where=name),
    "lab": lambda name, how, typed, habits: parse_lab(typed, where=name),
    "parts": lambda name, how, typed, habits: parse_parts(typed, where=name),
    "amounts": lambda name, how, typed, habits: parse_amounts(typed, where=name, habits=habits),
}

_MEASURED = frozenset(_READERS) - {"text", "long text", "choice", "link"} | {"temperature", "time", "alkalinity", "ph"}
"""Kinds for which "not known" may be typed and means an empty field."""

_WRITERS: dict[str, Callable[[str, Ask, Any, Habits], str]] = {
    "text": lambda name, how, value, habits: str(value),
    "long text": lambda name, how, value, habits: str(value),
    "choice": lambda name, how, value, habits: str(value),
    "link": lambda name, how, value, habits: str(value),
    "twist": lambda name, how, value, habits: str(value),
    "yes no": lambda name, how, value, habits: "yes" if value else "no",
    "date": lambda name, how, value, habits: str(value.isoformat()),
    "lab": lambda name, how, value, habits: write_lab(value),
    "parts": lambda name, how, value, habits: write_parts(value, percent=name == "fibres"),
    "amounts": lambda name, how, value, habits: write_amounts(value),
    "money": lambda name, how, value, habits: write("money", value, habits.currency or None),
}
