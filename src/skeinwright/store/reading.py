"""What can be asked of a studio file. A `Reading` sees one unchanging state of it, however much is written meanwhile."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any, TypeVar, cast

import sqlalchemy as sa

from skeinwright.core.colourway.colourway import Colourway, ColourwaySet
from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.lot.code import next_code
from skeinwright.core.lot.lot import Entry, Lot, Use
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.settings import Settings
from skeinwright.store import lot_lines, plain, rows, tables
from skeinwright.store.facts import LotLine, PhotoFact

T = TypeVar("T")


def kept(row: rows.RowMap, thing: T) -> Kept[T]:
    """`thing` with what its row says of its standing."""
    return Kept(row["id"], thing, bool(row["archived"]), row["revision"], row["changed_at"])


class Reading:
    """Questions to one state of the studio. A `key` is a number, or a name in any case."""

    def __init__(self, connection: sa.Connection) -> None:
        self.connection = connection

    # shelf

    def items(self, kind: str, *, archived: bool = False) -> list[Kept[Item]]:
        """All things of one shelf kind by name; archived ones only where asked."""
        table = self._item_table(kind)
        where = [] if archived else [table.c.archived.is_(False)]
        return self._items(kind, self._all(sa.select(table).where(*where).order_by(table.c.name_key)))

    def item(self, kind: str, key: int | str) -> Kept[Item]:
        """One thing of the shelf, archived or not. Raises NotFound."""
        return self._items(kind, [self._row(self._item_table(kind), kind, key)])[0]

    def _item_table(self, kind: str) -> sa.Table:
        if kind not in tables.ITEMS:
            raise NotFound(f"There is no drawer for '{kind}'; there are {', '.join(tables.ITEMS)}.")
        return tables.ITEMS[kind]

    def _items(self, kind: str, found: Sequence[rows.RowMap]) -> list[Kept[Item]]:
        child_table = tables.swatch if kind == "dye" else tables.PARTS[kind][1] if kind in tables.PARTS else None
        children = {} if child_table is None else self._children(child_table, [row["id"] for row in found])
        return [kept(row, rows.item_from(kind, row, children.get(row["id"], []))) for row in found]

    # colourways and sets

    def colourways(self, *, search: str = "", archived: bool = False) -> list[Kept[Colourway]]:
        """Colourways by name; `search` words must all occur in the name, the notes, the bases or what the steps say."""
        table = tables.colourway
        where = [] if archived else [table.c.archived.is_(False)]
        return self._colourways(self._all(sa.select(table).where(*where, *_contains(table, search)).order_by(table.c.name_key)))

    def colourway(self, key: int | str) -> Kept[Colourway]:
        """One colourway, archived or not. Raises NotFound."""
        return self._colourways([self._row(tables.colourway, "colourway", key)])[0]

    def _colourways(self, found: Sequence[rows.RowMap]) -> list[Kept[Colourway]]:
        ids = [row["id"] for row in found]
        steps, bases = self._children(tables.colourway_step, ids), self._children(tables.colourway_base, ids)
        return [kept(row, rows.colourway_from(row, steps.get(row["id"], []), bases.get(row["id"], []))) for row in found]

    def sets(self, *, archived: bool = False) -> list[Kept[ColourwaySet]]:
        """Sets by name."""
        table = tables.colourway_set
        where = [] if archived else [table.c.archived.is_(False)]
        return self._sets(self._all(sa.select(table).where(*where).order_by(table.c.name_key)))

    def set_(self, key: int | str) -> Kept[ColourwaySet]:
        """One set, archived or not. Raises NotFound."""
        return self._sets([self._row(tables.colourway_set, "set", key)])[0]

    def _sets(self, found: Sequence[rows.RowMap]) -> list[Kept[ColourwaySet]]:
        members = self._children(tables.colourway_set_member, [row["id"] for row in found])
        return [
            kept(row, ColourwaySet(name=row["name"], colourways=tuple(member["name"] for member in members.get(row["id"], [])), notes=row["notes"]))
            for row in found
        ]

    # lots and their record

    def lots(self, *, search: str = "", limit: int = 50, offset: int = 0, status: str = "", colourway: str = "") -> list[LotLine]:
        """Lots, newest day first.

        `search` words must all occur in code, title, colourway, bases, marks, notes or the texts of the record. `status` as in `LotLine`.
        """
        where = [*_contains(tables.lot, search)]
        if colourway:
            where.append(tables.lot.c.colourway_name == colourway)
        return lot_lines.lines(self.connection, where, status=status, limit=limit, offset=offset)

    def count_lots(self, *, search: str = "") -> int:
        """How many lots `lots` would list without a limit."""
        return int(self.connection.execute(sa.select(sa.func.count()).select_from(tables.lot).where(*_contains(tables.lot, search))).scalar_one())

    def lot(self, code: str) -> Lot:
        """The plan of one lot. Raises NotFound."""
        row = self._lot_row(code)
        each = self._all(sa.select(tables.lot_row).where(tables.lot_row.c.lot == row["id"]).order_by(tables.lot_row.c.number))
        plan = self._all(sa.select(tables.planned).where(tables.planned.c.lot == row["id"]).order_by(tables.planned.c.number))
        return rows.lot_from(row, list(each), list(plan))

    def lots_by_key(self, key: str) -> list[Lot]:
        """The lots that the request of this key started ("key", "key/2", ...), in order; empty where there is none or the key is empty."""
        if not key:
            return []
        column = tables.lot.c.key
        of_this = sa.or_(column == key, sa.func.substr(column, 1, len(key) + 1) == f"{key}/")
        found = self._all(sa.select(tables.lot.c.code).where(column != "", of_this).order_by(tables.lot.c.id))
        return [self.lot(row["code"]) for row in found]

    def free_lot_code(self, day: date) -> str:
        """The next code of that day: 2026-11-24-A, ...-Z, then -AA and on."""
        start = tables.lot.c.code.startswith(f"{day.isoformat()}-", autoescape=True)
        return next_code(day, self.connection.execute(sa.select(tables.lot.c.code).where(start)).scalars())

    def entries(self, code: str) -> list[Entry]:
        """The record of one lot in the order in which it was written."""
        lot_id = self._lot_row(code)["id"]
        return [rows.entry_from(row, code) for row in self._all(sa.select(tables.entry).where(tables.entry.c.lot == lot_id).order_by(tables.entry.c.id))]

    def uses(self, code: str) -> list[Use]:
        """What the lot took from the shelf, in order."""
        lot_id = self._lot_row(code)["id"]
        return [rows.use_from(row, code) for row in self._all(sa.select(tables.use).where(tables.use.c.lot == lot_id).order_by(tables.use.c.id))]

    def _lot_row(self, code: str) -> rows.RowMap:
        found = self._all(sa.select(tables.lot).where(tables.lot.c.code == code.strip()))
        if not found:
            raise NotFound(f"There is no lot {code} in this studio.")
        return found[0]

    # tests of the dyer's own

    def calibrations(self, *, of_kind: str = "", of: str = "", quantity: str = "") -> list[Kept[Calibration]]:
        """What tests found, newest first; of one kind of thing, one name (in any case) or one quantity only where asked. The first one counts."""
        column = tables.calibration.c
        asked = ((column.of_kind, of_kind), (column.of_key, rows.fold(of)), (column.quantity, quantity))
        where = [one == text for one, text in asked if text]
        found = self._all(sa.select(tables.calibration).where(*where).order_by(column.made_on.desc(), column.id.desc()))
        return [kept(row, rows.calibration_from(row)) for row in found]

    def calibration(self, id: int) -> Kept[Calibration]:
        """One of them. Raises NotFound."""
        found = self._all(sa.select(tables.calibration).where(tables.calibration.c.id == id))
        if not found:
            raise NotFound(f"There is no test result {id} in this studio.")
        return kept(found[0], rows.calibration_from(found[0]))

    # readings of photos

    def readings(self, *, lot: str = "", photo: int | None = None, limit: int | None = None) -> list[Kept[KeptReading]]:
        """What was read from photos and kept, newest first; of one lot or one photo only where asked."""
        column = tables.reading.c
        where = [*([column.lot == lot.strip()] if lot.strip() else []), *([column.photo == photo] if photo is not None else [])]
        found = self._all(sa.select(tables.reading).where(*where).order_by(column.made_at.desc(), column.id.desc()).limit(limit))
        return [kept(row, rows.kept_reading_from(row)) for row in found]

    def kept_reading(self, id: int) -> Kept[KeptReading]:
        """One of them. Raises NotFound."""
        found = self._all(sa.select(tables.reading).where(tables.reading.c.id == id))
        if not found:
            raise NotFound(f"There is no reading {id} in this studio; it may have been taken back.")
        return kept(found[0], rows.kept_reading_from(found[0]))

    # the rest

    def changes(self, limit: int = 50) -> list[Change]:
        """The newest changes of shelf and colourways, newest first."""
        return [change_from(row) for row in self._all(sa.select(tables.change).order_by(tables.change.c.id.desc()).limit(limit))]

    def change(self, change_id: int) -> Change:
        """One change. Raises NotFound."""
        found = self._all(sa.select(tables.change).where(tables.change.c.id == change_id))
        if not found:
            raise NotFound("This change is not in the journal of this studio.")
        return change_from(found[0])

    def changes_with(self, kind: str, id: int) -> list[Change]:
        """The changes that were made in the same act as the addition of thing `id` of `kind` and are not taken back, in order; that addition is one."""
        column = tables.change.c
        added = self._all(sa.select(tables.change).where(column.kind == kind, column.thing == id, column.before.is_(None), column.undone.is_(False)))
        if not added:
            return []
        together = self._all(sa.select(tables.change).where(column.at == added[-1]["at"], column.undone.is_(False)).order_by(column.id))
        return [change_from(row) for row in together]

    def settings(self) -> Settings:
        """The studio's settings; what was never set has its default."""
        found = {row["key"]: json.loads(row["value"]) for row in self._all(sa.select(tables.setting))}
        return plain.from_plain(Settings, found)

    def photo(self, id: int) -> PhotoFact:
        """What is known of one kept photo. Raises NotFound."""
        found = self._all(sa.select(tables.photo).where(tables.photo.c.id == id))
        if not found:
            raise NotFound(f"There is no photo {id} in this studio.")
        return PhotoFact(**found[0])

    def photos(self) -> list[PhotoFact]:
        """All kept photos, oldest first."""
        return [PhotoFact(**row) for row in self._all(sa.select(tables.photo).order_by(tables.photo.c.id))]

    # how rows are read

    def _all(self, statement: sa.Select[Any]) -> list[dict[str, Any]]:
        return [dict(row) for row in self.connection.execute(statement).mappings()]

    def _row(self, table: sa.Table, word: str, key: int | str) -> rows.RowMap:
        where = table.c.id == key if isinstance(key, int) else table.c.name_key == rows.fold(key)
        found = self._all(sa.select(table).where(where))
        if not found:
            raise NotFound(
                f"There is no {word} called {key} in this studio." if isinstance(key, str) else f"There is no {word} with the number {key} in this studio."
            )
        return found[0]

    def _children(self, table: sa.Table, owners: list[int]) -> dict[int, list[rows.RowMap]]:
        by_owner: dict[int, list[rows.RowMap]] = defaultdict(list)
        if owners:
            inside = table.c.owner == owners[0] if len(owners) == 1 else table.c.owner.in_(owners)
            for row in self._all(sa.select(table).where(inside).order_by(table.c.owner, table.c.position)):
                by_owner[row["owner"]].append(row)
        return by_owner


def _contains(table: sa.Table, search: str) -> list[sa.ColumnElement[bool]]:
    return [table.c.search.contains(word, autoescape=True) for word in rows.fold(search).split()]


def change_from(row: rows.RowMap) -> Change:
    """A journal row as a Change."""

    def read(text: str | None) -> dict[str, object] | None:
        return None if text is None else cast("dict[str, object]", json.loads(text))

    return Change(row["id"], row["at"], row["sentence"], row["kind"], row["thing"], read(row["before"]), read(row["after"]), bool(row["undone"]))
