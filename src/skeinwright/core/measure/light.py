"""The light on the sheet, from the bare paper round the yarn, and the picture with that light taken out.

    log I_c(x, y) = b0 + b1 x + b2 y + b3 x^2 + b4 x y + b5 y^2       for each channel c, x and y from -1 to 1 over the page
fitted to the medians of 4 mm cells of bare paper by least squares, reweighted eight times (Huber, 1.5 standard deviations).
What is divided by it stands relative to the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.flatten import Flat, Floats, decode
from skeinwright.core.measure.sheet import Box, Sheet

CELL_MM = 4.0
RIM_MM = 3.0
BLOWN = 254
_ROUNDS = 8
_HUBER = 1.5

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Light:
    """The light on the page. `coefficients` (6, 3) of the formula above.

    `residual` is the 95 % of |paper / fit - 1| over the cells. `colour_range` is how far the light's colour changes over the sheet:
    the largest range, over the three channels, of I_c / mean(I) divided by its own mean. `blown` is the share of cells at 254 or more.
    """

    coefficients: Array
    sheet: Sheet
    cells: int
    residual: float
    colour_range: float
    blown: float
    paper: tuple[float, float, float]
    """The paper at the middle of the page, linear 0-1: how bright the photo is."""

    def at(self, x_mm: NDArray[Any], y_mm: NDArray[Any]) -> Array:
        """I (..., 3) at places on the page."""
        return np.asarray(np.exp(_terms(x_mm, y_mm, self.sheet) @ self.coefficients), dtype=float)


@dataclass(frozen=True, slots=True)
class NoPaper:
    """Too little bare paper was seen to know the light by; `blown` is the share of cells at 254 or more."""

    cells: int
    blown: float


def light_on(flat: Flat, sheet: Sheet, keep_off: tuple[Box, ...] = (), matrix: Array | None = None) -> Light | NoPaper:
    """The light from a flat picture of the whole page. `keep_off` are further places that are not bare paper."""
    places, values, blown = _paper_cells(flat, sheet, keep_off, matrix)
    share_blown = float(blown.mean()) if len(blown) else 0.0
    fit = ~blown
    if int(fit.sum()) < 30:
        return NoPaper(int(fit.sum()), share_blown)
    places, values = places[fit], values[fit]
    held = _not_covered(values)
    places, values = places[held], values[held]
    if len(values) < 30:
        return NoPaper(len(values), share_blown)
    terms = _terms(places[:, 0], places[:, 1], sheet)
    coefficients = np.stack([_robust(terms, np.log(values[:, channel])) for channel in range(3)], axis=1)
    fitted = np.exp(terms @ coefficients)
    off = np.abs(values / fitted - 1)
    colour = fitted / fitted.mean(axis=1, keepdims=True)
    colour /= colour.mean(axis=0)
    middle = np.exp(_terms(np.array([sheet.width_mm / 2]), np.array([sheet.height_mm / 2]), sheet) @ coefficients)[0]
    return Light(
        coefficients=coefficients,
        sheet=sheet,
        cells=len(values),
        residual=float(np.quantile(off.mean(axis=1), 0.95)),
        colour_range=float(np.ptp(colour, axis=0).max()),
        blown=share_blown,
        paper=(float(middle[0]), float(middle[1]), float(middle[2])),
    )


def even(flat: Flat, light: Light, box: Box, matrix: Array | None = None) -> Floats:
    """The part of the page in `box` relative to the paper: linear sRGB divided by the light, float32. Paper is 1, 1, 1."""
    import cv2

    rows, columns = flat.cut(box)
    linear = decode(flat.pixels[rows, columns], matrix)
    height, width = linear.shape[:2]
    step = 32
    r, c = np.arange(0, height + step, step), np.arange(0, width + step, step)
    x = flat.box.x_mm + (columns.start + c + 0.5) / flat.px_per_mm
    y = flat.box.y_mm + (rows.start + r + 0.5) / flat.px_per_mm
    coarse = (1 / light.at(*np.meshgrid(x, y))).astype(np.float32)
    grid_c, grid_r = np.meshgrid(np.arange(width, dtype=np.float32) / step, np.arange(height, dtype=np.float32) / step)
    linear *= cv2.remap(coarse, grid_c, grid_r, cv2.INTER_LINEAR)
    return linear


def _terms(x_mm: NDArray[Any], y_mm: NDArray[Any], sheet: Sheet) -> Array:
    x = np.asarray(x_mm, dtype=float) / sheet.width_mm * 2 - 1
    y = np.asarray(y_mm, dtype=float) / sheet.height_mm * 2 - 1
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)


def _robust(terms: Array, wanted: Array) -> Array:
    """Least squares, reweighted by Huber's rule with a scale of 1.4826 median |residual|."""
    weight = np.ones(len(wanted))
    found: Array = np.zeros(terms.shape[1])
    for _ in range(_ROUNDS):
        root = np.sqrt(weight)[:, None]
        found = np.asarray(np.linalg.lstsq(terms * root, wanted * root[:, 0], rcond=None)[0], dtype=float)
        off = np.abs(wanted - terms @ found)
        limit = _HUBER * max(1.4826 * float(np.median(off)), 1e-4)
        weight = np.minimum(1.0, limit / np.maximum(off, 1e-12))
    return found


def _paper_cells(flat: Flat, sheet: Sheet, keep_off: tuple[Box, ...], matrix: Array | None) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Middles (n, 2) in mm, median linear RGB (n, 3), and which are blown, of the cells of bare paper."""
    taken = (*sheet.printed, *keep_off)
    places, values, blown = [], [], []
    for y in np.arange(RIM_MM, sheet.height_mm - RIM_MM - CELL_MM, CELL_MM):
        for x in np.arange(RIM_MM, sheet.width_mm - RIM_MM - CELL_MM, CELL_MM):
            box = Box(float(x), float(y), CELL_MM, CELL_MM)
            if any(box.meets(other) for other in taken):
                continue
            pixels = flat.pixels[flat.cut(box)].reshape(-1, 3)
            middle = np.median(pixels, axis=0)
            if middle.max() < 8:  # outside the photo
                continue
            places.append((x + CELL_MM / 2, y + CELL_MM / 2))
            values.append(_typical(decode(pixels, matrix)))
            blown.append(bool(middle.max() >= BLOWN))
    return np.array(places).reshape(-1, 2), np.maximum(np.array(values, dtype=float).reshape(-1, 3), 1e-4), np.array(blown, dtype=bool)


def _typical(linear: Floats) -> Array:
    """The mean of the middle half by brightness: as robust as the median, without its steps of one byte."""
    order = np.argsort(linear.sum(axis=1))
    held = order[len(order) // 4 : max(len(order) * 3 // 4, len(order) // 4 + 1)]
    typical: Array = linear[held].mean(axis=0).astype(float)
    return typical


def _not_covered(values: Array) -> NDArray[np.bool_]:
    """Cells that can be paper: not under a third of the bright ones. A shadow stays in, so that it is noticed."""
    bright = values.mean(axis=1)
    held: NDArray[np.bool_] = bright > 0.3 * float(np.quantile(bright, 0.9))
    return held
