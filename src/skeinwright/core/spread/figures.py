"""What a dyer can count on a speckled skein: size, number, coverage, front against back.

Worked out on the dye of one face (g of dye a g of fibre). A speck is a connected place where dye stands above the ground's median by more than a quarter
of what the
strongest places (99.5th percentile) do. Above 12 % coverage specks run together and counting fails; size then comes from the autocorrelation alone, and
says so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.stepper import Spreading

COUNTING_FAILS_ABOVE = 0.12
"""Coverage."""
LEAST_CONTRAST = 0.3
"""Standard deviation over mean below which there are no specks to speak of."""
LEAST_CELLS = 3
SPECK_SHARE = 0.25
COVERED_G_G = 1e-4
"""Dye from which a place counts as coloured: 0.01 % of the fibre's weight [assumed]."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Of one dye, or of all together; None where there is nothing to count.

    `speckle_mm` is the median diameter of equal area; `half_width_mm` that of the autocorrelation; `per_cm2` and `per_gram` count the face up and, for a
    gram, both
    faces; `coverage` is the share of the face in specks; `coloured` that with more than 0.01 % of dye; `front_back` is dye on the back over dye on the front.
    """

    mean_g_g: float
    contrast: float
    speckle_mm: float | None
    half_width_mm: float
    per_cm2: float | None
    per_gram: float | None
    coverage: float
    coloured: float
    front_back: float
    back_contrast: float
    counted: bool


def clearer_side(result: Spreading) -> tuple[Spreading, bool]:
    """The run seen from the side on which dye stands out more, and whether that is the side below: yarn may have been turned after the powder."""
    front, back = (float(face.std(dtype=float)) for face in result.dye.sum(axis=0))
    return (result, False) if front >= back else (replace(result, dye=result.dye[:, ::-1]), True)


def figures(result: Spreading) -> Figures:
    """Of all dyes together."""
    return figures_of(result.dye.sum(axis=0), result.grid, result.session.laid.half_mg_cm2)


def by_dye(result: Spreading) -> dict[str, Figures]:
    """Of each dye by itself."""
    return {dye.name: figures_of(plane, result.grid, result.session.laid.half_mg_cm2) for dye, plane in zip(result.session.dyes, result.dye, strict=True)}


def figures_of(faces: Array, grid: Grid, half_mg_cm2: float) -> Figures:
    """Of dye on both faces (2, rows, columns)."""
    front, back = faces[0].astype(float), faces[1].astype(float)
    means = float(front.mean()), float(back.mean())
    contrast, back_contrast = (float(face.std() / mean) if mean > 0 else 0.0 for face, mean in zip((front, back), means, strict=True))
    count, areas, coverage = specks(front, grid)
    back_count = specks(back, grid)[0]
    counted = contrast >= LEAST_CONTRAST and coverage <= COUNTING_FAILS_ABOVE and count > 0
    return Figures(
        mean_g_g=(means[0] + means[1]) / 2,
        contrast=contrast,
        speckle_mm=float(np.median(2 * np.sqrt(areas / np.pi))) * 10 if counted else None,
        half_width_mm=half_width_mm(front, grid),
        per_cm2=count / grid.area_cm2 if counted else None,
        per_gram=(count + (back_count if back_contrast >= LEAST_CONTRAST else 0)) / grid.area_cm2 / (2 * half_mg_cm2 / 1000) if counted else None,
        coverage=coverage if contrast >= LEAST_CONTRAST else 0.0,
        coloured=float((front > COVERED_G_G).mean()),
        front_back=means[1] / means[0] if means[0] > 0 else 0.0,
        back_contrast=back_contrast,
        counted=counted,
    )


def specks(face: Array, grid: Grid) -> tuple[int, Array, float]:
    """(number, areas in cm2, coverage) of places above the median by a quarter of what the 99.5th percentile is; joined across corners, and round the loop."""
    from scipy import ndimage

    low, high = np.percentile(face, (50, 99.5))
    above = face > low + SPECK_SHARE * (high - low)
    if high <= low or not above.any():
        return 0, np.zeros(0), 0.0
    labels, count = ndimage.label(above, structure=np.ones((3, 3)))
    sizes = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    kept = sizes >= LEAST_CELLS if grid.cell_cm2 < 1e-3 else sizes >= 1
    return int(kept.sum()), sizes[kept] * grid.cell_cm2, float(above.mean())


def half_width_mm(face: Array, grid: Grid) -> float:
    """Where the autocorrelation has fallen to half, mean of along and across, mm."""
    centred = face - face.mean()
    if not centred.any():
        return 0.0
    from scipy import fft

    padded = fft.rfft2(centred, s=(2 * face.shape[0], 2 * face.shape[1]))
    auto = fft.irfft2(np.abs(padded) ** 2)
    return float(np.mean([_half(auto[0, : face.shape[1]], grid.dx_cm), _half(auto[: face.shape[0], 0], grid.dy_cm)])) * 10


def _half(line: Array, step_cm: float) -> float:
    line = line / line[0]
    below = np.flatnonzero(line < 0.5)
    if not below.size:
        return float(line.size * step_cm)
    at = int(below[0])
    return float((at - 1 + (line[at - 1] - 0.5) / (line[at - 1] - line[at])) * step_cm)
