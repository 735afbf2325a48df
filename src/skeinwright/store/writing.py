"""What can be written into a studio file. One `Writing` is one transaction: all of it is kept or nothing.

Every change of the shelf, a colourway, a set or the settings writes a line in the journal in the same transaction, with the thing as it was before and as it
is after, so that it can be taken back. The record of a lot can only be added to.
"""

from __future__ import annotations

import dataclasses
import json
from datetime import datetime
from typing import Any, TypeVar, cast

import sqlalchemy as sa

from skeinwright.core.colourway.colourway import Colourway, ColourwaySet
from skeinwright.core.foundations.errors import Conflict, NotFound
from skeinwright.core.lot.lot import Entered, Entry, Lot, Use
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import KINDS, Item
from skeinwright.core.shelf.kept import Change, Kept, taken_back
from skeinwright.core.shelf.settings import Settings
from skeinwright.store import lot_lines, plain, renaming, rows, tables
from skeinwright.store.facts import PhotoFact
from skeinwright.store.reading import Reading, change_from

Thing = renaming.Thing
T = TypeVar("T", bound=Thing)
TABLES = tables.ITEMS | {"colourway": tables.colourway, "set": tables.colourway_set, "calibration": tables.calibration, "reading": tables.reading}
CLASSES: dict[str, type] = KINDS | {"colourway": Colourway, "set": ColourwaySet, "calibration": Calibration, "reading": KeptReading}
UNNAMED = ("calibration", "reading")
"""Kinds whose things have no name of their own: any number of them may say the same."""
REFERRING = ("solution", "blend", "leftover", "dye", "vessel")


class Writing(Reading):
    """A `Reading` that holds the pen. `made` lists the journal lines that this transaction has written so far."""

    def __init__(self, connection: sa.Connection) -> None:
        super().__init__(connection)
        self.made: list[Change] = []

    # shelf

    def add_item(self, item: Item, *, now: datetime) -> Kept[Item]:
        """Puts a new thing on the shelf. Raises Conflict where its name is taken within its kind, archived things included."""
        return self._add(item.kind, item, now, f"Added {item.kind} {item.name}.")

    def replace_item(self, kind: str, id: int, item: Item, *, revision: int | None, now: datetime) -> Kept[Item]:
        """Puts `item` in the place of number `id`; a new name is carried everywhere.

        Raises Conflict where `revision` is not the present one (None: whatever it is) or the new name is taken.
        """
        return self._replace(kind, self.item(kind, id), item, revision, now)

    def archive_item(self, kind: str, id: int, archived: bool, *, now: datetime) -> Kept[Item]:
        """Puts a thing out of sight, or back."""
        return self._archive(kind, self.item(kind, id), archived, now)

    # colourways and sets

    def add_colourway(self, colourway: Colourway, *, now: datetime) -> Kept[Colourway]:
        """Keeps a new colourway. Raises Conflict where its name is taken."""
        return self._add("colourway", colourway, now, f"Added colourway {colourway.name}.")

    def replace_colourway(self, id: int, colourway: Colourway, *, revision: int | None, now: datetime) -> Kept[Colourway]:
        """As `replace_item`; a new name is carried into the sets."""
        return self._replace("colourway", self.colourway(id), colourway, revision, now)

    def archive_colourway(self, id: int, archived: bool, *, now: datetime) -> Kept[Colourway]:
        """Puts a colourway out of sight, or back."""
        return self._archive("colourway", self.colourway(id), archived, now)

    def add_set(self, colourway_set: ColourwaySet, *, now: datetime) -> Kept[ColourwaySet]:
        """Keeps a new set. Raises Conflict where its name is taken."""
        return self._add("set", colourway_set, now, f"Added set {colourway_set.name}.")

    def replace_set(self, id: int, colourway_set: ColourwaySet, *, revision: int | None, now: datetime) -> Kept[ColourwaySet]:
        """As `replace_item`."""
        return self._replace("set", self.set_(id), colourway_set, revision, now)

    def archive_set(self, id: int, archived: bool, *, now: datetime) -> Kept[ColourwaySet]:
        """Puts a set out of sight, or back."""
        return self._archive("set", self.set_(id), archived, now)

    # tests of the dyer's own

    def add_calibration(self, calibration: Calibration, *, now: datetime) -> Kept[Calibration]:
        """Keeps what a test found; older results stay. Raises NotFound where what was tested is not on the shelf."""
        if calibration.of_kind and calibration.of:
            calibration = dataclasses.replace(calibration, of=self.item(calibration.of_kind, calibration.of).thing.name)
        return self._add("calibration", calibration, now, f"Kept a test: {calibration.name}.")

    # readings of photos

    def add_reading(self, reading: KeptReading, *, now: datetime) -> Kept[KeptReading]:
        """Keeps what was read from a photo; older readings stay. Raises NotFound for an unknown photo, lot, base or dye."""
        self.photo(reading.photo)
        names = {kind: self.item(kind, name).thing.name if name else "" for kind, name in (("base", reading.base), ("dye", reading.dye))}
        lot = self.lot(reading.lot).code if reading.lot else ""
        reading = dataclasses.replace(reading, lot=lot, base=names["base"], dye=names["dye"])
        return self._add("reading", reading, now, f"Kept {reading.name}.")

    def forget_reading(self, id: int, *, now: datetime) -> None:
        """Takes a reading out of the studio; the journal keeps it, so that this can be undone."""
        present = self.kept_reading(id)
        self._execute(tables.reading.delete().where(tables.reading.c.id == id))
        self._journal("reading", id, self._plain("reading", present), None, now, f"Took back {present.thing.name}.")

    # taking back

    def undo(self, change_id: int, *, now: datetime) -> Change:
        """Takes one change back and returns the change that did so (which can itself be taken back).

        Raises Conflict where the thing is no longer as that change left it, or where it has come into use meanwhile.
        """
        change = self.change(change_id)
        if change.undone:
            raise Conflict("This change has been taken back already.")
        row = None if change.kind == Settings.kind else self._row_or_none(change.kind, change.thing_id)
        present = self._asked_settings() if change.kind == Settings.kind else None if row is None else self._plain(change.kind, row)
        if present != change.after:
            name = "A setting" if change.kind == Settings.kind else str((change.after or change.before or {}).get("name", "It"))
            raise Conflict(f"{name} has been changed since; take the later change back first. Nothing was changed.")
        self._put_back(change, row, now)
        made = self._journal(change.kind, change.thing_id, change.after, change.before, now, taken_back(change.sentence), undoes=change.id)
        self._execute(tables.change.update().where(tables.change.c.id == change.id).values(undone=True))
        undone_before = self._execute(sa.select(tables.change.c.undoes).where(tables.change.c.id == change.id)).scalar_one()
        if undone_before is not None:
            self._execute(tables.change.update().where(tables.change.c.id == undone_before).values(undone=False))
        return made

    def _put_back(self, change: Change, row: Kept[Thing] | None, now: datetime) -> None:
        if change.kind == Settings.kind:
            self.set_settings(plain.from_plain(Settings, plain.to_plain(self.settings()) | (change.before or {})))
            return
        if change.before is None:
            assert row is not None
            self._refuse_if_used(change.kind, row.thing.name)
            self._execute(TABLES[change.kind].delete().where(TABLES[change.kind].c.id == change.thing_id))
            return
        archived = bool(change.before["archived"])
        thing = cast(Thing, plain.from_plain(CLASSES[change.kind], change.before))
        self._refuse_taken_name(change.kind, thing.name, but=change.thing_id)
        if row is None:
            values = self._columns(thing) | {"id": change.thing_id, "archived": archived, "revision": 1, "changed_at": now}
            self._execute(TABLES[change.kind].insert().values(**values))
            self._write_children(thing, change.thing_id)
            return
        self._store(change.kind, row, thing, archived, now)

    def _refuse_if_used(self, kind: str, name: str) -> None:
        names = self._names()
        for other in self._referring():
            if renaming.refers(other[1].thing, kind, name, names):
                raise Conflict(f"{name} is used in {other[0]} {other[1].thing.name} by now. Archive it instead, or change that first.")

    # lots, photos, settings

    def add_lot(self, lot: Lot) -> Lot:
        """Keeps the plan of a new lot. Raises Conflict where its code is taken."""
        if self._execute(sa.select(tables.lot.c.id).where(tables.lot.c.code == lot.code)).first():
            raise Conflict(f"There is a lot {lot.code} already. Take the next letter: {self.free_lot_code(lot.day)}.")
        lot_id = self._insert(tables.lot, rows.lot_columns(lot) | lot_lines.standing(lot, ()))
        self._insert_many(tables.lot_row, [{"lot": lot_id, **rows.lot_row_columns(row)} for row in lot.rows])
        self._insert_many(tables.planned, [{"lot": lot_id, **rows.planned_columns(step)} for step in lot.plan])
        return lot

    def add_entry(self, entry: Entry, uses: tuple[Use, ...] = ()) -> Entry:
        """Adds one line to the record of a lot, with what it took from the shelf. Raises NotFound for an unknown lot, photo or replaced entry."""
        lot_id = self._lot_row(entry.lot)["id"]
        if entry.photo is not None:
            self.photo(entry.photo)
        if (
            entry.replaces is not None
            and not self._execute(sa.select(tables.entry.c.id).where(tables.entry.c.id == entry.replaces, tables.entry.c.lot == lot_id)).first()
        ):
            raise NotFound(f"Lot {entry.lot} has no entry {entry.replaces} to correct.")
        entry_id = self._insert(tables.entry, rows.entry_columns(entry, lot_id))
        self._insert_many(
            tables.use, [{"entry": entry_id, "lot": lot_id, "kind": use.kind, "name": use.name, "amount": use.amount, "unit": use.unit} for use in uses]
        )
        standing = lot_lines.standing(self.lot(entry.lot), self.entries(entry.lot))
        words = rows.fold(f"{entry.text} {entry.about if entry.what is Entered.MARK else ''}")
        search = tables.lot.c.search + f" {words}" if words else tables.lot.c.search
        self._execute(tables.lot.update().where(tables.lot.c.id == lot_id).values(search=search, **standing))
        return dataclasses.replace(entry, id=entry_id)

    def add_photo(self, fact: PhotoFact) -> PhotoFact:
        """Notes a kept photo (its `id` is given here); the same picture twice is one photo."""
        found = self._all(sa.select(tables.photo).where(tables.photo.c.file == fact.file))
        if found:
            return PhotoFact(**found[0])
        columns = {f.name: getattr(fact, f.name) for f in dataclasses.fields(fact) if f.name != "id"}
        return dataclasses.replace(fact, id=self._insert(tables.photo, columns))

    def forget_photo(self, id: int) -> PhotoFact:
        """Takes a photo out of the studio for good. Raises NotFound, or Conflict where something rests on it."""
        fact = self.photo(id)
        if self._all(sa.select(tables.entry.c.id).where(tables.entry.c.photo == id).limit(1)):
            raise Conflict("A lot has this photo in its record, so it stays.")
        readings = self._all(sa.select(tables.change.c.before, tables.change.c.after).where(tables.change.c.kind == "reading"))
        if any(json.loads(side).get("photo") == id for row in readings for side in row.values() if side):
            raise Conflict("A colour of this photo is or was kept, so the photo stays: what was kept can be read again, or be put back.")
        self._execute(tables.photo.delete().where(tables.photo.c.id == id))
        return fact

    def change_settings(self, settings: Settings, *, now: datetime, sentence: str) -> None:
        """Writes all settings, and a line in the journal of those that are asked for, so that this can be undone."""
        before = self._asked_settings()
        self.set_settings(settings)
        self._journal(Settings.kind, 0, before, self._asked_settings(), now, sentence)

    def _asked_settings(self) -> dict[str, object]:
        """The settings that the dyer is asked for; not the printers, which are checked one by one, nor that the studio was begun."""
        asked = {field.name for field in dataclasses.fields(Settings) if "ask" in field.metadata}
        kept = cast("dict[str, object]", json.loads(plain.dumps(self.settings())))
        return {key: value for key, value in kept.items() if key in asked}

    def set_settings(self, settings: Settings) -> Settings:
        """Writes all settings, with no line in the journal."""
        self._execute(tables.setting.delete())
        self._insert_many(tables.setting, [{"key": key, "value": json.dumps(value, ensure_ascii=False)} for key, value in plain.to_plain(settings).items()])
        return settings

    # how a thing is written

    def _add(self, kind: str, thing: T, now: datetime, sentence: str) -> Kept[T]:
        self._refuse_taken_name(kind, thing.name)
        thing_id = self._insert(TABLES[kind], self._columns(thing) | {"archived": False, "revision": 1, "changed_at": now})
        self._write_children(thing, thing_id)
        made = Kept(thing_id, thing, False, 1, now)
        self._journal(kind, thing_id, None, self._plain(kind, made), now, sentence)
        return made

    def _replace(self, kind: str, present: Kept[T], thing: T, revision: int | None, now: datetime) -> Kept[T]:
        if revision is not None and revision != present.revision:
            raise Conflict(
                f"{present.thing.name} was changed elsewhere since you opened it. Nothing was overwritten: look at it as it is now, then save again."
            )
        if thing == present.thing:
            return present
        self._refuse_taken_name(kind, thing.name, but=present.id)
        made = self._store(kind, present, thing, present.archived, now)
        renamed = thing.name != present.thing.name
        sentence = f"Renamed {kind} {present.thing.name} to {thing.name}." if renamed else f"Changed {kind} {thing.name}."
        self._journal(kind, present.id, self._plain(kind, present), self._plain(kind, made), now, sentence)
        return made

    def _archive(self, kind: str, present: Kept[T], archived: bool, now: datetime) -> Kept[T]:
        if present.archived == archived:
            return present
        made = self._store(kind, present, present.thing, archived, now)
        self._journal(
            kind,
            present.id,
            self._plain(kind, present),
            self._plain(kind, made),
            now,
            f"{'Archived' if archived else 'Brought back'} {kind} {present.thing.name}.",
        )
        return made

    def _store(self, kind: str, present: Kept[Any], thing: T, archived: bool, now: datetime) -> Kept[T]:
        """Overwrites the rows of `present` and carries a new name to what refers to it; no journal line."""
        if thing.name != present.thing.name:
            self._carry_name(kind, present.thing.name, thing.name, now)
            present = self._row_or_none(kind, present.id) or present
        table = TABLES[kind]
        values = self._columns(thing) | {"archived": archived, "revision": present.revision + 1, "changed_at": now}
        self._execute(table.update().where(table.c.id == present.id).values(**values))
        self._write_children(thing, present.id)
        return Kept(present.id, thing, archived, present.revision + 1, now)

    def _carry_name(self, kind: str, old: str, new: str, now: datetime) -> None:
        rename = renaming.Rename(kind, old, new, self._names())
        for other_kind, other in self._referring():
            changed = renaming.renamed(other.thing, rename)
            if changed != other.thing:
                self._store(other_kind, other, changed, other.archived, now)

    def _referring(self) -> list[tuple[str, Kept[Any]]]:
        """Everything that can refer to something by name, archived things included."""
        items = [(kind, each) for kind in REFERRING for each in self.items(kind, archived=True)]
        colourways = [("colourway", each) for each in self.colourways(archived=True)]
        sets = [("set", each) for each in self.sets(archived=True)]
        return [*items, *colourways, *sets, *(("calibration", each) for each in self.calibrations()), *(("reading", each) for each in self.readings())]

    def _names(self) -> dict[str, list[str]]:
        return {kind: list(self._execute(sa.select(table.c.name)).scalars()) for kind, table in TABLES.items() if kind not in UNNAMED}

    def _columns(self, thing: Thing) -> dict[str, Any]:
        if isinstance(thing, Colourway):
            return rows.colourway_columns(thing)
        if isinstance(thing, ColourwaySet):
            return {"name": thing.name, "name_key": rows.fold(thing.name), "notes": thing.notes}
        if isinstance(thing, Calibration):
            return rows.calibration_columns(thing)
        if isinstance(thing, KeptReading):
            return rows.kept_reading_columns(thing)
        return rows.item_columns(thing)

    def _write_children(self, thing: Thing, owner: int) -> None:
        if isinstance(thing, Colourway):
            children = [
                (tables.colourway_step, [rows.step_columns(step) for step in thing.steps]),
                (tables.colourway_base, [{"name": name} for name in thing.bases]),
            ]
        elif isinstance(thing, ColourwaySet):
            children = [(tables.colourway_set_member, [{"name": name} for name in thing.colourways])]
        elif isinstance(thing, (Calibration, KeptReading)):
            children = []
        else:
            children = rows.item_children(thing)
        for table, lines in children:
            self._execute(table.delete().where(table.c.owner == owner))
            self._insert_many(table, [{"owner": owner, "position": position, **line} for position, line in enumerate(lines)])

    def _refuse_taken_name(self, kind: str, name: str, but: int | None = None) -> None:
        if kind in UNNAMED:
            return
        table = TABLES[kind]
        found = self._all(sa.select(table.c.id, table.c.name, table.c.archived).where(table.c.name_key == rows.fold(name)))
        if found and found[0]["id"] != but:
            how = " It is archived: bring it back, or take another name." if found[0]["archived"] else " Take another name."
            raise Conflict(f"There is a {kind} called {found[0]['name']} already.{how}", where="name")

    def _row_or_none(self, kind: str, id: int) -> Kept[Any] | None:
        try:
            if kind == "calibration":
                return self.calibration(id)
            if kind == "reading":
                return self.kept_reading(id)
            return self.colourway(id) if kind == "colourway" else self.set_(id) if kind == "set" else self.item(kind, id)
        except NotFound:
            return None

    def _plain(self, kind: str, present: Kept[Any]) -> dict[str, object]:
        """The thing as the journal keeps it: its fields and `archived`."""
        return cast("dict[str, object]", json.loads(plain.dumps(present.thing))) | {"archived": present.archived}

    def _journal(
        self, kind: str, thing: int, before: dict[str, object] | None, after: dict[str, object] | None, now: datetime, sentence: str, undoes: int | None = None
    ) -> Change:
        columns = {
            "at": now,
            "sentence": sentence,
            "kind": kind,
            "thing": thing,
            "before": None if before is None else plain.dumps(before),
            "after": None if after is None else plain.dumps(after),
            "undone": False,
            "undoes": undoes,
        }
        change_id = self._insert(tables.change, columns)
        made = change_from({"id": change_id, **columns})
        self.made.append(made)
        return made

    def _execute(self, statement: Any) -> sa.CursorResult[Any]:
        return self.connection.execute(statement)

    def _insert(self, table: sa.Table, values: dict[str, Any]) -> int:
        key = self.connection.execute(table.insert().values(**values)).inserted_primary_key
        assert key is not None
        return int(key[0])

    def _insert_many(self, table: sa.Table, lines: list[dict[str, Any]]) -> None:
        if lines:
            self.connection.execute(table.insert(), lines)
