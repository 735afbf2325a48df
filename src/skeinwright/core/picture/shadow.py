"""What a picture's depth does to its light: how open a place lies to the sky, what stands before the lamp, the shadow on the mat.

All work on the depth of each pixel (height, width), towards the eye, in pixels. The strengths are chosen by eye.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.picture.banded import banded
from skeinwright.core.picture.light import Floats

FINE = 2
"""Sub-pixels per pixel, each way."""
LAMP = np.array([-0.42, -0.58, 0.70], dtype=np.float32) / np.float32(np.sqrt(0.42**2 + 0.58**2 + 0.70**2))
"""Unit vector to the lamp: a broad daylight from the upper left."""


def box_mean(field: Floats, radius: int) -> Floats:
    """Mean over a square of 2 radius + 1, the edge repeated."""
    from skeinwright.core.picture.kernels import box_columns_band, box_rows_band

    half, out = np.empty_like(field), np.empty_like(field)
    banded(field.shape[0], lambda a, b: box_rows_band(a, b, field, half, radius), several=1)
    banded(field.shape[1], lambda a, b: box_columns_band(a, b, half, out, radius), several=1)
    return out


def to_pixels(field: Floats) -> Floats:
    """Mean over sub-pixels."""
    from skeinwright.core.picture.kernels import pool_band

    out: Floats = np.empty((field.shape[0] // FINE, field.shape[1] // FINE), dtype=np.float32)
    banded(out.shape[0], lambda a, b: pool_band(a, b, field, out), several=1)
    return out


def open_to_sky(depth: Floats, strand: float, body: float) -> Floats:
    """How open each pixel lies to the sky, 0-1: depth below its surroundings, near and far."""
    from skeinwright.core.picture.kernels import sky_band

    near = box_mean(depth, max(1, round(0.55 * strand)))
    far = box_mean(depth, max(2, round(0.5 * body)))
    out: Floats = np.empty_like(depth)
    banded(len(depth), lambda a, b: sky_band(a, b, depth, near, far, strand, body, out), several=1)
    return out


def lamp_seen(depth: Floats, body: float, softness: float) -> Floats:
    """Share of the lamp that each pixel sees, 0-1: the depth is searched along the way to the lamp, with a softer edge the farther it goes."""
    from skeinwright.core.picture.kernels import lamp_band

    flat = float(np.hypot(LAMP[0], LAMP[1]))
    distance = np.geomspace(max(1.0, 0.35 * softness), max(3.0, 2.6 * body), 9)
    dx, dy = np.round(LAMP[0] / flat * distance).astype(np.int64), np.round(LAMP[1] / flat * distance).astype(np.int64)
    moved = (dx != 0) | (dy != 0)
    seen = np.empty_like(depth)
    banded(
        len(depth),
        lambda a, b: lamp_band(a, b, depth, dx[moved], dy[moved], distance[moved].astype(np.float32), float(LAMP[2]) / flat, float(softness), seen),
    )
    return seen


def mat_light(lamp: Floats, openness: Floats, body: float) -> Floats:
    """Light on the mat: contact shadow and the soft shadow of the whole."""
    cast = box_mean(box_mean(lamp, max(1, round(0.24 * body))), max(1, round(0.34 * body)))
    contact = 0.45 + 0.55 * box_mean(openness, max(1, round(0.06 * body)))
    out: Floats = np.minimum(1.0, 0.62 + 0.38 * cast * contact).astype(np.float32)
    return out


def glint(depth: Floats, strand: float) -> Floats:
    """Light that wet yarn throws back like a mirror, 0-1: (n.h)^48 for the normal of the depth and the half-way direction between lamp and eye."""
    smooth = box_mean(depth, max(1, round(0.25 * strand)))
    down, right = np.gradient(smooth)
    half = LAMP + np.array([0.0, 0.0, 1.0], dtype=np.float32)
    half /= np.float32(np.linalg.norm(half))
    mirror = (-right * half[0] - down * half[1] + half[2]) / np.sqrt(1.0 + right * right + down * down)
    out: Floats = (np.maximum(mirror, 0.0) ** 48).astype(np.float32)
    return out
