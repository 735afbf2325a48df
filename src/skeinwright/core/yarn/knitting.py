"""Plain knit at rest: stitch length, spacing, yarn (source: munden-1959).

    courses c = Kc/l, wales w = Kw/l, stitches per area S = Ks/l^2, any consistent unit; independent of yarn and tightness.
Wet relaxed is taken for washed swatches. The constants are averages for wool plain knit, seen in a table; the row "tumbled" is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from skeinwright.core.foundations.errors import BadInput


@dataclass(frozen=True, slots=True)
class Knit:
    """Munden's constants for one state of plain knit."""

    kc: float
    kw: float
    ks: float


STATES = {"dry relaxed": Knit(5.0, 3.8, 19.0), "wet relaxed": Knit(5.3, 4.1, 21.6), "tumbled": Knit(5.5, 4.2, 23.1)}
WET = STATES["wet relaxed"]
CAST_ON_WIDTHS, BIND_OFF_WIDTHS, TAILS_MM = 3.0, 4.5, 300.0
"""Yarn for the edges over the piece's width, and two tails: common practice; one maker measured 4.6 for binding off."""
LEAST_RATIO, MOST_RATIO = 1.15, 1.45


def stitch_length_mm(wales_per_mm: float, courses_per_mm: float | None = None, *, state: str = "wet relaxed") -> float:
    """l = Kw/w, or from both gauges l = sqrt(Ks/(c w)), in mm."""
    knit = STATES[state]
    if not wales_per_mm > 0.0 or (courses_per_mm is not None and not courses_per_mm > 0.0):
        raise BadInput("A gauge must be above zero.", where="gauge")
    return knit.kw / wales_per_mm if courses_per_mm is None else sqrt(knit.ks / (courses_per_mm * wales_per_mm))


def ravelled_stitch_mm(length_mm: float, stitches: float) -> float:
    """Stitch length from the dyer's own swatch: so many stitches ravelled, and the length of yarn they gave."""
    if not (length_mm > 0.0 and stitches > 0.0):
        raise BadInput("Ravel at least one stitch and measure what it gave.", where="swatch")
    return length_mm / stitches


def courses_per_mm(stitch_mm: float, *, state: str = "wet relaxed") -> float:
    """Rows per mm: Kc/l."""
    return STATES[state].kc / stitch_mm


def wales_per_mm(stitch_mm: float, *, state: str = "wet relaxed") -> float:
    """Stitches per mm: Kw/l."""
    return STATES[state].kw / stitch_mm


def stitches_per_mm2(stitch_mm: float, *, state: str = "wet relaxed") -> float:
    """Ks/l^2."""
    return STATES[state].ks / stitch_mm**2


def yarn_per_mm2(stitch_mm: float, *, state: str = "wet relaxed") -> float:
    """Millimetres of yarn in a square millimetre of knit: S l = Ks/l."""
    return STATES[state].ks / stitch_mm


def mass_per_m2_g(tex: float, stitch_mm: float, *, state: str = "wet relaxed") -> float:
    """g/m2 = Ks T/l with l in mm (T in g/km = g per 1e6 mm)."""
    return STATES[state].ks * tex / stitch_mm


def tightness(tex: float, stitch_mm: float) -> float:
    """Cover factor K = sqrt(T)/l, tex^0.5 per mm; plain knit is mostly 1.3-1.5, hand knitting slacker."""
    return sqrt(tex) / stitch_mm


def peirce_stitch_mm(course_spacing_mm: float, wale_spacing_mm: float, diameter_mm: float, *, coefficient: float = 5.94) -> float:
    """l = 2 p + w + 5.94 d (d at a specific volume of 1.1), or 4.56 d with a measured d (source: peirce-1947, abstract of a later study seen)."""
    return 2.0 * course_spacing_mm + wale_spacing_mm + coefficient * diameter_mm


def gauge_warnings(wales: float, courses: float | None) -> tuple[str, ...]:
    """What is odd about a swatch: rows over stitches far from 1.3 is stretched, or not plain knit."""
    if courses is None or LEAST_RATIO <= courses / wales <= MOST_RATIO:
        return ()
    how = "stretched in length" if courses / wales < LEAST_RATIO else "stretched in width"
    return (f"Rows over stitches are {courses / wales:.2f}, where plain knit at rest has about 1.3: the swatch is {how}, or not plain knit.",)


@dataclass(frozen=True, slots=True)
class PieceYarn:
    """Yarn for a piece of plain knit, in mm."""

    knit_mm: float
    edges_mm: float

    @property
    def total_mm(self) -> float:
        return self.knit_mm + self.edges_mm


def yarn_for_piece(stitches: float, rows: float, stitch_mm: float, *, in_the_round: bool = False, state: str = "wet relaxed") -> PieceYarn:
    """rows x stitches x l, and for the edges 3 and 4.5 widths and two tails (common practice)."""
    width_mm = stitches / wales_per_mm(stitch_mm, state=state)
    edges = (CAST_ON_WIDTHS + BIND_OFF_WIDTHS) * width_mm + TAILS_MM
    return PieceYarn(rows * stitches * stitch_mm, edges)


def yards_by_rule(length_in: float, width_in: float, stitches_per_in: float) -> float:
    """A rule of thumb seen: yards = length x width x gauge / 6; it is Kc = 6, 13 % above plain knit at rest."""
    return length_in * width_in * stitches_per_in / 6.0


def yards_by_munden(length_in: float, width_in: float, stitches_per_in: float, *, state: str = "wet relaxed") -> float:
    """The same from the constants: rows x stitches x l = L W g Kc/36 yards."""
    return length_in * width_in * stitches_per_in * STATES[state].kc / 36.0
