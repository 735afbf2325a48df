"""The halo: loose fibres that leave their strands, and keep their colour."""

from __future__ import annotations

import numpy as np

from skeinwright.core.picture.banded import banded
from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.scene import LEVELS, TOP_LIGHT, Hairs, Words
from skeinwright.core.picture.shadow import FINE
from skeinwright.core.picture.strands import Centres, basis

MOST_COVER = 0.55
MOST_HAIRS = 0.06
"""Loose fibres a pixel of the picture: seen from afar a yarn has more than can be told apart."""
RIM_HAIRS = 0.6, 3.0
"""Loose fibres a pixel of the outline at most, of a smooth yarn and what a hairy one has more [by eye]: where they cover the edge, yarn looks felted."""
FULL_SHADE = 0.84
"""The surface's own light at which a loose fibre is as light as its tone; fibres over a dark side are dark."""
TOP_OF_STRAND, SIDE_OF_STRAND = 1.6, 3.2
"""A strand shows where the picture's depth is at most this many radii above its middle: its own top is one. At the outline it shows from the side."""


def loose_fibres(
    rng: np.random.Generator, centres: Centres, look: StrandLook, near: Floats, depth: Floats, shade: Floats, soft: Floats, share: float, per_step: float
) -> tuple[Floats, Floats, Words, Words]:
    """Loose fibres: coverage, light, strand and step of each sub-pixel. Each is a short bent curve that leaves a strand near its own direction.

    `near` is the share of yarn round each pixel: half of the fibres start at the outline, where they are seen. `depth` (height, width) is what lies on top:
    only strands that show have fibres, so that none of a hidden strand's colour lies over another. `shade` is the light of each pixel's own surface, and
    `soft` that of the place.
    """
    from skeinwright.core.picture.kernels import hair_band

    height, width = depth.shape
    shape = FINE * height, FINE * width
    cover, lit = np.zeros(shape, dtype=np.float32), np.zeros(shape, dtype=np.float32)
    strand, step = np.zeros(shape, dtype=np.uint16), np.zeros(shape, dtype=np.uint16)
    count = min(int(share * look.halo * float((centres.piece / centres.radius).sum()) * 0.35), int(width * height * MOST_HAIRS))
    if count == 0:
        return cover, lit, strand, step
    column, row = np.clip(centres.at[0], 0, width - 1).astype(np.int32), np.clip(centres.at[1], 0, height - 1).astype(np.int32)
    pixel = row * np.int32(width) + column
    below = (depth.take(pixel) - centres.at[2]) / centres.radius
    shown = np.flatnonzero(below < TOP_OF_STRAND)
    if len(shown) == 0:
        return cover, lit, strand, step
    rim = np.flatnonzero((near.take(pixel) < 0.82) & (below < SIDE_OF_STRAND))
    on_top = count - count // 2 if len(rim) else count
    at_rim = min(count - on_top, int((RIM_HAIRS[0] + RIM_HAIRS[1] * look.halo) * float(centres.piece[rim].sum())))
    root = np.concatenate([shown[rng.integers(0, len(shown), on_top)], rim[rng.integers(0, max(1, len(rim)), at_rim)]])
    loose = np.arange(len(root)) >= on_top
    count = len(root)
    short = rng.random(count, dtype=np.float32) < 0.8
    reach = centres.radius[root] * rng.gamma(2.2, 0.6 + 0.6 * look.halo, count).astype(np.float32) * np.where(short, np.float32(0.45), np.float32(1.3))
    heading = (
        np.arctan2(centres.along[1][root], centres.along[0][root])
        + rng.normal(0.0, 1.0, count).astype(np.float32) * np.where(loose, np.float32(1.2), np.float32(0.6))
        + np.float32(np.pi) * rng.integers(0, 2, count).astype(np.float32)
    )
    steps = int(np.clip(1.6 * FINE * float(np.percentile(reach, 90)), 4, 80))
    bend = rng.normal(0.0, 1.2, count).astype(np.float32)
    across, _ = basis(centres.along[:, root])
    start = rng.uniform(-0.9, 0.9, count).astype(np.float32) * centres.radius[root]
    x, y = (FINE * (centres.at[k][root] + start * across[k]) for k in (0, 1))
    thickness = 0.22 + 0.42 * rng.random(count, dtype=np.float32)
    tone = (0.60 + 0.55 * rng.random(count, dtype=np.float32)) * np.clip(shade.take(pixel[root]) / np.float32(FULL_SHADE), 0.35, 1.0)
    places = np.clip(centres.length[root] * np.float32(per_step), 0, 65534).astype(np.uint16)
    numbers, stride = centres.strand[root].astype(np.uint16), (reach / steps * FINE).astype(np.float32)
    banded(
        shape[0],
        lambda a, b: hair_band(a, b, x, y, heading, bend, stride, thickness, tone, numbers, places, steps, soft, MOST_COVER, cover, lit, strand, step),
    )
    return cover, lit, strand, step


def packed(cover: Floats, tone: Floats, strand: Words, step: Words) -> Hairs:
    """The sub-pixels that have loose fibres, in order."""
    where = np.flatnonzero(cover > 0.5 / 255.0)
    rows, columns = np.divmod(where, cover.shape[1])
    start = np.zeros(cover.shape[0] + 1, dtype=np.int32)
    np.cumsum(np.bincount(rows, minlength=cover.shape[0]), out=start[1:])
    level = np.clip(tone.ravel()[where] * np.float32((LEVELS - 1) / TOP_LIGHT) + np.float32(0.5), 0, LEVELS - 1).astype(np.uint16)
    weight = np.round(cover.ravel()[where] * 255.0).astype(np.uint8)
    return Hairs(start, columns.astype(np.uint16), weight, level, strand.ravel()[where], step.ravel()[where])
