"""Yarn counts (the tex system; source: iso-1144) and the names of yarn thicknesses.

Tex, grams per kilometre, is held inside. The other counts are exact definitions:
    Nm = 1000/T;  m per 100 g = 100000/T;  yd/lb = 1000/T * 453.59237/0.9144;  worsted NeW = yd/lb / 560;  cotton NeC = yd/lb / 840
"""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput

GRAMS_PER_POUND = 453.59237
METRES_PER_YARD = 0.9144
WORSTED_HANK_YD = 560.0
COTTON_HANK_YD = 840.0


def tex_from_put_up(mass_g: float, length_mm: float) -> float:
    """Tex of a yarn of which `length_mm` weighs `mass_g`: T = 1e6 m/l."""
    return 1e6 * _above_zero(mass_g, "mass") / _above_zero(length_mm, "length")


def metric_count(tex: float) -> float:
    """Nm, metres per gram: 1000/T. Its own inverse: metric_count(Nm) is the tex."""
    return 1000.0 / _above_zero(tex, "tex")


def metres_per_100_g(tex: float) -> float:
    """100000/T. Its own inverse."""
    return 1e5 / _above_zero(tex, "tex")


def yards_per_pound(tex: float) -> float:
    """1000/T * 453.59237/0.9144. Its own inverse."""
    return 1000.0 / _above_zero(tex, "tex") * GRAMS_PER_POUND / METRES_PER_YARD


def worsted_count(tex: float) -> float:
    """NeW, hanks of 560 yards in a pound. Its own inverse."""
    return yards_per_pound(tex) / WORSTED_HANK_YD


def cotton_count(tex: float) -> float:
    """NeC, hanks of 840 yards in a pound. Its own inverse."""
    return yards_per_pound(tex) / COTTON_HANK_YD


def _above_zero(value: float, where: str) -> float:
    if not value > 0.0:
        raise BadInput(f"The {where} must be above zero.", where=where)
    return value


@dataclass(frozen=True, slots=True)
class Category:
    """A name for a thickness with its band of metres per 100 g. Bands overlap, because published tables disagree."""

    name: str
    low_m_per_100g: float
    high_m_per_100g: float


CATEGORIES = (
    Category("lace", 484.0, float("inf")),
    Category("fingering", 350.0, 484.0),
    Category("sport", 242.0, 400.0),
    Category("DK", 182.0, 300.0),
    Category("worsted", 120.0, 240.0),
    Category("bulky", 81.0, 130.0),
    Category("super bulky", 0.0, 100.0),
)
"""Each band runs from the lowest to the highest figure for that row in three charts seen
(a craft magazine's, an encyclopaedia's, a dyers' table); they are a guideline."""


def categories(metres_per_100g: float) -> tuple[str, ...]:
    """All names that fit, the thinnest first: a guideline, since the charts overlap and disagree."""
    m = _above_zero(metres_per_100g, "metres per 100 g")
    return tuple(c.name for c in CATEGORIES if c.low_m_per_100g <= m <= c.high_m_per_100g)
