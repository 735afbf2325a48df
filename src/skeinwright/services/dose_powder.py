"""How much powder for a wish: a share of the face in specks, or specks a stitch."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.spread.guidance import PowderDose

ASSUMED_HALF_MG_CM2 = 83.0
LOOSE = 1.15
"""Stitch length sqrt(tex)/1.15 mm: plain knit of middling tightness [assumed]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PowderWish:
    """As typed: `coverage` ("8 %") or `per_stitch` ("1.5"), one of them; `grain` ("0.12 mm") the median radius; `speck_mm` how large a speck comes out, where
    a forecast says so; `half_mg_cm2` the yarn in one half of what is laid."""

    coverage: str = ""
    per_stitch: str = ""
    grain: str = ""
    speck_mm: float | None = None
    half_mg_cm2: float = ASSUMED_HALF_MG_CM2


def dose_powder(wish: PowderWish, base: Base) -> PowderDose:
    """Grams of powder for 100 g of yarn, a side, with what it rests on. Raises BadInput where neither or both wishes are given, or one cannot be read."""
    from dataclasses import replace

    from skeinwright.core.foundations.numbers import read_number
    from skeinwright.core.foundations.quantities import parse
    from skeinwright.core.spread.guidance import footprint_mm, powder_dose
    from skeinwright.core.spread.parameters import PowderParameters

    if bool(wish.coverage.strip()) == bool(wish.per_stitch.strip()):
        raise BadInput("Say either a coverage, such as 8 %, or specks a stitch, such as 1.5.", where="coverage", text=wish.coverage)
    powder = PowderParameters()
    if wish.grain.strip():
        powder = replace(powder, grain_mm=parse("length", wish.grain, where="grain").value)
    speck_mm = wish.speck_mm or footprint_mm(powder)
    if wish.coverage.strip():
        share = parse("strength", wish.coverage, where="coverage").value
        if not 0 < share < 0.95:
            raise BadInput("A coverage lies above 0 and below 95 %.", where="coverage", text=wish.coverage)
        return powder_dose(powder, wish.half_mg_cm2, speck_mm, coverage=share)
    number = float(read_number(wish.per_stitch, where="specks a stitch").value)
    if not 0 < number <= 100:
        raise BadInput("Specks a stitch are a number above 0, up to 100.", where="specks a stitch", text=wish.per_stitch)
    return powder_dose(powder, wish.half_mg_cm2, speck_mm, per_stitch=number, stitch_mm=sqrt(base.tex) / LOOSE, tex=base.tex)
