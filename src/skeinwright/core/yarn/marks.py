"""A mark on the laid-out skein is not one mark on the yarn.

A disc of diameter s on parallel strands of diameter d touches 1 + s/d strands on average; mean area of each piece is (pi s^2/4)/(1 + s/d), its mean length that
over d. Derived (a segment of length s thrown on lines spaced d), confirmed by a Monte Carlo in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from skeinwright.core.foundations.errors import BadInput


@dataclass(frozen=True, slots=True)
class StrandMarks:
    """What one mark on the skein becomes when the yarn is unwound."""

    strands: float
    area_mm2: float
    length_mm: float


def strand_marks(mark_mm: float, strand_mm: float) -> StrandMarks:
    """A disc of diameter `mark_mm` over strands of diameter `strand_mm`."""
    if not (mark_mm > 0.0 and strand_mm > 0.0):
        raise BadInput("A mark and a strand have a size above zero.", where="mark")
    strands = 1.0 + mark_mm / strand_mm
    area = pi * mark_mm**2 / 4.0 / strands
    return StrandMarks(strands, area, area / strand_mm)


def marks_per_metre(marks_on_skein: float, mark_mm: float, strand_mm: float, yarn_length_mm: float, relax_length: float) -> float:
    """Expected marks on each metre of dried yarn: marks (1 + s/d) / (lambda_L L0), L0 the wet length of the yarn in mm."""
    return marks_on_skein * strand_marks(mark_mm, strand_mm).strands / (relax_length * yarn_length_mm) * 1000.0
