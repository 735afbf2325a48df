"""The photo sheet as PDF, to be printed once and used for every photo."""

from __future__ import annotations


def make_photo_sheet(paper: str) -> bytes:
    """A tagged PDF for "a4" or "letter": the sheet, a grey insert for pale yarn, instructions with the upright ruler. Raises BadInput for another paper."""
    from skeinwright.core.measure.sheet import sheet_named
    from skeinwright.files.sheets.sheets import photo_sheet_pdf

    return photo_sheet_pdf(sheet_named(paper))
