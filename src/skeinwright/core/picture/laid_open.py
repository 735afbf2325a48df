"""A skein laid open on the mat: all strands side by side round a long loop, tied at two places.

A skein of 1.5 m laid open is 0.75 m long. Its strands are as thick in the picture as they are: a sock yarn is about two pixels wide at 1200 x 800.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Floats, Light
from skeinwright.core.picture.limb import ON_MAT, Layer, layers, piece_px
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.strands import Centres, Placed, from_curves, join

ROUND_MM = 1500.0
FILLS = 0.90, 1.45
"""The drawn loop's length: at most these shares of the picture's width and of its height."""
BREADTH, MOUND, ACROSS = 0.115, 0.042, 0.42
"""Of the drawn loop's length: a limb's breadth and height, and how far apart the limbs' middles lie."""
THINNEST_PX = 0.3
"""Least radius of a strand that is drawn, in pixels: below it nothing of it would be seen."""
LAYERS = (Layer(1.0, 1.0, 1.5, 0.0), Layer(0.98, 0.78, 1.4, 0.3), Layer(1.02, 0.50, 1.4, 0.7))
TIE_ROUNDS = 3
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


def _tie(middle: Floats, normal: Floats, breadth: float, mound: float, strand_radius: float) -> Centres:
    """A strand tied round the limb a few times: arches over it, from the mat to the mat."""
    turn = np.linspace(-np.pi / 2, np.pi / 2, max(24, int(breadth / 2.0)), dtype=np.float32)
    t = np.sin(turn)
    beside = (np.arange(TIE_ROUNDS, dtype=np.float32) - np.float32(0.5 * (TIE_ROUNDS - 1)))[:, None] * np.float32(2.1 * strand_radius)
    lean = np.float32(5.0 * strand_radius) * t * np.cos(1.7 * np.arange(TIE_ROUNDS, dtype=np.float32))[:, None] + beside
    arch = np.float32(mound + 3.0 * strand_radius) * np.cos(turn) + np.float32(0.4) * np.abs(beside)
    across = t * np.float32(0.54 * breadth)
    place = np.stack([middle[0] + across * normal[0] - lean * normal[1], middle[1] + across * normal[1] + lean * normal[0], arch]).astype(np.float32)
    step = np.linalg.norm(np.diff(place, axis=2), axis=0)
    at = np.concatenate([np.zeros((TIE_ROUNDS, 1)), np.cumsum(step, axis=1)], axis=1).astype(np.float32)
    return from_curves(place, radius=strand_radius, at=at)


def loop_px(width: int, height: int) -> float:
    """How long the loop is drawn, in pixels: half of once round."""
    return min(FILLS[0] * width, FILLS[1] * height)


def open_line(width: int, height: int, points: int = 240) -> tuple[NDArray[np.float64], float]:
    """The middle line of the drawn loop: (points, 2) pixels at even distances from the first tie, clockwise; and a limb's breadth."""
    length = loop_px(width, height)
    middle, _ = _stadium(length * (1.0 - BREADTH), ACROSS * length, 0.5)
    at = (TIES[0] + np.arange(points) / points) % 1.0 * len(middle)
    return middle[np.round(at).astype(int) % len(middle)] + np.array([width / 2, height / 2]), BREADTH * length


@lru_cache(maxsize=3)
def laid_open_scene(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1, round_mm: float = ROUND_MM) -> Scene:
    """A skein of `round_mm` once round, laid open, cached; its first tie, from which all is measured, is in the middle of the upper limb.

    120 to 2400 pixels wide, 80 to 1800 high. The same arguments give the same bytes.
    """
    if not (120 <= width <= 2400 and 80 <= height <= 1800):
        raise BadInput("A picture is 120 to 2400 pixels wide and 80 to 1800 high.", where="size")
    rng = np.random.default_rng([seed, 4])
    length = loop_px(width, height)
    px_per_mm = length / (round_mm / 2.0)
    strand = max(THINNEST_PX, 0.5 * look.outline_mm * px_per_mm)
    breadth, mound = BREADTH * length, MOUND * length
    piece = piece_px(breadth)
    middle, normal = _stadium(length - breadth, ACROSS * length, piece)
    middle = middle + np.array([width / 2, height / 2])
    strands = layers(rng, middle, normal, LAYERS, breadth=breadth, mound=mound, strand_radius=strand, manner=ON_MAT, tie=TIES[0], piece=piece)
    for where in TIES:
        at = int(where * len(middle))
        tie = _tie(middle[at].astype(np.float32), normal[at].astype(np.float32), breadth, mound, strand)
        strands.append(Placed(tie, *(np.full(TIE_ROUNDS, value) for value in ((where - TIES[0]) % 1.0, 0.0, 0.5, 0.0))))
    drawn = drawn_of("loop", strands, 4.0 * length)
    centres = join([part.centres for part in strands])
    return draw(
        centres, look, width=width, height=height, seed=seed, body=mound + breadth / 4, mat_z=-strand, closed=True, hair=5.0, drawn=drawn, px_per_mm=px_per_mm
    )


@lru_cache(maxsize=3)
def laid_open(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Light:
    """The light on a skein laid open, cached."""
    return laid_open_scene(look, width=width, height=height, seed=seed).light
