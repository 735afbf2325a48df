"""Write the shelf as files that other programs read, and that `import_shelf` reads back as the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import Habits
from skeinwright.core.shelf.items import KINDS, Dye, Item
from skeinwright.core.shelf.reading import fields, say_item
from skeinwright.core.shelf.swatch_document import swatch_table
from skeinwright.core.shelf.swatch_reading import write_swatches
from skeinwright.files.documents import write_document
from skeinwright.files.tables import write_table
from skeinwright.services.studio import Studio

SWATCHES = "swatches"


@dataclass(frozen=True, slots=True)
class ExportFile:
    """A file to hand out."""

    name: str
    media_type: str
    data: bytes


def export_shelf(studio: Studio, what: str = "", *, archived: bool = False) -> ExportFile:
    """`what` is a kind ("dye" gives dye.csv), "swatches" (swatches.csv), or "" for everything with its swatches in one TOML file.

    Raises BadInput for anything else.
    """
    with studio.store.reading() as reading:
        habits = reading.settings().habits()
        kinds = (what,) if what in KINDS else ("dye",) if what == SWATCHES else tuple(KINDS) if not what else ()
        if not kinds:
            raise BadInput(f"The shelf has no '{what}'; it can write {', '.join(KINDS)}, swatches, or everything.", where="what")
        items = {kind: [kept.thing for kept in reading.items(kind, archived=archived)] for kind in kinds}
    if not what:
        return ExportFile("shelf.toml", "application/toml", write_document(_document(items, habits)).encode())
    text = _swatches(items["dye"]) if what == SWATCHES else _table(what, items[what], habits)
    return ExportFile(f"{what}.csv", "text/csv; charset=utf-8", ("\ufeff" + text).encode())


def _document(items: dict[str, list[Item]], habits: Habits) -> dict[str, Any]:
    document: dict[str, Any] = {}
    for kind, things in items.items():
        tables = []
        for thing in things:
            table: dict[str, Any] = {field: text for field, text in say_item(thing, habits).items() if text}
            if isinstance(thing, Dye) and thing.swatches:
                table["swatches"] = [swatch_table(swatch) for swatch in thing.swatches]
            tables.append(table)
        if tables:
            document[kind] = tables
    return document


def _table(kind: str, items: list[Item], habits: Habits) -> str:
    columns = [field for field, ask in fields(kind) if ask.kind != "swatches"]
    return write_table(columns, [say_item(item, habits) for item in items])


def _swatches(dyes: list[Item]) -> str:
    lines = write_swatches({dye.name: dye.swatches for dye in dyes if isinstance(dye, Dye)})
    bands = sorted({column for line in lines for column in line if column.startswith("R")})
    return write_table(["dye", "depth_pct", "L", "a", "b", "illuminant", "observer", "base", "n", "reading", "read_on", "said", "sd", *bands], lines)
