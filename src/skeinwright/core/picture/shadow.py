"""What a picture's depth does to its light: how open a place lies to the sky, what stands before the lamp, the shadow on the mat.

All work on the depth of each pixel (height, width), towards the eye, in pixels. The strengths are chosen by eye.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.picture.light import Floats

FINE = 2
"""Sub-pixels per pixel, each way."""
LAMP = np.array([-0.42, -0.58, 0.70], dtype=np.float32) / np.float32(np.sqrt(0.42**2 + 0.58**2 + 0.70**2))
"""Unit vector to the lamp: a broad daylight from the upper left."""


def box_mean(field: Floats, radius: int) -> Floats:
    from scipy.ndimage import uniform_filter

    out: Floats = uniform_filter(field, 2 * radius + 1, mode="nearest")
    return out


def to_pixels(depth: Floats) -> Floats:
    """Mean over sub-pixels."""
    a = depth[0::2, 0::2] + depth[0::2, 1::2] + depth[1::2, 0::2] + depth[1::2, 1::2]
    out: Floats = a * np.float32(0.25)
    return out


def open_to_sky(depth: Floats, strand: float, body: float) -> Floats:
    """How open each pixel lies to the sky, 0-1: depth below its surroundings, near and far."""
    near = np.maximum(0.0, box_mean(depth, max(1, round(0.55 * strand))) - depth) / strand
    far = np.maximum(0.0, box_mean(depth, max(2, round(0.5 * body))) - depth) / body
    out: Floats = 1.0 / (1.0 + near) / (1.0 + np.float32(0.8) * far)
    return out


def lamp_seen(depth: Floats, body: float, softness: float) -> Floats:
    """Share of the lamp that each pixel sees, 0-1: the depth is searched along the way to the lamp, with a softer edge the farther it goes."""
    flat = float(np.hypot(LAMP[0], LAMP[1]))
    rise = float(LAMP[2]) / flat
    seen = np.ones_like(depth)
    height, width = depth.shape
    for distance in np.geomspace(max(1.0, 0.35 * softness), max(3.0, 2.6 * body), 9):
        dx, dy = round(LAMP[0] / flat * distance), round(LAMP[1] / flat * distance)
        if dx == 0 and dy == 0:
            continue
        if -dy >= height or -dx >= width:
            break
        blocker = depth[: height + dy, : width + dx]
        target = depth[-dy:, -dx:]
        above = (blocker - target - np.float32(rise * distance)) / np.float32(softness + 0.22 * distance)
        np.minimum(seen[-dy:, -dx:], 1.0 - np.clip(above, 0.0, 1.0), out=seen[-dy:, -dx:])
    return seen


def to_sub_pixels(field: Floats) -> Floats:
    """Each pixel's value for its sub-pixels."""
    out: Floats = np.repeat(np.repeat(field, FINE, axis=0), FINE, axis=1)
    return out


def close_gaps(solid: Floats, depth: Floats, strand: float) -> None:
    """Fills small gaps, in place, with yarn that lies a strand deeper than its surroundings."""
    radius = max(2, round(1.6 * strand))
    share = box_mean(to_pixels(solid), radius)
    around = box_mean(to_pixels(solid * depth), radius) / np.maximum(share, np.float32(1e-3)) - np.float32(strand)
    gap = (solid == 0.0) & (to_sub_pixels(share) > 0.72)
    depth[gap] = to_sub_pixels(around.astype(np.float32))[gap]
    solid[gap] = 1.0


def mat_light(lamp: Floats, openness: Floats, body: float) -> Floats:
    """Light on the mat: contact shadow and the soft shadow of the whole."""
    cast = box_mean(box_mean(lamp, max(1, round(0.24 * body))), max(1, round(0.34 * body)))
    contact = 0.45 + 0.55 * box_mean(openness, max(1, round(0.06 * body)))
    out: Floats = np.minimum(1.0, 0.62 + 0.38 * cast * contact).astype(np.float32)
    return out
