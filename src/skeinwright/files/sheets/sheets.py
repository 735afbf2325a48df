"""Pot slips, lot sheets and the photo sheet as tagged PDF.

The data goes to the typesetter as JSON through its inputs and is never pasted into markup, so a name prints as it is written, whatever it holds.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from skeinwright.core.lot.lot import Entry, Lot
from skeinwright.core.lot.sheet import sheet_of
from skeinwright.core.lot.slip import slips_of
from skeinwright.core.measure.sheet import Sheet
from skeinwright.files.sheets.photo_page import page_of
from skeinwright.files.sheets.winding_page import page_of_plan

HERE = Path(__file__).parent
SHEET_DAY = date(2026, 1, 1)
"""The date inside a photo sheet, which is of no day."""


def slip_pdf(lot: Lot, *, vessel: str = "") -> bytes:
    """The pot slips: a page for each vessel, or one page for `vessel`. Raises BadInput for a vessel that the lot has not."""
    return _compiled("slip.typ", slips_of(lot, vessel=vessel), lot.day)


def lot_sheet_pdf(lot: Lot, entries: Sequence[Entry]) -> bytes:
    """The lot sheet, A4: plan and record side by side."""
    return _compiled("lot_sheet.typ", sheet_of(lot, entries), lot.day)


def photo_sheet_pdf(sheet: Sheet) -> bytes:
    """The photo sheet: the sheet itself, the grey insert, and a page of instructions with the upright ruler. The same bytes every time."""
    return _compiled("photo_sheet.typ", page_of(sheet), SHEET_DAY)


def winding_pdf(plan: Mapping[str, Any], day: date) -> bytes:
    """The winding sheet of a self-striping plan on a base, given as plain data: the pegs to scale, and what is wound of each colour."""
    return _compiled("winding.typ", page_of_plan(plan, day), day)


def triangle_pdf(data: dict[str, Any]) -> bytes:
    """The poster of a mixing triangle, given as plain data: the chips with their parts, and the swatches they rest on. The same bytes every time."""
    return _compiled("triangle.typ", data, SHEET_DAY)


def _compiled(template: str, data: dict[str, Any], day: date) -> bytes:
    """The PDF, the same bytes for the same data: the date inside is the day of the lot."""
    import typst

    stamp = int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp())
    made: bytes = typst.compile(
        HERE / template,
        root=HERE,
        font_paths=[HERE],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        pdf_standards="ua-1",
        timestamp=stamp,
    )
    return made
