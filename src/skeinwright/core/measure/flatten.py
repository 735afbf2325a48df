"""The sheet seen from straight above: the photograph redrawn at a fixed number of pixels a millimetre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.find import Found
from skeinwright.core.measure.sheet import Box

PX_PER_MM = 8.0
"""Fixed, so that a figure never depends on the distance of the camera. A photo of 12 million pixels filled with A4 has 12 to 13."""
_SHRINK_FROM = 1.35
"""From this many photo pixels a flat pixel, the photo is shrunk by areas first; else fine texture would turn into false patterns."""

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Flat:
    """A piece of the page from straight above: `pixels` (rows, columns, 3) bytes as encoded in the photo, its place on the page, pixels a millimetre."""

    pixels: Bytes
    box: Box
    px_per_mm: float = PX_PER_MM

    def cut(self, box: Box) -> tuple[slice, slice]:
        """The rows and columns whose middles lie in a box on the page, inside the picture."""
        return cut_of(box, self.box, self.px_per_mm, (self.pixels.shape[0], self.pixels.shape[1]))


def cut_of(box: Box, of: Box, px_per_mm: float, shape: tuple[int, int]) -> tuple[slice, slice]:
    """The rows and columns of a picture of the place `of` whose pixels' middles lie in `box`."""
    rows = (np.array([box.y_mm, box.bottom_mm]) - of.y_mm) * px_per_mm
    columns = (np.array([box.x_mm, box.right_mm]) - of.x_mm) * px_per_mm
    top, bottom = (int(np.clip(round(float(value)), 0, shape[0])) for value in rows)
    left, right = (int(np.clip(round(float(value)), 0, shape[1])) for value in columns)
    return slice(top, max(bottom, top)), slice(left, max(right, left))


def flatten(picture: Bytes, found: Found, box: Box | None = None, px_per_mm: float = PX_PER_MM) -> Flat:
    """The part of the page in `box` (the whole page where None) from straight above. What lies outside the photo is black.

    The middle of flat pixel (row r, column c) is the page at x = box.x + (c + 1/2)/px_per_mm, y = box.y + (r + 1/2)/px_per_mm.
    """
    import cv2

    box = box or Box(0, 0, found.sheet.width_mm, found.sheet.height_mm)
    columns, rows = round(box.w_mm * px_per_mm), round(box.h_mm * px_per_mm)
    shrink = min(1.0, _SHRINK_FROM * px_per_mm / found.px_per_mm)
    if shrink < 0.95:
        picture = np.asarray(cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    else:
        shrink = 1.0
    if found.lens_k:
        pixels = cv2.remap(picture, *_maps(found, box, px_per_mm, rows, columns, shrink), cv2.INTER_LINEAR)
    else:
        pixels = cv2.warpPerspective(picture, _matrix(found, box, px_per_mm, shrink), (columns, rows), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    return Flat(np.asarray(pixels, dtype=np.uint8), box, px_per_mm)


def _matrix(found: Found, box: Box, px_per_mm: float, shrink: float) -> NDArray[np.float64]:
    page = np.array([[1 / px_per_mm, 0, box.x_mm + 0.5 / px_per_mm], [0, 1 / px_per_mm, box.y_mm + 0.5 / px_per_mm], [0, 0, 1]])
    small = np.array([[shrink, 0, (shrink - 1) / 2], [0, shrink, (shrink - 1) / 2], [0, 0, 1]])
    matrix: NDArray[np.float64] = small @ found.homography @ page
    return matrix


def _maps(found: Found, box: Box, px_per_mm: float, rows: int, columns: int, shrink: float) -> tuple[Any, Any]:
    """The places in the photo of a coarse net of flat pixels, filled in between (the lens bends smoothly)."""
    import cv2

    step = 16
    r = np.arange(0, rows + step, step)
    c = np.arange(0, columns + step, step)
    page = np.stack(np.meshgrid(box.x_mm + (c + 0.5) / px_per_mm, box.y_mm + (r + 0.5) / px_per_mm), axis=-1)
    places = ((found.to_px(page) + 0.5) * shrink - 0.5).astype(np.float32)
    fine_r, fine_c = np.arange(rows, dtype=np.float32) / step, np.arange(columns, dtype=np.float32) / step
    grid_c, grid_r = np.meshgrid(fine_c, fine_r)
    both = cv2.remap(places, grid_c, grid_r, cv2.INTER_LINEAR)
    return both[..., 0].copy(), both[..., 1].copy()


def decode(pixels: Bytes, matrix: NDArray[np.float64] | None = None) -> Floats:
    """Linear sRGB (..., 3), float32, of encoded bytes; `matrix` (3, 3) brings other primaries to those of sRGB, values outside 0-1 being kept."""
    linear: Floats = _TABLE[pixels]
    if matrix is not None:
        linear = (linear.reshape(-1, 3) @ matrix.T.astype(np.float32)).reshape(pixels.shape)
    return linear


def _table() -> Floats:
    encoded = np.arange(256) / 255
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4).astype(np.float32)


_TABLE = _table()
