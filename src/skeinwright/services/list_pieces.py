"""The pieces of yarn in a photo that was read, each in figures: no pixels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.measure_photo import Outline

if TYPE_CHECKING:
    from skeinwright.core.measure.reading import PhotoReading

LabValues = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceFigures:
    """One piece of yarn: outline and middle (mm on the page), area with its 90 %, its colours (Lab, D65, 2 degree), the mean relative to paper."""

    number: int
    outline_mm: Outline
    middle_mm: tuple[float, float]
    drawn: bool
    area_cm2: float
    area_low: float
    area_high: float
    mean_lab: LabValues
    ground_lab: LabValues
    ground_share: float
    others: tuple[tuple[LabValues, float], ...]
    relative: LabValues

    @property
    def lab(self) -> Lab:
        """The area mean as it is kept, to two decimals; nothing is whiter than white."""
        L, a, b = self.mean_lab
        return Lab(round(min(max(L, 0.0), 100.0), 2), round(a, 2), round(b, 2), "D65", 2)


def list_pieces(reading: PhotoReading, plain: dict[str, Any]) -> tuple[PieceFigures, ...]:
    """The pieces of a photo that was not refused, in their order; `plain` is the same reading as `Measured.to_plain` gives it, for the spread of its area."""
    from skeinwright.core.measure.yarn import inner

    assert reading.window is not None
    assert reading.flat is not None
    low, high = plain["area_cm2_ci"]
    whole = plain["area_cm2"] or 1.0
    found = []
    for number, one in enumerate(reading.pieces, 1):
        inside = inner(one.piece.mask, reading.flat.px_per_mm)
        relative = reading.window[inside if inside.any() else one.piece.mask].mean(axis=0, dtype=float)
        found.append(
            PieceFigures(
                number=number,
                outline_mm=one.piece.outline_mm,
                middle_mm=one.piece.middle_mm,
                drawn=one.piece.drawn,
                area_cm2=one.area_cm2,
                area_low=one.area_cm2 * low / whole,
                area_high=one.area_cm2 * high / whole,
                mean_lab=one.mean_lab,
                ground_lab=one.ground_lab,
                ground_share=one.ground_share,
                others=tuple(sorted(one.others, key=lambda other: -other[1])),
                relative=(float(relative[0]), float(relative[1]), float(relative[2])),
            )
        )
    return tuple(found)
