"""The limb of a skein: a layer of strands that run side by side along a middle line, as both the pan and the mat show it.

Strands waver one by one, and in locks: bundles that lean and rise together, as
    locks(a, s) = sum over k of w_k(s) cos(k pi (a + 1)/2 + k)/sqrt(k),   a = -1..1 across the limb, w_k smooth along it.
Lengths are in pixels. All amounts are chosen by eye, and go by the strand's true thickness and the limb's breadth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.shadow import LAMP
from skeinwright.core.picture.strands import Centres, Placed, from_curves

PIECE = 5.0
"""Pixels from one point of a strand to the next, at most."""
LOCKS = 9


@dataclass(frozen=True, slots=True)
class Manner:
    """How strands lie: `swell` of the breadth along the loop, `near` and `far` wavering of a strand in its radii, `rise` its height in its radii,
    `lock` of the breadth by which bundles lean, `slope` of the mound's sides, and how much light there is anyway and from the lamp."""

    swell: float
    near: float
    far: float
    rise: float
    lock: float
    slope: float
    base_light: float
    lamp_light: float


ON_MAT = Manner(swell=0.12, near=0.8, far=2.4, rise=0.9, lock=0.016, slope=0.75, base_light=0.62, lamp_light=0.55)
IN_WATER = Manner(swell=0.10, near=1.0, far=3.0, rise=1.1, lock=0.020, slope=0.55, base_light=0.66, lamp_light=0.48)
"""In water they waver more and lie flatter."""


def piece_px(breadth: float) -> float:
    """Pixels from one point of a strand to the next, in a limb of that breadth: in a small picture bends are small, too."""
    return min(PIECE, max(1.5, 0.08 * breadth))


def limb(
    rng: np.random.Generator,
    middle: NDArray[np.float64],
    normal: NDArray[np.float64],
    *,
    breadth: float,
    mound: float,
    strand_radius: float,
    count: int,
    manner: Manner,
    piece: float = PIECE,
) -> Centres:
    """One layer of `count` strands all the way round a closed middle line (n, 2) with outward normals (n, 2), a point every `piece` pixels."""
    at = (np.arange(len(middle)) * piece).astype(np.float32)
    lane = np.linspace(-1.0, 1.0, count, dtype=np.float32)[:, None]

    def uneven(rows: int, wavelength: float) -> Floats:
        return np.clip(wander(rng, rows, at, wavelength, loop=True), -1.6, 1.6)

    locks = _locks(lane, uneven(LOCKS, 1.7 * breadth))
    inside = np.sqrt(np.maximum(0.0, 1.0 - np.float32(0.95) * lane**2))
    side = np.float32(breadth / 2) * lane * (1.0 + np.float32(manner.swell) * uneven(1, 3.5 * breadth))
    stray = np.float32(0.2) + np.float32(0.8) * inside
    side += np.float32(strand_radius) * (np.float32(manner.near) * uneven(count, 0.8 * breadth) + np.float32(manner.far) * stray * uneven(count, 2.4 * breadth))
    side += np.float32(manner.lock * breadth) * locks * inside
    height = np.float32(mound) * inside * (1.0 + np.float32(0.10) * locks) + np.float32(manner.rise * strand_radius) * uneven(count, 1.5 * breadth)
    nx, ny = normal[:, 0].astype(np.float32), normal[:, 1].astype(np.float32)
    slope = np.float32(manner.slope) * lane
    lamp = (slope * (LAMP[0] * nx + LAMP[1] * ny) + LAMP[2]) / np.sqrt(1.0 + slope**2)
    light = (np.float32(manner.base_light) + np.float32(manner.lamp_light) * lamp) * np.exp(
        np.float32(0.06) * rng.standard_normal((count, 1), dtype=np.float32) + np.float32(0.035) * locks
    )
    place = np.stack([middle[:, 0].astype(np.float32) + side * nx, middle[:, 1].astype(np.float32) + side * ny, height])
    return from_curves(place, radius=strand_radius, at=at, light=light, closed=True)


@dataclass(frozen=True, slots=True)
class Layer:
    """One of the layers of a limb, from the top: its breadth and its height over those of the limb, how many strands lie there for each that has room
    side by side, and the face of the map that it shows (0 above - 1 below)."""

    breadth: float
    height: float
    fullness: float
    face: float


def layers(
    rng: np.random.Generator,
    middle: NDArray[np.float64],
    normal: NDArray[np.float64],
    of: Sequence[Layer],
    *,
    breadth: float,
    mound: float,
    strand_radius: float,
    manner: Manner,
    tie: float,
    piece: float,
    most: int = 65000,
) -> list[Placed]:
    """The layers of a limb all the way round, each of at most `most` strands; s starts at the tie (share of the drawn loop)."""
    found = []
    for one in of:
        count = max(4, min(round(breadth * one.breadth / (2.0 * strand_radius) * one.fullness), most))
        layer = limb(
            rng, middle, normal, breadth=breadth * one.breadth, mound=mound * one.height, strand_radius=strand_radius, count=count, manner=manner, piece=piece
        )  # fmt: skip
        found.append(from_loop(layer, one.face, len(middle) * piece, tie))
    return found


def _locks(lane: Floats, weights: Floats) -> Floats:
    """(strands, points), about -2..2."""
    k = np.arange(1, len(weights) + 1, dtype=np.float32)
    shapes = np.cos(np.float32(np.pi / 2.0) * (lane + 1.0) * k + k) / np.sqrt(k)
    found: Floats = (shapes @ weights).astype(np.float32)
    return found


def from_loop(strands: Centres, face: float, length_px: float, tie: float) -> Placed:
    """Strands that go once round, side by side: rows across, from the outside in; s starts at the tie (share of the drawn loop)."""
    count = int(strands.strand.max(initial=0)) + 1
    return Placed(strands, np.full(count, -tie), np.full(count, 1.0 / length_px), np.linspace(0.0, 1.0, count), np.full(count, face))
