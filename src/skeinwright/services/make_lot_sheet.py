"""The lot sheet as PDF: the plan in print, and what was done beside it."""

from __future__ import annotations

from skeinwright.files.sheets.sheets import lot_sheet_pdf
from skeinwright.services.get_lot import get_lot
from skeinwright.services.studio import Studio


def make_lot_sheet(studio: Studio, code: str) -> bytes:
    """A tagged PDF of the whole lot as it stands; what is not yet recorded is a blank to write in. Raises NotFound."""
    view = get_lot(studio, code)
    return lot_sheet_pdf(view.lot, view.entries)
