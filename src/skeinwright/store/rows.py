"""Rows to core objects and back, by hand: each column is named as the field it holds, and what is not a plain column is spelled out here."""

from __future__ import annotations

import dataclasses
import json
import unicodedata
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, cast

import sqlalchemy as sa

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned, Row, ShelfFact, Use
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import KINDS, Base, Dye, Item, Vessel, Water
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.store import plain, tables

RowMap = Mapping[str, Any]


def fold(text: str) -> str:
    """Text as it is compared and searched: NFKC, case folded, single blanks."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def _many(values: tuple[Any, ...]) -> str:
    """A tuple as JSON text, "" where it is empty."""
    return plain.dumps(values) if values else ""


def _read(hint: Any, text: str) -> Any:
    """The tuple of the type `hint` that `_many` wrote."""
    return plain.from_plain(hint, json.loads(text or "[]"))


# --- the shelf -----------------------------------------------------------------------------------------------------------------------------


def item_columns(item: Item) -> dict[str, Any]:
    """The columns of `item` in its kind's table, without id, revision and archive flag."""
    table = tables.ITEMS[item.kind]
    columns = {f.name: getattr(item, f.name) for f in dataclasses.fields(item) if f.name in table.c}
    columns["name_key"] = fold(item.name)
    if isinstance(item, Base):
        columns |= _undyed_columns(item.undyed)
    return columns


def _undyed_columns(lab: Lab | None) -> dict[str, Any]:
    if lab is None:
        return {"undyed_L": None, "undyed_a": None, "undyed_b": None, "undyed_illuminant": "", "undyed_observer": None}
    return {"undyed_L": lab.L, "undyed_a": lab.a, "undyed_b": lab.b, "undyed_illuminant": lab.illuminant, "undyed_observer": lab.observer}


def item_children(item: Item) -> list[tuple[sa.Table, list[dict[str, Any]]]]:
    """The child rows of `item` by table, in order, without their owner."""
    if isinstance(item, Dye):
        return [(tables.swatch, [_swatch_columns(swatch) for swatch in item.swatches])]
    if item.kind in tables.PARTS:
        field, table = tables.PARTS[item.kind]
        return [(table, [{"name": name, "share": share} for name, share in getattr(item, field)])]
    return []


def item_from(kind: str, row: RowMap, children: list[RowMap]) -> Item:
    """The item of `kind` from its row and the rows of its one child table."""
    cls = KINDS[kind]
    values = {f.name: row[f.name] for f in dataclasses.fields(cls) if f.name in row}
    if kind == "dye":
        values["swatches"] = tuple(_swatch_from(child) for child in children)
    elif kind in tables.PARTS:
        values[tables.PARTS[kind][0]] = tuple((child["name"], child["share"]) for child in children)
    if kind == "base":
        values["undyed"] = _undyed_from(row)
    return cast(Item, cls(**values))


def _undyed_from(row: RowMap) -> Lab | None:
    if row["undyed_L"] is None:
        return None
    return Lab(row["undyed_L"], row["undyed_a"], row["undyed_b"], row["undyed_illuminant"], row["undyed_observer"])


def _swatch_columns(swatch: Swatch) -> dict[str, Any]:
    return {
        "depth": swatch.depth,
        "L": swatch.lab.L,
        "a": swatch.lab.a,
        "b": swatch.lab.b,
        "illuminant": swatch.lab.illuminant,
        "observer": swatch.lab.observer,
        "reading": swatch.reading.value,
        "base": swatch.base,
        "said": swatch.said,
        "spectrum": json.dumps(swatch.spectrum) if swatch.spectrum else "",
        "repeats": swatch.repeats,
        "read_on": swatch.read_on,
        "own_sd": swatch.own_sd,
    }


def _swatch_from(row: RowMap) -> Swatch:
    return Swatch(
        depth=row["depth"],
        lab=Lab(row["L"], row["a"], row["b"], row["illuminant"], row["observer"]),
        reading=Reading(row["reading"]),
        base=row["base"],
        said=row["said"],
        spectrum=tuple((nm, factor) for nm, factor in json.loads(row["spectrum"] or "[]")),
        repeats=row["repeats"],
        read_on=row["read_on"],
        own_sd=row["own_sd"],
    )


# --- colourways ----------------------------------------------------------------------------------------------------------------------------


def colourway_columns(colourway: Colourway) -> dict[str, Any]:
    """The columns of a colourway without its steps and bases."""
    return {
        "name": colourway.name,
        "name_key": fold(colourway.name),
        "fibre": colourway.fibre,
        "water": colourway.water,
        "vessel": colourway.vessel,
        "notes": colourway.notes,
        "over": colourway.over,
        "water_volume": colourway.water_volume,
        "own_base": None if colourway.own_base is None else plain.dumps(colourway.own_base),
        "own_water": None if colourway.own_water is None else plain.dumps(colourway.own_water),
        "own_vessel": None if colourway.own_vessel is None else plain.dumps(colourway.own_vessel),
        "own_dyes": _many(colourway.own_dyes),
        "search": fold(" ".join((colourway.name, colourway.notes, *colourway.bases, *(value for step in colourway.steps for value in step.said.values())))),
    }


def colourway_from(row: RowMap, steps: list[RowMap], bases: list[RowMap]) -> Colourway:
    """A colourway from its row, step rows and base rows, each in order."""
    return Colourway(
        name=row["name"],
        steps=tuple(step_from(step) for step in steps),
        fibre=row["fibre"],
        bases=tuple(base["name"] for base in bases),
        water=row["water"],
        vessel=row["vessel"],
        notes=row["notes"],
        over=row["over"],
        water_volume=row["water_volume"],
        own_base=None if row["own_base"] is None else plain.loads(Base, row["own_base"]),
        own_water=None if row["own_water"] is None else plain.loads(Water, row["own_water"]),
        own_vessel=None if row["own_vessel"] is None else plain.loads(Vessel, row["own_vessel"]),
        own_dyes=_read(tuple[Dye, ...], row["own_dyes"]),
    )


def step_columns(step: Step) -> dict[str, Any]:
    """One step as columns: its word, and its values as typed as JSON text."""
    return {"do": step.do, "said": json.dumps(dict(step.said), ensure_ascii=False) if step.said else ""}


def step_from(row: RowMap) -> Step:
    """The step from its columns."""
    return Step(row["do"], MappingProxyType(json.loads(row["said"] or "{}")))


# --- calibrations --------------------------------------------------------------------------------------------------------------------------


def calibration_columns(calibration: Calibration) -> dict[str, Any]:
    """The columns of a calibration; `of_key` is the name of what was tested as names are compared."""
    return {f.name: getattr(calibration, f.name) for f in dataclasses.fields(calibration)} | {"of_key": fold(calibration.of)}


def calibration_from(row: RowMap) -> Calibration:
    """The calibration from its row."""
    return Calibration(**{f.name: row[f.name] for f in dataclasses.fields(Calibration)})


# --- kept readings of photos ---------------------------------------------------------------------------------------------------------------


def kept_reading_columns(reading: KeptReading) -> dict[str, Any]:
    """The columns of a kept reading of a photo."""
    values = {f.name: getattr(reading, f.name) for f in dataclasses.fields(reading) if f.name != "lab"}
    L, a, b = reading.lab.values
    return values | {"L": L, "a": a, "b": b, "illuminant": reading.lab.illuminant, "observer": reading.lab.observer}


def kept_reading_from(row: RowMap) -> KeptReading:
    """The kept reading from its row."""
    values = {f.name: row[f.name] for f in dataclasses.fields(KeptReading) if f.name != "lab"}
    return KeptReading(**values, lab=Lab(row["L"], row["a"], row["b"], row["illuminant"], row["observer"]))


# --- lots ----------------------------------------------------------------------------------------------------------------------------------


def lot_columns(lot: Lot) -> dict[str, Any]:
    """The columns of a lot without its rows and plan."""
    name = "" if lot.colourway is None else lot.colourway.name
    return {
        "code": lot.code,
        "day": lot.day,
        "title": lot.title,
        "colourway_name": name,
        "colourway": None if lot.colourway is None else plain.dumps(lot.colourway),
        "unplanned": lot.unplanned,
        "copied_from": lot.copied_from,
        "old": lot.old,
        "notes": lot.notes,
        "when_said": lot.when_said,
        "assumed": _many(lot.assumed),
        "warnings": _many(lot.warnings),
        "shelf": _many(lot.shelf),
        "key": lot.key,
        "search": fold(" ".join((lot.code, lot.title, name, lot.notes, *(row.base for row in lot.rows), *(row.mark for row in lot.rows)))),
    }


def lot_row_columns(row: Row) -> dict[str, Any]:
    """One row of a lot as columns."""
    return {f.name: getattr(row, f.name) for f in dataclasses.fields(row)}


def planned_columns(step: Planned) -> dict[str, Any]:
    """One planned step as columns; its doses and caution keys as JSON text."""
    return {
        "number": step.number,
        **step_columns(step.step),
        "sentence": step.sentence,
        "doses": _many(step.doses),
        "start_min": step.start_min,
        "minutes": step.minutes,
        "cautions": _many(step.cautions),
        "cautions_in": _many(step.cautions_in),
        "notes": _many(step.notes),
    }


def lot_from(row: RowMap, rows: list[RowMap], plan: list[RowMap]) -> Lot:
    """A lot from its row, the rows of skeins and the planned steps, each in order."""
    return Lot(
        code=row["code"],
        day=row["day"],
        title=row["title"],
        colourway=None if row["colourway"] is None else plain.loads(Colourway, row["colourway"]),
        rows=tuple(Row(**{f.name: each[f.name] for f in dataclasses.fields(Row)}) for each in rows),
        plan=tuple(_planned_from(each) for each in plan),
        unplanned=row["unplanned"],
        copied_from=row["copied_from"],
        old=row["old"],
        notes=row["notes"],
        when_said=row["when_said"],
        assumed=_read(tuple[str, ...], row["assumed"]),
        warnings=_read(tuple[str, ...], row["warnings"]),
        shelf=_read(tuple[ShelfFact, ...], row["shelf"]),
        key=row["key"],
    )


def _planned_from(row: RowMap) -> Planned:
    return Planned(
        number=row["number"],
        step=step_from(row),
        sentence=row["sentence"],
        doses=_read(tuple[Dose, ...], row["doses"]),
        start_min=row["start_min"],
        minutes=row["minutes"],
        cautions=_read(tuple[str, ...], row["cautions"]),
        cautions_in=_read(tuple[tuple[str, str], ...], row["cautions_in"]),
        notes=_read(tuple[str, ...], row["notes"]),
    )


def entry_columns(entry: Entry, lot_id: int) -> dict[str, Any]:
    """One line of the record as columns."""
    return {
        "lot": lot_id,
        "what": entry.what.value,
        "at": entry.at,
        "entered_at": entry.entered_at,
        "step": entry.step,
        "vessel": entry.vessel,
        "row": entry.row,
        "about": entry.about,
        "value": entry.value,
        "unit": entry.unit,
        "text": entry.text,
        "photo": entry.photo,
        "replaces": entry.replaces,
        "said": _many(entry.said),
        "doses": _many(entry.doses),
        "key": entry.key,
    }


def entry_from(row: RowMap, code: str) -> Entry:
    """One line of the record of lot `code`."""
    return Entry(
        id=row["id"],
        lot=code,
        what=Entered(row["what"]),
        at=row["at"],
        entered_at=row["entered_at"],
        step=row["step"],
        vessel=row["vessel"],
        row=row["row"],
        about=row["about"],
        value=row["value"],
        unit=row["unit"],
        text=row["text"],
        photo=row["photo"],
        replaces=row["replaces"],
        said=_read(tuple[tuple[str, str], ...], row["said"]),
        doses=_read(tuple[Dose, ...], row["doses"]),
        key=row["key"],
    )


def use_from(row: RowMap, code: str) -> Use:
    """One use of the shelf by lot `code`."""
    return Use(entry=row["entry"], lot=code, kind=row["kind"], name=row["name"], amount=row["amount"], unit=row["unit"])
