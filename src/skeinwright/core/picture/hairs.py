"""The halo: loose fibres that leave their strands."""

from __future__ import annotations

import numpy as np

from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.shadow import FINE
from skeinwright.core.picture.strands import Centres, basis


def loose_fibres(
    rng: np.random.Generator, centres: Centres, look: StrandLook, near: Floats, width: int, height: int, share: float
) -> tuple[Floats, Floats]:
    """Loose fibres: coverage and light of each sub-pixel. Each is a short bent curve that leaves a strand near its own direction.

    `near` is the share of yarn round each pixel: half of the fibres start at the outline, where they are seen.
    """
    shape = FINE * height, FINE * width
    size = shape[0] * shape[1]
    count = int(share * look.halo * float((centres.piece / centres.radius).sum()) * 0.35)
    if count == 0:
        return np.zeros(shape, dtype=np.float32), np.zeros(shape, dtype=np.float32)
    root = rng.integers(0, len(centres.radius), count)
    column, row = np.clip(centres.at[0], 0, width - 1).astype(np.int32), np.clip(centres.at[1], 0, height - 1).astype(np.int32)
    rim = np.flatnonzero(near[row, column] < 0.82)
    loose = rng.random(count, dtype=np.float32) < 0.5
    if len(rim):
        root[loose] = rim[rng.integers(0, len(rim), int(loose.sum()))]
    short = rng.random(count, dtype=np.float32) < 0.8
    reach = centres.radius[root] * rng.gamma(2.2, 0.6 + 0.6 * look.halo, count).astype(np.float32) * np.where(short, np.float32(0.45), np.float32(1.3))
    heading = (
        np.arctan2(centres.along[1][root], centres.along[0][root])
        + rng.normal(0.0, 1.0, count).astype(np.float32) * np.where(loose, np.float32(1.2), np.float32(0.6))
        + np.float32(np.pi) * rng.integers(0, 2, count).astype(np.float32)
    )
    steps = int(np.clip(1.6 * FINE * float(np.percentile(reach, 90)), 6, 80))
    t = np.linspace(0.0, 1.0, steps, dtype=np.float32)[None, :]
    direction = heading[:, None] + rng.normal(0.0, 1.2, count).astype(np.float32)[:, None] * t
    stride = (reach / steps)[:, None]
    across, _ = basis(centres.along[:, root])
    start = rng.uniform(-0.9, 0.9, count).astype(np.float32) * centres.radius[root]
    column = (((centres.at[0][root] + start * across[0])[:, None] + np.cumsum(np.cos(direction), axis=1) * stride) * FINE).astype(np.int32)
    row = (((centres.at[1][root] + start * across[1])[:, None] + np.cumsum(np.sin(direction), axis=1) * stride) * FINE).astype(np.int32)
    inside = (column >= 0) & (column < FINE * width) & (row >= 0) & (row < FINE * height)
    thickness = (0.22 + 0.42 * rng.random(count, dtype=np.float32))[:, None] * (1.0 - 0.7 * t) * np.minimum(1.0, stride * FINE)
    tone = np.broadcast_to((0.60 + 0.55 * rng.random(count, dtype=np.float32))[:, None], column.shape)
    place, weight = (row * np.int32(FINE * width) + column)[inside], thickness[inside]
    cover = np.bincount(place, weights=weight, minlength=size)
    lit = np.bincount(place, weights=weight * tone[inside], minlength=size)
    light = np.divide(lit, cover, out=np.zeros_like(lit), where=cover > 0)
    return np.minimum(cover, 0.55).reshape(shape).astype(np.float32), light.reshape(shape).astype(np.float32)
