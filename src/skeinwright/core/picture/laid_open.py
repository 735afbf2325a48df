"""A skein laid open on the mat: all strands side by side round a long loop, tied at two places.

A skein of 1.5 m laid open is 0.75 m long, so the strands are drawn about two and a half times as thick against the loop as they are.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Floats, Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.shadow import LAMP
from skeinwright.core.picture.strands import Centres, Placed, from_curves, join

LOOP_MM = 750.0
EMPHASIS = 1.0
PIECE = 3.0
TIES = (0.1034, 0.6034)
"""Where the ties lie, shares of the drawn loop: the middle of the upper limb, and that of the lower."""


def _stadium(length: float, across: float, step: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The middle line of the loop (n, 2) about the origin, closed, and its outward unit normals (n, 2)."""
    straight, bend = length - across, np.pi * across / 2.0
    total = 2.0 * (straight + bend)
    s = np.arange(round(total / step)) * (total / round(total / step))
    radius = across / 2.0
    s1, s2, s3 = straight, straight + bend, 2.0 * straight + bend
    angle = np.select(
        [s < s1, s < s2, s < s3], [np.full_like(s, -np.pi / 2), -np.pi / 2 + (s - s1) / radius, np.full_like(s, np.pi / 2)], np.pi / 2 + (s - s3) / radius
    )
    x0 = np.select([s < s1, s < s2, s < s3], [s - straight / 2, np.full_like(s, straight / 2), straight / 2 - (s - s2)], np.full_like(s, -straight / 2))
    normal = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return np.stack([x0, np.zeros_like(s)], axis=1) + radius * normal, normal


def _limb(
    rng: np.random.Generator,
    middle: NDArray[np.float64],
    normal: NDArray[np.float64],
    breadth: float,
    mound: float,
    strand_radius: float,
    lift: float,
    fullness: float,
) -> Centres:
    """One layer of strands round the loop; lift 1 is the top layer, 0 the mat."""
    at = (np.arange(len(middle)) * PIECE).astype(np.float32)
    count = max(4, round(breadth / (2.0 * strand_radius) * fullness))
    lane = (np.linspace(-1.0, 1.0, count, dtype=np.float32))[:, None]

    def uneven(rows: int, wavelength: float) -> Floats:
        return np.clip(wander(rng, rows, at, wavelength, loop=True), -1.6, 1.6)

    side = np.float32(breadth / 2) * lane * (1.0 + np.float32(0.12) * uneven(1, 4.0 * breadth))
    side = side + np.float32(strand_radius) * (np.float32(0.8) * uneven(count, 0.8 * breadth) + np.float32(2.4) * uneven(count, 2.6 * breadth))
    height = np.float32(mound * lift) * np.sqrt(np.maximum(0.0, 1.0 - np.float32(0.95) * lane**2)) + np.float32(0.9 * strand_radius) * uneven(
        count, 1.6 * breadth
    )
    nx, ny = normal[:, 0].astype(np.float32), normal[:, 1].astype(np.float32)
    slope = np.float32(0.75) * lane
    lamp = (slope * (LAMP[0] * nx + LAMP[1] * ny) + LAMP[2]) / np.sqrt(1.0 + slope**2)
    light = (np.float32(0.62) + np.float32(0.55) * lamp) * np.exp(np.float32(0.06) * rng.standard_normal((count, 1), dtype=np.float32))
    place = np.stack([middle[:, 0].astype(np.float32) + side * nx, middle[:, 1].astype(np.float32) + side * ny, height])
    return from_curves(place, radius=strand_radius, at=at, light=light)


def _tie(middle: Floats, normal: Floats, breadth: float, mound: float, strand_radius: float) -> Centres:
    """A strand tied round the limb: an arch over it, from the mat to the mat."""
    t = np.linspace(-1.0, 1.0, max(24, int(1.4 * breadth / PIECE)), dtype=np.float32)
    lean = np.float32(2.0 * strand_radius) * t
    place = np.stack(
        [
            middle[0] + t * np.float32(0.56 * breadth) * normal[0] + lean,
            middle[1] + t * np.float32(0.56 * breadth) * normal[1],
            np.float32(mound + 3.0 * strand_radius) * np.sqrt(np.maximum(0.0, 1.0 - t**2)),
        ]
    )
    step = np.linalg.norm(np.diff(place, axis=1), axis=0)
    return from_curves(place[:, None, :], radius=strand_radius, at=np.concatenate([[0.0], np.cumsum(step)]).astype(np.float32))


@lru_cache(maxsize=3)
def laid_open_scene(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Scene:
    """A skein laid open, cached; its first tie, from which all is measured, is in the middle of the upper limb. 120 to 2400 pixels wide, 80 to 1800 high.

    The same look, size and seed give the same bytes.
    """
    if not (120 <= width <= 2400 and 80 <= height <= 1800):
        raise BadInput("A picture is 120 to 2400 pixels wide and 80 to 1800 high.", where="size")
    rng = np.random.default_rng([seed, 4])
    length = min(0.90 * width, 1.45 * height)
    strand = max(0.3, 0.5 * look.outline_mm * EMPHASIS * length / LOOP_MM)
    breadth, mound = 0.115 * length, 0.042 * length
    middle, normal = _stadium(length - breadth, 0.42 * length, PIECE)
    middle = middle + np.array([width / 2, height / 2])
    layers = []
    for size, lift, fullness, face in ((1.0, 1.0, 1.5, 0.0), (0.98, 0.78, 1.4, 0.3), (1.02, 0.50, 1.4, 0.7)):
        layers.append(from_loop(_limb(rng, middle, normal, breadth * size, mound, strand, lift, fullness), face, len(middle) * PIECE, TIES[0]))
    for where in TIES:
        at = int(where * len(middle))
        tie = _tie(middle[at].astype(np.float32), normal[at].astype(np.float32), breadth, mound, strand)
        layers.append(Placed(tie, *(np.array([value]) for value in ((where - TIES[0]) % 1.0, 0.0, 0.5, 0.0))))
    drawn = drawn_of("loop", layers, 4.0 * length)
    centres = join([layer.centres for layer in layers])
    body, px_per_mm = mound + breadth / 4, length / LOOP_MM
    return draw(
        centres, look, width=width, height=height, seed=seed, body=body, mat_z=-strand, closed=True, hair=5.0, drawn=drawn, px_per_mm=px_per_mm
    )


def from_loop(limb: Centres, face: float, length_px: float, tie: float) -> Placed:
    """Strands that go once round, side by side: rows across, from the outside in; s starts at the tie (share of the drawn loop)."""
    count = int(limb.strand.max(initial=0)) + 1
    return Placed(limb, np.full(count, -tie), np.full(count, 1.0 / length_px), np.linspace(0.0, 1.0, count), np.full(count, face))


@lru_cache(maxsize=3)
def laid_open(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Light:
    """The light on a skein laid open, cached."""
    return laid_open_scene(look, width=width, height=height, seed=seed).light
