"""Whether the sheet is flat between its marks: the printed ruler must lie where flatness puts it.

The marks stand in the corners; a sheet that bulges in its middle leaves them in place. The ruler's 21 long ticks and its line are looked for within
1.5 mm of their places on the flattened page, and the distance that remains is the miss.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.flatten import Flat, decode
from skeinwright.core.measure.sheet import Box, Sheet

Array = NDArray[np.float64]

LOOK_MM = 1.5
LINE_MM = 34.0
LEAST_TICKS = 12


def ruler_miss_mm(flat: Flat, sheet: Sheet) -> float | None:
    """The root mean square distance (mm) of the ruler's ticks from their places, or None where too few are seen."""
    across, down = [], []
    for place in range(21):
        x = sheet.ruler.x_mm + 10 * place
        tick = _darkest(flat, Box(x - LOOK_MM, LINE_MM - 3.2, 2 * LOOK_MM, 1.2), axis=0)
        if tick is not None:
            across.append(tick)
        if place < 20:
            line = _darkest(flat, Box(x + 1.3, LINE_MM - LOOK_MM, 2.4, 2 * LOOK_MM), axis=1)
            if line is not None:
                down.append(line)
    if len(across) < LEAST_TICKS:
        return None
    square = float(np.mean(np.square(across)))
    if len(down) >= LEAST_TICKS:
        off = np.array(down) - np.median(down)  # where the ticks' feet begin is not told apart from the line, so only its bend counts
        square += float(np.mean(off**2))
    return float(np.sqrt(square))


def _darkest(flat: Flat, box: Box, axis: int) -> float | None:
    """How far (mm) the dark line in a small box lies from its middle: the centroid of what is darker than half of the darkest. None where there is none."""
    pixels = flat.pixels[flat.cut(box)]
    if pixels.size == 0:
        return None
    profile = decode(pixels).mean(axis=(axis, 2), dtype=np.float64)
    paper = float(np.quantile(profile, 0.7))
    depth = np.maximum(1 - profile / max(paper, 1e-3), 0)
    if depth.max() < 0.12:
        return None
    weight = np.maximum(depth - 0.5 * depth.max(), 0)
    near = np.abs(np.arange(len(weight)) - int(np.argmax(weight))) <= 0.4 * flat.px_per_mm
    weight = weight * near
    centre = float((weight * (np.arange(len(weight)) + 0.5)).sum() / weight.sum())
    return (centre - len(weight) / 2) / flat.px_per_mm
