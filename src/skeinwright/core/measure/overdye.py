"""An overdye painted on the photograph of the very skein: its light, its strands and its unevenness stay, its colours change.

Each colour of the skein's palette stands before and after the dye as b_k and a_k (linear light); a pixel is taken as a mixture of the colours that it is
near to (by their shading rays), as pixels at the edge of a spot are, so
    rgb_after = rgb_before x (sum_k w_k a_k + e) / (sum_k w_k b_k + e),    w_k proportional to exp(-(D_k / 0.05)^2),   e = 0.004
A dye multiplies light, which is why shadow and crest may share a factor.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.flatten import PX_PER_MM, cut_of
from skeinwright.core.measure.oklab import oklab
from skeinwright.core.measure.ray import ray_distance
from skeinwright.core.measure.reading import PhotoReading, PieceColours
from skeinwright.core.measure.sheet import Box

Array = NDArray[np.float64]

MARGIN_MM = 1.0
"""Little, so that pictures laid edge to edge show yarn beside yarn."""
WIDTH = 0.05
LIFT = 0.004
SOFT_MM = 0.2


def skein_colours(reading: PhotoReading, piece: PieceColours) -> Array:
    """The skein's own colours, ground first, as linear sRGB of a perfect white (k, 3)."""
    assert reading.correction is not None
    return reading.correction.apply(np.array([piece.found.ground, *piece.found.others]))


def painted(reading: PhotoReading, piece: PieceColours, after: Array | None = None) -> NDArray[np.uint8]:
    """The flat picture (rows, columns, 3) of one piece, sRGB bytes, as it is or with its colours turned to `after` (k, 3), linear sRGB."""
    import cv2

    window, box, correction = reading.window, reading.window_box, reading.correction
    if window is None or box is None or correction is None:
        raise ValueError("a refused photo has no picture to paint on")
    rows, columns = _view(piece, box, (window.shape[0], window.shape[1]))
    picture = window[rows, columns]
    linear = correction.apply(picture.reshape(-1, 3).astype(np.float64)).reshape(picture.shape)
    if after is not None:
        before = skein_colours(reading, piece)
        weights = _weights(oklab(picture), np.array([piece.found.ground, *piece.found.others]))
        weights = np.asarray(cv2.GaussianBlur(weights, (0, 0), SOFT_MM * PX_PER_MM), dtype=np.float32)  # the edge of a spot is soft in the photo too
        changed = linear * (_mixed(weights, after) + LIFT) / (_mixed(weights, before) + LIFT)
        mask = piece.piece.mask[rows, columns].astype(np.float32)
        cover = cv2.GaussianBlur(mask, (0, 0), 1.2)[..., None]
        linear = linear + (changed - linear) * cover
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)
    return np.asarray(np.clip(np.rint(encoded * 255), 0, 255), dtype=np.uint8)


def _view(piece: PieceColours, box: Box, shape: tuple[int, int]) -> tuple[slice, slice]:
    points = np.array(piece.piece.outline_mm)
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    around = Box(float(x0), float(y0), float(x1 - x0), float(y1 - y0)).grown(MARGIN_MM)
    return cut_of(around, box, PX_PER_MM, shape)


def _mixed(weights: NDArray[np.float32], colours: Array) -> Array:
    """sum_k w_k c_k (rows, columns, 3); weights of one colour come without their last axis."""
    return np.asarray(weights.reshape(*weights.shape[:2], -1) @ np.maximum(colours, 0), dtype=np.float64)


def _weights(lab: NDArray[np.float32], colours: Array) -> NDArray[np.float32]:
    distances = np.stack([ray_distance(lab, centre) for centre in oklab(colours)], axis=-1)
    weights = np.exp(-((distances / WIDTH) ** 2) + (distances.min(axis=-1, keepdims=True) / WIDTH) ** 2)
    return np.asarray(weights / weights.sum(axis=-1, keepdims=True), dtype=np.float32)
