"""How sharp a photograph is, in millimetres on the page: the width of the edges of the printed marks.

An edge between black and white paper is a step; what the photograph makes of it is the camera's. The 10-90 % width is taken on the mean
profile across each outer side of each mark, and the median of all sides is the blur. It does not depend on the yarn, as measures of contrast do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.flatten import Flat, decode
from skeinwright.core.measure.sheet import MARKER_MM, Sheet

Array = NDArray[np.float64]

REACH_MM = 2.0
STEP_MM = 0.05


@dataclass(frozen=True, slots=True)
class Blur:
    """`width_mm` is the median 10-90 % width, `overshoot` how far the profile leaves black and white beside the edge (0.08 = 8 %: sharpened)."""

    width_mm: float
    overshoot: float
    edges: int


def blur_of(flat: Flat, sheet: Sheet, ids: tuple[int, ...]) -> Blur | None:
    """The blur of a flat picture of the page from the marks that were seen, or None where no edge can be read."""
    found = [_width(profile) for mark in ids for profile in _profiles(flat, sheet, mark)]
    read = [each for each in found if each is not None]
    if not read:
        return None
    return Blur(float(np.median([width for width, _ in read])), float(np.median([over for _, over in read])), len(read))


def _profiles(flat: Flat, sheet: Sheet, mark: int) -> list[Array]:
    """The mean brightness across each of the four sides, from inside (black) to outside (white), every 0.05 mm."""
    import cv2

    x, y = sheet.marks[mark]
    across = np.arange(-REACH_MM, REACH_MM + STEP_MM / 2, STEP_MM)
    along = np.arange(3.0, MARKER_MM - 3.0, 0.2)
    profiles = []
    for side in range(4):
        step, run = np.meshgrid(across, along)
        px, py = ((x + run, y - step), (x + MARKER_MM + step, y + run), (x + run, y + MARKER_MM + step), (x - step, y + run))[side]
        columns = ((px - flat.box.x_mm) * flat.px_per_mm - 0.5).astype(np.float32)
        rows = ((py - flat.box.y_mm) * flat.px_per_mm - 0.5).astype(np.float32)
        seen = cv2.remap(flat.pixels, columns, rows, cv2.INTER_LINEAR)
        lines = decode(np.asarray(seen, dtype=np.uint8)).mean(axis=2)
        profiles.append(_joined(lines, across))
    return profiles


def _joined(lines: NDArray[np.float32], across: Array) -> Array:
    """The mean of the lines, each moved so that its own half-way point lies at nought: a mark that lies a little askew is no blur."""
    low, high = np.quantile(lines[:, : len(across) // 4], 0.5), np.quantile(lines[:, -len(across) // 4 :], 0.5)
    blocks = np.array_split(lines, 8)
    moved = []
    for block in blocks:
        mean = block.mean(axis=0, dtype=np.float64)
        at = _crossing(across, mean, float(low + high) / 2)
        moved.append(np.interp(across, across - (at if at is not None else 0.0), mean))
    return np.asarray(np.mean(moved, axis=0), dtype=float)


def _width(profile: Array) -> tuple[float, float] | None:
    across: Array = np.arange(len(profile), dtype=float) * STEP_MM
    quarter = len(profile) // 4
    low, high = float(np.median(profile[:quarter])), float(np.median(profile[-quarter:]))
    if high - low < 0.05:
        return None
    share = (profile - low) / (high - low)
    first, last = _crossing(across, share, 0.1), _crossing(across, share, 0.9)
    if first is None or last is None:
        return None
    return last - first, float(max(share.max() - 1, -share.min(), 0.0))


def _crossing(across: Array, profile: Array, level: float) -> float | None:
    """Where a rising profile passes a level, nearest to its steepest place."""
    above = profile >= level
    places = np.flatnonzero(above[1:] & ~above[:-1])
    if len(places) == 0:
        return None
    steepest = int(np.argmax(np.diff(profile)))
    place = int(places[np.argmin(np.abs(places - steepest))])
    rise = profile[place + 1] - profile[place]
    return float(across[place] + (level - profile[place]) / rise * (across[place + 1] - across[place]))
