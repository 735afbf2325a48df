"""Write what was read from photos as a table that other programs read."""

from __future__ import annotations

from skeinwright.files.tables import write_table
from skeinwright.services.export_shelf import ExportFile
from skeinwright.services.list_readings import list_readings
from skeinwright.services.studio import Studio

COLUMNS = ("number", "made_at", "lot", "base", "dye", "what", "state", "label", "L", "a", "b", "illuminant", "observer", "spread_de00", "area_cm2", "photo")


def export_readings(studio: Studio, lot: str = "") -> ExportFile:
    """readings.csv, newest first, of one lot only where given.

    `spread_de00` is the radius that is meant to hold 90 %, `photo` the file in the studio's folder of photos.
    """
    rows = []
    with studio.store.reading() as reading:
        files = {fact.id: fact.file for fact in reading.photos()}
    for kept in list_readings(studio, lot):
        one = kept.thing
        area = one.details.get("area_cm2")
        row: dict[str, object] = {name: getattr(one, name) for name in ("lot", "base", "dye", "what", "state", "label", "spread_de00")}
        row |= {"number": kept.id, "made_at": one.made_at.isoformat(timespec="seconds"), "photo": files.get(one.photo, "")}
        row |= {"L": one.lab.L, "a": one.lab.a, "b": one.lab.b, "illuminant": one.lab.illuminant, "observer": one.lab.observer}
        rows.append(row | {"area_cm2": round(float(area[0]), 2) if area else None})
    return ExportFile("readings.csv", "text/csv; charset=utf-8", ("\ufeff" + write_table(COLUMNS, rows)).encode())
