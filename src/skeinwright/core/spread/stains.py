"""Stains of single grains on wet paper, found in a picture from straight above."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.arrays import Array

SEEN_FROM = 0.06
"""A stain counts from this share of the strongest stains' height (99.5th percentile) on, and from five times the paper's own unevenness."""
LONGEST = 1.8
"""A stain longer than so many times its width is two grains, or a hair."""
LEAST_PX = 5
CROWDED = 0.12
"""Above this share of the paper under stains they run together, and counting fails (note of the spread model)."""
WHITE = 0.9


@dataclass(frozen=True, slots=True)
class Stains:
    """Areas at half height (mm2) of stains that stand alone, how many were left out because they touch another or the edge, and the share that is stained."""

    areas_mm2: Array
    left_out: int
    coverage: float


def find_stains(rgb: Array, px_per_mm: float) -> Stains:
    """Single stains in a picture (rows, columns, 3) of linear light against the paper's white.

    The channel with most contrast is turned into K/S = (1 - R)^2/(2 R), R = 0.9 value/its median (the paper); each patch above the threshold is one stain if
    half of its own height encloses one round patch. Raises BadInput where nothing is seen, or more than 12 % of the paper is stained.
    """
    from scipy.ndimage import find_objects, gaussian_filter, label

    ks = _contrast(rgb)
    smooth = gaussian_filter(ks, 1.0)
    noise = 1.4826 * float(np.median(np.abs(smooth)))
    floor = max(SEEN_FROM * float(np.quantile(smooth, 0.995)), 5 * noise, 0.01)
    marks, count = label(smooth > floor)
    coverage = float((marks > 0).mean())
    if count == 0:
        raise BadInput("No stain can be seen in this photo: sprinkle a little more, or take it nearer.", where="photo")
    if coverage > CROWDED:
        share = f"{100 * coverage:.0f} % of the paper is stained"
        raise BadInput(f"{share}: stains run together above {100 * CROWDED:.0f} %, and cannot be counted. Sprinkle less.", where="photo")
    found = [_area_px(smooth, marks, number, place) for number, place in enumerate(find_objects(marks), 1)]
    alone = [area for area in found if area is not None]
    return Stains(np.array(alone, dtype=float) / px_per_mm**2, count - len(alone), coverage)


def _contrast(rgb: Array) -> Array:
    """K/S over the paper's own, in the channel where it varies most."""
    middle = np.median(rgb.reshape(-1, 3), axis=0)
    reflectance = np.clip(WHITE * np.asarray(rgb, dtype=float) / np.maximum(middle, 1e-6), 0.01, 1.0)
    ks = (1 - reflectance) ** 2 / (2 * reflectance)
    ks -= np.median(ks.reshape(-1, 3), axis=0)
    return np.asarray(ks[..., int(np.argmax(ks.reshape(-1, 3).std(axis=0)))])


def _area_px(smooth: Array, marks: Array, number: int, place: tuple[slice, slice]) -> float | None:
    """Pixels above half of a mark's own height; None where it lies at the edge or is no single round stain."""
    from scipy.ndimage import label

    rows, columns = place
    if rows.start == 0 or columns.start == 0 or rows.stop == smooth.shape[0] or columns.stop == smooth.shape[1]:
        return None
    height = np.where(marks[place] == number, smooth[place], 0.0)
    core = height > 0.5 * height.max()
    many = label(core)[1]
    area = float(core.sum())
    if many != 1 or area < LEAST_PX:
        return None
    y, x = np.nonzero(core)
    spread = np.linalg.eigvalsh(np.cov(np.stack([x, y])) + np.eye(2) / 12)
    return area if float(spread[1] / spread[0]) ** 0.5 <= LONGEST else None
