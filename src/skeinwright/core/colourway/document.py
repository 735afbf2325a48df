"""The file of a colourway (TOML, already taken apart into plain data) as a `Colourway`; `document_out` is the way back.

A file can carry its own base, water, vessel and dyes as tables, or name those of the studio. Every problem is told at once, each with its place:
"step 3 (add acid): amount", "base: length". Files that dyes name for their swatches are not opened here: `swatch_files` lists them, their swatches come in.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, TypeVar

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits, parse_fibre, parse_size, parse_water, shares_of, write, write_number, write_parts
from skeinwright.core.shelf.items import Base, Dye, Item, Vessel, Water
from skeinwright.core.shelf.reading import fields, read_item, read_name
from skeinwright.core.shelf.swatch import Swatch
from skeinwright.core.shelf.swatch_document import read_swatch_table

T = TypeVar("T")

_KEYS = ("name", "notes", "over", "fibre", "base", "bases", "water", "vessel", "dye", "step")
SHORT: dict[str, dict[str, str]] = {
    "base": {"skein": "skein_g", "length": "length_mm", "round": "round_mm", "price": "price_minor"},
    "water": {"alkalinity": "alkalinity_mg_l"},
    "vessel": {"mass": "mass_g", "stands on": "stands_on"},
    "dye": {"class": "dye_class", "jar": "jar_g", "price": "price_minor", "on hand": "on_hand_g"},
}
"""Words of the file and the shelf's field names, by kind."""


class _Reader:
    """Collects problems while a document is read."""

    def __init__(self, habits: Habits) -> None:
        self.habits = habits
        self.problems: list[BadInput] = []

    def take(self, read: Callable[[], T], instead: T, place: str = "") -> T:
        """What `read` returns; on a problem, `instead`, and the problem is kept with its place."""
        try:
            return read()
        except ManyBadInputs as many:
            self.problems.extend(_placed(problem, place) for problem in many.problems)
        except BadInput as problem:
            self.problems.append(_placed(problem, place))
        return instead


def read_colourway_document(
    document: Mapping[str, Any], *, swatches: Mapping[str, Sequence[Swatch]] = MappingProxyType({}), habits: Habits = HABITS
) -> Colourway:
    """The colourway that a document describes.

    `swatches` are those of each dye, by its name, where the document names a file for them (see `swatch_files`). Raises `ManyBadInputs`.
    """
    reader = _Reader(habits)
    for key in document:
        if key not in _KEYS:
            reader.problems.append(_unknown_key(key, _KEYS, "A colourway's file"))
    base = document.get("base")
    own_base = reader.take(lambda: _base(base, habits), None) if isinstance(base, Mapping) else None
    water = document.get("water", "")
    vessel = document.get("vessel", "")
    steps = _steps(document.get("step", ()), reader)
    if steps:
        reader.take(lambda: len(read_steps(steps, habits=habits)), 0)
    colourway = Colourway(
        name=reader.take(lambda: read_name(_string(document.get("name", ""), "name")), ""),
        steps=steps,
        fibre=reader.take(lambda: _fibre(document.get("fibre", "100 g"), habits), ""),
        bases=reader.take(lambda: _bases(document), ()),
        water="" if isinstance(water, Mapping) else reader.take(lambda: _string(water, "water"), ""),
        vessel="" if isinstance(vessel, Mapping) else reader.take(lambda: _string(vessel, "vessel"), ""),
        notes=reader.take(lambda: _string(document.get("notes", ""), "notes"), ""),
        over=reader.take(lambda: _string(document.get("over", ""), "over"), ""),
        own_base=own_base,
        own_water=reader.take(lambda: _water(water, habits), None) if isinstance(water, Mapping) else None,
        own_vessel=reader.take(lambda: _vessel(vessel, habits), None) if isinstance(vessel, Mapping) else None,
        own_dyes=_dyes(document.get("dye", ()), swatches, reader),
        water_volume=reader.take(lambda: _water_volume(water, habits), "") if isinstance(water, Mapping) else "",
    )
    if reader.problems:
        raise ManyBadInputs(tuple(reader.problems))
    return colourway


def swatch_files(document: Mapping[str, Any]) -> dict[str, str]:
    """{dye name: file of its swatches} for the dyes of a document that name one; the paths are as written, relative to the document."""
    dyes = document.get("dye", ())
    tables = [dye for dye in dyes if isinstance(dye, Mapping)] if isinstance(dyes, Sequence) else []
    return {str(dye.get("name", "")).strip(): dye["swatches"] for dye in tables if isinstance(dye.get("swatches"), str)}


def _steps(tables: Any, reader: _Reader) -> tuple[Step, ...]:
    if not isinstance(tables, Sequence) or isinstance(tables, str):
        reader.problems.append(BadInput("Steps are written as [[step]] tables, one for each.", where="step"))
        return ()
    steps = []
    for number, table in enumerate(tables, start=1):
        step = reader.take(lambda table=table, number=number: _step(table, number), None)  # type: ignore[misc]
        if step is not None:
            steps.append(step)
    return tuple(steps)


def _step(table: Any, number: int) -> Step:
    if not isinstance(table, Mapping) or not isinstance(table.get("do"), str) or not table["do"].strip():
        raise BadInput('A step needs its word, for example do = "soak".', where=f"step {number}: do")
    do = " ".join(table["do"].split())
    do = do.casefold() if do.casefold() in WORDS else do
    said = {key: _step_value(value, key, f"step {number} ({do}): {key}") for key, value in table.items() if key != "do"}
    return Step(do, MappingProxyType(said))


def _step_value(value: Any, key: str, where: str) -> str:
    if isinstance(value, Mapping) and key in ("blend", "recipe"):
        if value and all(isinstance(entry, str) for entry in value.values()):
            return ", ".join(f"{name} {entry}" for name, entry in value.items())
        return write_parts(shares_of(value, where=where))
    return _string(value, where)


def _string(value: Any, where: str) -> str:
    """A plain value as it would be typed; numbers become their words, so that a missing unit is told in the usual sentence."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value, where)
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    raise BadInput("A text in quotation marks is needed here.", where=where)


def _number(value: float, where: str) -> str:
    if abs(value) < 1e12:
        return write_number(value)
    raise BadInput("This number is too large to be meant.", where=where)


def _fibre(said: Any, habits: Habits) -> str:
    if isinstance(said, Mapping):
        for key in said:
            if key != "mass":
                raise _unknown_key(key, ("mass",), "[fibre]")
        where, said = "fibre: mass", said.get("mass", "")
    else:
        where = "fibre"
    text = _string(said, where)
    parse_fibre(text, skein_g=100.0, where=where, habits=habits)
    return text


def _bases(document: Mapping[str, Any]) -> tuple[str, ...]:
    base, bases = document.get("base", ""), document.get("bases", ())
    if isinstance(bases, str) or not isinstance(bases, Sequence):
        raise BadInput('Bases are written as a list: bases = ["Quay Sock"].', where="bases")
    named = () if isinstance(base, Mapping) or base == "" else (_string(base, "base"),)
    return named + tuple(_string(name, "bases") for name in bases)


def _words(table: Mapping[str, Any], kind: str, place: str, *, apart: Sequence[str] = ()) -> dict[str, str]:
    """A table's values as typed words under the shelf's field names."""
    short = SHORT.get(kind, {})
    said: dict[str, str] = {}
    for key, value in table.items():
        if key in apart:
            continue
        field = short.get(key, key)
        if field == "undyed" and isinstance(value, Sequence) and not isinstance(value, str):
            said[field] = "; ".join(_string(part, f"{place}: {key}") for part in value)
        else:
            said[field] = _string(value, f"{place}: {key}")
    return said


def _item(kind: str, said: Mapping[str, str], place: str, habits: Habits) -> Item:
    back = {field: word for word, field in SHORT.get(kind, {}).items()}
    try:
        return read_item(kind, said, habits=habits)
    except ManyBadInputs as many:
        raise ManyBadInputs(tuple(_placed(p, f"{place}: {back.get(p.where or '', p.where or '')}", instead=True) for p in many.problems)) from None


def _base(table: Mapping[str, Any], habits: Habits) -> Base:
    known = {name for name, _ in fields("base")} | set(SHORT["base"])
    fibres = {key: value for key, value in table.items() if key not in known and isinstance(value, int | float) and not isinstance(value, bool)}
    said = _words(table, "base", "base", apart=tuple(fibres))
    if fibres:
        _shares_add_up(fibres)
        said["fibres"] = write_parts(shares_of(fibres, where="base"))
    said.setdefault("name", "this base")
    item = _item("base", said, "base", habits)
    assert isinstance(item, Base)
    return item


def _shares_add_up(fibres: Mapping[str, float]) -> None:
    total = sum(fibres.values())
    if abs(total - 1) > 0.005:
        raise BadInput(f"The shares of {', '.join(fibres)} add up to {write_number(round(total, 6))}, not to 1; write for example wool = 0.75.", where="base")


def _water(table: Mapping[str, Any], habits: Habits) -> Water:
    said = _words(table, "water", "water", apart=("volume",))
    said.setdefault("name", "this water")
    item = _item("water", said, "water", habits)
    assert isinstance(item, Water)
    return item


def _water_volume(table: Mapping[str, Any], habits: Habits) -> str:
    text = _string(table.get("volume", ""), "water: volume")
    if text:
        parse_water(text, where="water: volume", habits=habits)
    return text


def _vessel(table: Mapping[str, Any], habits: Habits) -> Vessel:
    said = _words(table, "vessel", "vessel", apart=("size",))
    said.setdefault("name", "this vessel")
    if "size" in table:
        said |= _size(_string(table["size"], "vessel: size"), said.get("shape", "rectangle"), habits)
    item = _item("vessel", said, "vessel", habits)
    assert isinstance(item, Vessel)
    return item


def _size(text: str, shape: str, habits: Habits) -> dict[str, str]:
    size = parse_size(text, where="vessel: size", habits=habits)
    if len(size) != (2 if shape == "round" else 3):
        needed = "two lengths, across and high" if shape == "round" else "three lengths: long, wide and high"
        raise BadInput(f"A {shape} vessel needs {needed}.", where="vessel: size", position=0, text=text)
    keys = ("length_mm", "height_mm") if shape == "round" else ("length_mm", "width_mm", "height_mm")
    return {key: write("length", value, "mm") for key, value in zip(keys, size, strict=True)}


def _dyes(tables: Any, swatches: Mapping[str, Sequence[Swatch]], reader: _Reader) -> tuple[Dye, ...]:
    if not isinstance(tables, Sequence) or isinstance(tables, str) or not all(isinstance(table, Mapping) for table in tables):
        reader.problems.append(BadInput("Dyes are written as [[dye]] tables, one for each.", where="dye"))
        return ()
    dyes: list[Dye] = []
    for number, table in enumerate(tables, start=1):
        dye = reader.take(lambda table=table, number=number: _dye(table, f"dye {number}", swatches, reader.habits), None)  # type: ignore[misc]
        if dye is None:
            continue
        if dye.name.casefold() in (other.name.casefold() for other in dyes):
            reader.problems.append(BadInput(f"'{dye.name}' is given twice.", where=f"dye {number}: name"))
        dyes.append(dye)
    return tuple(dyes)


def _dye(table: Mapping[str, Any], place: str, swatches: Mapping[str, Sequence[Swatch]], habits: Habits) -> Dye:
    item = _item("dye", _words(table, "dye", place, apart=("swatches",)), place, habits)
    assert isinstance(item, Dye)
    given = table.get("swatches", ())
    if isinstance(given, str):
        found = tuple(swatches.get(item.name, ()))
    elif isinstance(given, Sequence):
        found = tuple(read_swatch_table(entry, place=f"{place}: swatch {number}", habits=habits) for number, entry in enumerate(given, start=1))
    else:
        raise BadInput("Swatches are a file's name, or a list of tables with depth and lab.", where=f"{place}: swatches")
    return replace(item, swatches=found)


def _placed(problem: BadInput, place: str, *, instead: bool = False) -> BadInput:
    where = place if instead else ": ".join(part for part in (place, problem.where) if part)
    return BadInput(problem.sentence, where=where or None, position=problem.position, text=problem.text)


def _unknown_key(key: str, known: Sequence[str], what: str, place: str = "") -> BadInput:
    near = difflib.get_close_matches(str(key).casefold(), known, n=1, cutoff=0.5)
    hint = f"Did you mean '{near[0]}'?" if near else f"It may have: {', '.join(known)}."
    return BadInput(f"{what} has no '{str(key)[:40]}'. {hint}", where=": ".join(part for part in (place, str(key)[:40]) if part))
