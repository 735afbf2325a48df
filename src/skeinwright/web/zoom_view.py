"""The scale of each picture beside, for its rule: pictures of one view lie at one zoom, and a millimetre is as long as the rule says."""

from __future__ import annotations

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.knitted import STITCH_PER_DIAMETER, stitches_across
from skeinwright.core.picture.laid_open import ROUND_MM
from skeinwright.core.picture.of_map import View, px_per_mm
from skeinwright.core.picture.strand import CLOSE_MM
from skeinwright.services.draw_laid import SIZES, scale_of_laid
from skeinwright.services.forecast_colourway import ColourwaySheet, OnBase


def rules_of(sheet: ColourwaySheet, view: str) -> dict[str, float]:
    """Base's name -> millimetres that its picture shows across; without those whose scale is not known."""
    found = {}
    for one in sheet.bases:
        try:
            found[one.base.name] = round(_across_mm(one, view), 3)
        except BadInput:
            continue
    return found


def _across_mm(one: OnBase, view: str) -> float:
    width, height = SIZES["large"]
    if one.laid is not None and (one.laid.is_patterned or view == "in the pan"):
        return width / scale_of_laid(one.laid, view=view, size=(width, height))
    if view == "knitted":
        return stitches_across(one.look, width) * STITCH_PER_DIAMETER * one.look.diameter_mm
    if view == "close up":
        return CLOSE_MM
    return width / px_per_mm(View(view=view, width=width, height=height), one.look, ROUND_MM)
