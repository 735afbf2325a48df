"""The pot slips of a lot as PDF: a page for each vessel."""

from __future__ import annotations

from skeinwright.files.sheets.sheets import slip_pdf
from skeinwright.services.get_lot import get_lot
from skeinwright.services.studio import Studio


def make_slip(studio: Studio, code: str, *, vessel: str = "") -> bytes:
    """A tagged PDF with a slip for each vessel of the lot (or for one). Raises NotFound."""
    return slip_pdf(get_lot(studio, code).lot, vessel=vessel)
