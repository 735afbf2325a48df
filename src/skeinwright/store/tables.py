"""The tables of a studio file.

One typed table for each kind of thing on the shelf, its columns named as the fields of the dataclass; lists inside a thing (parts, fibres,
swatches, steps) are rows of child tables with a `position`. `name_key` is the name as it is compared (case and Unicode form folded).
`search` holds folded text that is looked through; `lot.status` and `lot.done` repeat what `core.lot.state` says of the record, so that lists
are quick. The record (`entry`, `use`) can only be added to: triggers refuse the rest.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlalchemy import Boolean, CheckConstraint, Column, Date, Float, ForeignKey, Index, Integer, MetaData, Table, Text
from sqlalchemy.engine import Dialect

metadata = MetaData()


class Moment(sa.types.TypeDecorator[datetime]):
    """A date and time as ISO 8601 text, with its offset from UTC where it has one (so a sheet shows the time as the clock on the wall did)."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        return None if value is None else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        return None if value is None else datetime.fromisoformat(value)


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False, server_default="")


def _number(name: str, *, need: bool = False) -> Column[float]:
    return Column(name, Float, nullable=not need)


def _count(name: str, *, need: bool = False) -> Column[int]:
    return Column(name, Integer, nullable=not need)


def _day(name: str, *, need: bool = False) -> Column[Any]:
    return Column(name, Date, nullable=not need)


def _kept(name: str, *columns: Column[Any]) -> Table:
    """A table of things with a number, a unique name, a revision and an archive flag."""
    return Table(
        name,
        metadata,
        Column("id", Integer, primary_key=True),
        Column("name", Text, nullable=False),
        Column("name_key", Text, nullable=False, unique=True),
        Column("archived", Boolean, nullable=False, server_default=sa.text("0")),
        Column("revision", Integer, nullable=False, server_default=sa.text("1")),
        Column("changed_at", Moment, nullable=False),
        *columns,
        sqlite_autoincrement=True,
    )


def _rows_of(name: str, owner: str, *columns: Column[Any]) -> Table:
    """A child table: rows in order, gone with their owner."""
    return Table(
        name,
        metadata,
        Column("owner", Integer, ForeignKey(f"{owner}.id", ondelete="CASCADE"), primary_key=True),
        Column("position", Integer, primary_key=True),
        *columns,
    )


def _parts_of(name: str, owner: str) -> Table:
    return _rows_of(name, owner, Column("name", Text, nullable=False), Column("share", Float, nullable=False))


dye = _kept(
    "dye",
    _text("maker"),
    _text("dye_class"),
    _text("maker_acid"),
    _text("maker_heat"),
    _number("strength", need=True),
    _number("jar_g"),
    _count("price_minor"),
    _number("on_hand_g"),
    _text("batch"),
    _text("supplier_statement"),
    _text("safety_sheet"),
    _text("notes"),
)
swatch = _rows_of(
    "swatch",
    "dye",
    _number("depth", need=True),
    _number("L", need=True),
    _number("a", need=True),
    _number("b", need=True),
    _text("illuminant"),
    _count("observer", need=True),
    _text("reading"),
    _text("base"),
    _text("said"),
    _text("spectrum"),
    _count("repeats", need=True),
    _day("read_on"),
    _number("own_sd"),
)
solution = _kept(
    "solution",
    _number("strength", need=True),
    _number("volume_ml"),
    _number("on_hand_ml"),
    _day("made_on"),
    _count("keeps_days", need=True),
    _text("acid"),
    _text("batch"),
    _text("notes"),
)
solution_part = _parts_of("solution_part", "solution")
blend = _kept("blend", _number("grain_mm"), _number("on_hand_g"), _day("made_on"), _text("notes"))
blend_part = _parts_of("blend_part", "blend")
auxiliary = _kept(
    "auxiliary", _text("does"), _number("pack_g"), _count("price_minor"), _number("on_hand_g"), _text("batch"), _text("safety_sheet"), _text("notes")
)
leftover = _kept("leftover", _number("volume_ml", need=True), _number("ph"), _day("kept_on"), _text("from_lot"), _text("notes"))
leftover_dye = _parts_of("leftover_dye", "leftover")  # `share` is grams here
base = _kept(
    "base",
    _number("skein_g", need=True),
    _number("length_mm", need=True),
    Column("superwash", Boolean),
    _count("plies"),
    _text("twist"),
    _number("round_mm"),
    _number("undyed_L"),
    _number("undyed_a"),
    _number("undyed_b"),
    _text("undyed_illuminant"),
    _count("undyed_observer"),
    _count("price_minor"),
    _count("on_hand"),
    _text("batch"),
    _text("maker"),
    _number("strike_factor"),
    _number("relax_length"),
    _number("relax_width"),
    _text("notes"),
)
base_fibre = _parts_of("base_fibre", "base")
acid = _kept(
    "acid", _text("acid"), _number("strength"), Column("monohydrate", Boolean), _count("price_minor"), _number("pack_g"), _number("on_hand_g"), _text("notes")
)
water = _kept("water", _number("alkalinity_mg_l"), _number("ph"), _text("source"), _day("measured_on"), _text("notes"))
vessel = _kept(
    "vessel",
    _text("shape"),
    _number("length_mm", need=True),
    _number("width_mm"),
    _number("height_mm", need=True),
    _text("material"),
    Column("lid", Boolean),
    _text("stands_on"),
    _number("mass_g"),
    _text("notes"),
)
heat = _kept("heat", _text("does"), _text("energy"), _number("power_w"), _count("holds", need=True), _text("circuit"), _text("notes"))

colourway = _kept(
    "colourway",
    _text("fibre"),
    _text("water"),
    _text("vessel"),
    _text("notes"),
    _text("over"),
    _text("water_volume"),
    Column("own_base", Text),
    Column("own_water", Text),
    Column("own_vessel", Text),
    _text("own_dyes"),
    _text("search"),
)
colourway_step = _rows_of("colourway_step", "colourway", Column("do", Text, nullable=False), _text("said"))
colourway_base = _rows_of("colourway_base", "colourway", Column("name", Text, nullable=False))
colourway_set = _kept("colourway_set", _text("notes"))
colourway_set_member = _rows_of("colourway_set_member", "colourway_set", Column("name", Text, nullable=False))

lot = Table(
    "lot",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("code", Text, nullable=False, unique=True),
    _day("day", need=True),
    _text("title"),
    _text("colourway_name"),
    Column("colourway", Text),
    Column("unplanned", Boolean, nullable=False),
    _text("copied_from"),
    Column("old", Boolean, nullable=False),
    _text("notes"),
    _text("when_said"),
    _text("assumed"),
    _text("warnings"),
    _text("shelf"),
    Column("status", Text, nullable=False, server_default="planned"),
    Column("done", Float, nullable=False, server_default=sa.text("0")),
    _text("search"),
    _text("key"),
    sqlite_autoincrement=True,
)
Index("lot_by_day", lot.c.day, lot.c.code)
Index("lot_by_key", lot.c.key, unique=True, sqlite_where=lot.c.key != "")
lot_row = Table(
    "lot_row",
    metadata,
    Column("lot", Integer, ForeignKey("lot.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    _text("base"),
    _count("skeins", need=True),
    _number("skein_g", need=True),
    _text("vessel"),
    _text("mark"),
    _text("over"),
)
planned = Table(
    "planned",
    metadata,
    Column("lot", Integer, ForeignKey("lot.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("do", Text, nullable=False),
    _text("said"),
    _text("sentence"),
    _text("doses"),
    _number("start_min"),
    _number("minutes"),
    _text("cautions"),
    _text("cautions_in"),
    _text("notes"),
)

photo = Table(
    "photo",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("file", Text, nullable=False, unique=True),
    Column("preview", Text, nullable=False),
    _count("width_px", need=True),
    _count("height_px", need=True),
    _count("size_bytes", need=True),
    Column("added_at", Moment, nullable=False),
    _text("said_name"),
    sqlite_autoincrement=True,
)

entry = Table(
    "entry",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("lot", Integer, ForeignKey("lot.id"), nullable=False),
    Column("what", Text, nullable=False),
    Column("at", Moment, nullable=False),
    Column("entered_at", Moment, nullable=False),
    _count("step"),
    _text("vessel"),
    _count("row"),
    _text("about"),
    _number("value"),
    _text("unit"),
    _text("text"),
    Column("photo", Integer, ForeignKey("photo.id")),
    Column("replaces", Integer, ForeignKey("entry.id")),
    _text("said"),
    _text("doses"),
    _text("key"),
    sqlite_autoincrement=True,
)
Index("entry_by_lot", entry.c.lot, entry.c.id)
Index("entry_by_key", entry.c.lot, entry.c.key, unique=True, sqlite_where=entry.c.key != "")
use = Table(
    "use",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("entry", Integer, ForeignKey("entry.id"), nullable=False),
    Column("lot", Integer, ForeignKey("lot.id"), nullable=False),
    _text("kind"),
    _text("name"),
    _number("amount", need=True),
    _text("unit"),
    sqlite_autoincrement=True,
)
Index("use_by_lot", use.c.lot, use.c.id)
Index("use_by_thing", use.c.kind, use.c.name)

calibration = Table(
    "calibration",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("archived", Boolean, nullable=False, server_default=sa.text("0")),
    Column("revision", Integer, nullable=False, server_default=sa.text("1")),
    Column("changed_at", Moment, nullable=False),
    _text("test"),
    _text("of_kind"),
    _text("of"),
    _text("of_key"),
    _text("quantity"),
    _number("value", need=True),
    _number("low", need=True),
    _number("high", need=True),
    _text("unit"),
    _day("made_on", need=True),
    _text("lot"),
    _text("note"),
    sqlite_autoincrement=True,
)
Index("calibration_by_thing", calibration.c.of_kind, calibration.c.of_key, calibration.c.quantity)

reading = Table(
    "reading",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("archived", Boolean, nullable=False, server_default=sa.text("0")),
    Column("revision", Integer, nullable=False, server_default=sa.text("1")),
    Column("changed_at", Moment, nullable=False),
    Column("made_at", Moment, nullable=False),
    Column("photo", Integer, ForeignKey("photo.id"), nullable=False),
    _text("lot"),
    _text("base"),
    _text("dye"),
    _text("what"),
    _text("state"),
    _text("label"),
    _number("L", need=True),
    _number("a", need=True),
    _number("b", need=True),
    _text("illuminant"),
    _count("observer", need=True),
    _number("spread_de00", need=True),
    _text("document"),
    sqlite_autoincrement=True,
)
Index("reading_by_lot", reading.c.lot, reading.c.id)
Index("reading_by_photo", reading.c.photo, reading.c.id)

change = Table(
    "change",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("at", Moment, nullable=False),
    Column("sentence", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("thing", Integer, nullable=False),
    Column("before", Text),
    Column("after", Text),
    Column("undone", Boolean, nullable=False, server_default=sa.text("0")),
    Column("undoes", Integer, ForeignKey("change.id")),
    CheckConstraint("before IS NOT NULL OR after IS NOT NULL", name="change_says_something"),
    sqlite_autoincrement=True,
)
setting = Table("setting", metadata, Column("key", Text, primary_key=True), Column("value", Text, nullable=False))

ITEMS: dict[str, Table] = {table.name: table for table in (dye, solution, blend, auxiliary, leftover, base, acid, water, vessel, heat)}
"""The table of each shelf kind."""
PARTS: dict[str, tuple[str, Table]] = {
    "solution": ("parts", solution_part),
    "blend": ("parts", blend_part),
    "leftover": ("dyes_g", leftover_dye),
    "base": ("fibres", base_fibre),
}
"""Kinds that carry (name, number) pairs: the field and its child table."""

APPEND_ONLY = ("entry", "use")
"""Tables of the record; `store.triggers` makes SQLite refuse to change or delete their rows."""
