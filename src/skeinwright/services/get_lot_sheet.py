"""The lot sheet as a screen shows it: the same data as the printed one."""

from __future__ import annotations

from typing import Any

from skeinwright.core.lot.sheet import sheet_of
from skeinwright.services.get_lot import get_lot
from skeinwright.services.studio import Studio


def get_lot_sheet(studio: Studio, code: str) -> dict[str, Any]:
    """Rows, steps with ticks, deviations and struck lines, and the day's notes, as plain data (`core.lot.sheet`). Raises NotFound."""
    view = get_lot(studio, code)
    return sheet_of(view.lot, view.entries)
