"""How thick a strand is in a photo that was taken close up beside a ruler."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, parse

Place = tuple[float, float]
"""0-1 of the photo's width and height, from its top left."""
COARSE_PX = 12.0


@dataclass(frozen=True, kw_only=True, slots=True)
class StrandInPhoto:
    """A photo's bytes; two points on the ruler and the `length` between them as typed; two points along the strand's middle."""

    photo: bytes
    ruler: tuple[Place, Place]
    strand: tuple[Place, Place]
    length: str = "1 cm"
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class StrandMeasured:
    """The mean thickness in mm with its 90 % interval, how unevenly thick it is (standard deviation), and the scale."""

    width_mm: float
    low_mm: float
    high_mm: float
    uneven_mm: float
    px_per_mm: float
    places: int
    warnings: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "inputs": {},
            "width_mm": self.width_mm,
            "width_mm_ci": [self.low_mm, self.high_mm],
            "uneven_mm": self.uneven_mm,
            "px_per_mm": self.px_per_mm,
            "places": self.places,
            "warnings": list(self.warnings),
            "assumed": ["An edge is found to 0.7 px and a point is set to 2 px (one standard deviation)."],
        }


def measure_strand(asked: StrandInPhoto) -> StrandMeasured:
    """The thickness. Raises PhotoRefused for a file that is no photo, BadInput where the points cannot be meant or no strand is found."""
    import numpy as np

    from skeinwright.core.measure.strand_width import strand_width
    from skeinwright.files.photos import open_picture

    ruler_mm = parse("length", asked.length, where="length", habits=asked.habits).value
    picture = open_picture(asked.photo)[0].convert("L")
    size = picture.size
    grey = (np.asarray(picture, dtype=np.float32) / 255.0).astype(np.float32)
    ruler, strand = ([(x * size[0], y * size[1]) for x, y in pair] for pair in (asked.ruler, asked.strand))
    ruler_px = hypot(ruler[1][0] - ruler[0][0], ruler[1][1] - ruler[0][1])
    if ruler_px < 40.0 or not ruler_mm > 0.0:
        raise BadInput("Point at two marks of the ruler that lie well apart, and write the length between them.", where="length")
    found = strand_width(grey, strand[0], strand[1])
    width, low, high = found.mm(ruler_px, ruler_mm)
    warnings = []
    if found.width_px < COARSE_PX:
        warnings.append("The strand is only a few pixels wide in this photo: come closer, it will be surer.")
    if not 0.1 <= width <= 30.0:
        raise BadInput(f"That would be a strand of {width:.3g} mm: check the length between the two marks of the ruler.", where="length")
    return StrandMeasured(
        width_mm=width,
        low_mm=low,
        high_mm=high,
        uneven_mm=found.sd_px * ruler_mm / ruler_px,
        px_per_mm=ruler_px / ruler_mm,
        places=found.places,
        warnings=tuple(warnings),
    )
