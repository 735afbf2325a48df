"""What a file would put on the shelf: every row as it is understood, before anything is written."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, Literal, cast

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits, write_number
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.items import KINDS, Base, Dye, Item
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.shelf.reading import fields, read_item, say_item
from skeinwright.core.shelf.swatch import Swatch
from skeinwright.core.shelf.swatch_document import read_swatch_table
from skeinwright.core.shelf.swatch_reading import holds_swatches
from skeinwright.files.documents import read_document
from skeinwright.files.tables import TextTable, read_table
from skeinwright.services.import_readings import import_readings, is_instrument_file
from skeinwright.services.read_swatches import SwatchRow, lab_of_hex, read_swatches
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.store import Reading

Status = Literal["new", "changed", "same", "wrong"]
SWATCHES = "swatches"


@dataclass(frozen=True, kw_only=True, slots=True)
class ShelfFile:
    """A CSV or TOML file as it came in.

    `kind` says what the rows of a CSV file are where neither its columns nor its name do. `beside` holds the CSV files of swatches that a TOML
    file names (swatches = "swatches.csv"), by that name.
    """

    data: bytes
    name: str = "the file"
    kind: str = ""
    beside: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class ImportRow:
    """One row of the file (one dye with all its swatches, in a file of swatches).

    `number` is its line in a CSV file, its place among its kind in TOML. `differs` says what would change, in words. `thing` is None where it is wrong.
    """

    number: int
    kind: str
    name: str
    status: Status
    thing: Item | None = None
    present: Kept[Item] | None = None
    differs: tuple[str, ...] = ()
    problems: tuple[BadInput, ...] = ()


@dataclass(frozen=True, slots=True)
class ImportPreview:
    """All rows in the order of the file, and what was left out of it on purpose."""

    name: str
    rows: tuple[ImportRow, ...]
    notes: tuple[str, ...] = ()

    def count(self, status: Status) -> int:
        """How many rows are new, changed, the same or wrong."""
        return sum(row.status == status for row in self.rows)


@dataclass(frozen=True, slots=True)
class _Said:
    number: int
    kind: str
    said: Mapping[str, str]
    swatches: tuple[Swatch, ...] | None = None
    problems: tuple[BadInput, ...] = ()


def preview_shelf_import(studio: Studio, file: ShelfFile) -> ImportPreview:
    """The preview of `file`. Raises BadInput where the file as a whole cannot be read; what is wrong in a row stands in that row."""
    with studio.store.reading() as reading:
        return preview_with(reading, file)


def preview_with(reading: Reading, file: ShelfFile) -> ImportPreview:
    """The same within a transaction."""
    habits = reading.settings().habits()
    present = {kind: {_key(kept.thing.name): kept for kept in reading.items(kind, archived=True)} for kind in KINDS}
    notes: list[str] = []
    readings = "" if PurePath(file.name).suffix.casefold() == ".toml" else file.data.decode("utf-8-sig", "replace")
    if PurePath(file.name).suffix.casefold() == ".toml":
        rows = [_row(said, present, habits) for said in _from_document(file, habits)]
    elif is_instrument_file(readings):
        rows = sorted(_swatch_rows(_from_readings(readings, notes), present, notes), key=lambda row: row.number)
    else:
        table = read_table(file.data, name=file.name)
        is_swatches = file.kind == SWATCHES or (not file.kind and holds_swatches(table.columns))
        rows = (
            sorted(_swatch_rows(read_swatches(file.data, name=file.name), present, notes), key=lambda row: row.number)
            if is_swatches
            else [_row(said, present, habits) for said in _from_table(table, file)]
        )
    if not rows and not notes:
        raise BadInput("There is nothing for the shelf in this file.", where=file.name)
    return ImportPreview(file.name, tuple(_refuse_twice(rows)), tuple(notes))


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()


# --- a table of things of one kind


def _from_table(table: TextTable, file: ShelfFile) -> Iterator[_Said]:
    for row in table.rows:
        kind = row.cells.get("kind", "").strip() or file.kind or _kind_of_name(file.name)
        if kind not in KINDS:
            raise BadInput(f"Say what the rows are: {', '.join(KINDS)} or swatches. Name the file so (dye.csv), or add a column 'kind'.", where=file.name)
        names = _names(kind)
        said = {names.get(_key(column), column): text for column, text in row.cells.items() if column != "kind"}
        yield _Said(row.number, kind, said)


def _names(kind: str) -> dict[str, str]:
    """Field names by what a heading may be: the field's name, or its label on the form."""
    return {_key(ask.label): field for field, ask in fields(kind)} | {field.casefold(): field for field, _ in fields(kind)}


def _kind_of_name(name: str) -> str:
    stem = PurePath(name).stem.casefold()
    return next((kind for kind in KINDS if stem == kind or stem == f"{kind}s" or stem.startswith((f"{kind}-", f"{kind}s-"))), "")


# --- a document of everything


def _from_document(file: ShelfFile, habits: Habits) -> Iterator[_Said]:
    document = read_document(file.data, name=file.name)
    unknown = [key for key in document if key not in KINDS]
    if unknown:
        raise BadInput(f"The shelf has no '{unknown[0][:60]}'; a file may have tables called {', '.join(KINDS)}.", where=file.name)
    for kind, tables in document.items():
        each = [tables] if isinstance(tables, Mapping) else tables
        if not isinstance(each, list) or not all(isinstance(table, Mapping) for table in each):
            raise BadInput(f"Write each {kind} as a table: [[{kind}]].", where=file.name)
        for number, table in enumerate(each, start=1):
            yield _from_document_table(kind, number, table, file, habits)


def _from_document_table(kind: str, number: int, table: Mapping[str, Any], file: ShelfFile, habits: Habits) -> _Said:
    problems: list[BadInput] = []
    swatches = _document_swatches(table, file, habits, problems) if kind == "dye" and "swatches" in table else None
    said: dict[str, str] = {}
    names = _names(kind)
    for key, value in table.items():
        if key != "swatches" or kind != "dye":
            try:
                said[names.get(_key(key), key)] = _typed(value, key)
            except BadInput as problem:
                problems.append(problem)
    return _Said(number, kind, said, swatches, tuple(problems))


def _document_swatches(table: Mapping[str, Any], file: ShelfFile, habits: Habits, problems: list[BadInput]) -> tuple[Swatch, ...]:
    given = table["swatches"]
    if isinstance(given, str):
        if given not in file.beside:
            problems.append(BadInput(f"The swatches are in '{given}'. Import that file after this one, and leave it out here.", where="swatches"))
            return ()
        rows = [row for row in read_swatches(file.beside[given], name=given) if _key(row.dye) == _key(str(table.get("name", "")))]
        problems += [problem for row in rows for problem in row.problems]
        return tuple(row.swatch for row in rows if row.swatch is not None and not row.is_undyed)
    swatches: list[Swatch] = []
    for place, each in enumerate(given if isinstance(given, list) else [given], start=1):
        try:
            swatches.append(read_swatch_table(each, place=f"swatch {place}", hex_to_lab=lab_of_hex, habits=habits))
        except BadInput as problem:
            problems.append(problem)
    return tuple(swatches)


def _typed(value: Any, field: str) -> str:
    """A TOML value as a dyer would type it."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return write_number(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list) and all(isinstance(each, int | float) for each in value):
        return "; ".join(write_number(each) for each in value)
    raise BadInput("Write this as text in quotation marks.", where=field)


# --- a table of swatches


def _from_readings(text: str, notes: list[str]) -> Iterator[SwatchRow]:
    """The swatches of an instrument's file, in its order of dyes; samples that say neither depth nor undyed are noted."""
    readings = import_readings(text)
    if readings.left_out:
        names = ", ".join(readings.left_out[:8]) + (" ..." if len(readings.left_out) > 8 else "")
        notes.append(f"Left out, because their names say no dye and depth: {names}. A name like 'Kelp 0.5 % Quay Sock' is understood.")
    number = 0
    for swatch in readings.table.undyed:
        number += 1
        yield SwatchRow(number, "", swatch)
    for dye, swatches in readings.table.dyes.items():
        for swatch in swatches:
            number += 1
            yield SwatchRow(number, dye, swatch)


def _swatch_rows(found: Iterable[SwatchRow], present: Mapping[str, Mapping[str, Kept[Item]]], notes: list[str]) -> Iterator[ImportRow]:
    by_dye: dict[str, list[Swatch]] = {}
    names: dict[str, tuple[int, str]] = {}
    for row in found:
        if row.swatch is None:
            yield ImportRow(number=row.number, kind="dye", name=row.dye, status="wrong", problems=row.problems)
        elif row.is_undyed:
            yield from _undyed_row(row.number, row.swatch, present, notes)
        else:
            by_dye.setdefault(_key(row.dye), []).append(row.swatch)
            names.setdefault(_key(row.dye), (row.number, row.dye))
    for key, swatches in by_dye.items():
        number, name = names[key]
        kept = present["dye"].get(key)
        dye = cast(Dye, kept.thing) if kept else Dye(name=" ".join(name.split()))
        more = [swatch for swatch in swatches if swatch not in dye.swatches]
        thing = dataclasses.replace(dye, swatches=tuple(sorted((*dye.swatches, *more), key=lambda swatch: swatch.depth)))
        differs = (f"{len(more)} swatch{'' if len(more) == 1 else 'es'} more",) if more else ()
        yield ImportRow(
            number=number,
            kind="dye",
            name=dye.name,
            status="new" if kept is None else "changed" if more else "same",
            thing=thing,
            present=kept,
            differs=differs,
        )


def _undyed_row(number: int, swatch: Swatch, present: Mapping[str, Mapping[str, Kept[Item]]], notes: list[str]) -> Iterator[ImportRow]:
    kept = present["base"].get(_key(swatch.base))
    if kept is None:
        who = f"the base {swatch.base}, which is not on the shelf" if swatch.base else "an undyed base that is not named"
        notes.append(f"Line {number} is {who}; its colour is left out. Add the base first, and name it in the column 'base'.")
        return
    base = cast(Base, kept.thing)
    same = base.undyed == swatch.lab
    thing = dataclasses.replace(base, undyed=swatch.lab)
    yield ImportRow(
        number=number,
        kind="base",
        name=base.name,
        status="same" if same else "changed",
        thing=thing,
        present=kept,
        differs=() if same else _differences(base, thing, HABITS),
    )


# --- one row


def _row(said: _Said, present: Mapping[str, Mapping[str, Kept[Item]]], habits: Habits) -> ImportRow:
    name = " ".join(said.said.get("name", "").split())
    kept = present[said.kind].get(_key(name))
    old = None if kept is None else kept.thing
    try:
        item = read_item(said.kind, said.said, habits=habits, keep=old)
    except ManyBadInputs as many:
        return ImportRow(number=said.number, kind=said.kind, name=name, status="wrong", present=kept, problems=(*said.problems, *many.problems))
    if said.problems:
        return ImportRow(number=said.number, kind=said.kind, name=name, status="wrong", present=kept, problems=said.problems)
    if said.swatches is not None and isinstance(item, Dye):
        item = dataclasses.replace(item, swatches=said.swatches)
    differs = () if old is None else _differences(old, item, habits)
    status: Status = "new" if old is None else "changed" if item != old else "same"
    return ImportRow(number=said.number, kind=said.kind, name=item.name, status=status, thing=item, present=kept, differs=differs)


def _differences(old: Item, new: Item, habits: Habits) -> tuple[str, ...]:
    before, after = say_item(old, habits), say_item(new, habits)
    asks: dict[str, Ask] = dict(fields(new.kind))
    told = [f"{asks[field].label}: {before[field] or 'not known'} -> {after[field] or 'not known'}" for field in after if before[field] != after[field]]
    if isinstance(old, Dye) and isinstance(new, Dye) and old.swatches != new.swatches:
        told.append(f"Swatches: {len(old.swatches)} -> {len(new.swatches)}")
    return tuple(told)


def _refuse_twice(rows: Iterable[ImportRow]) -> Iterator[ImportRow]:
    seen: dict[tuple[str, str], int] = {}
    for row in rows:
        key = (row.kind, _key(row.name))
        if row.status != "wrong" and key in seen:
            problem = BadInput(f"{row.name} is in the file twice, the first time in row {seen[key]}.", where="name")
            row = dataclasses.replace(row, status="wrong", thing=None, problems=(problem,))
        if row.status != "wrong":
            seen.setdefault(key, row.number)
        yield row
