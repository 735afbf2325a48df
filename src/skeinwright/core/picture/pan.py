"""A skein in its own pan, at true scale: laid once round where it fits, otherwise wound round twice or more, under a film of water.

The loop's middle line goes `turns` times round a stadium whose perimeter is once round / turns; each turn lies a little beside the one below it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.laid_open import from_loop
from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.shadow import LAMP
from skeinwright.core.picture.strands import Centres, from_curves, join

MOST_TURNS = 8
PIECE = 3.0
ROOM_MM = 12.0
"""Between the skein and the pan's side."""
FLOOR, RIM, OUTSIDE = 0.60, 1.22, 1.0
"""Light on the pan's floor, its rim and the mat, against the mat's: a pan of plain steel, neutral grey, by eye."""


@dataclass(frozen=True, slots=True)
class Pan:
    """A vessel from above, inside measures, and the skein that lies in it: once round, and how wide a limb is laid."""

    length_mm: float
    width_mm: float
    circular: bool
    round_mm: float
    breadth_mm: float
    strands: int

    def __post_init__(self) -> None:
        if min(self.length_mm, self.width_mm) < 60.0 or max(self.length_mm, self.width_mm) > 3000.0 or not 200.0 <= self.round_mm <= 6000.0:
            raise BadInput("A pan is 6 cm to 3 m across, and a skein 20 cm to 6 m once round.", where="vessel")


@dataclass(frozen=True, slots=True)
class Lay:
    """How the skein lies: turns round a stadium of straight length `straight_mm` and bend radius `bend_mm`, limbs `breadth_mm` wide."""

    turns: int
    straight_mm: float
    bend_mm: float
    breadth_mm: float


def lay_in(pan: Pan) -> Lay:
    """The fewest turns that fit; the limb is laid narrower where the pan is too small for its width."""
    side = min(pan.length_mm, pan.width_mm)
    breadth = min(pan.breadth_mm, 0.36 * side)
    for turns in range(1, MOST_TURNS + 1):
        shift = 0.30 * breadth if turns > 1 else 0.0
        long = max(pan.length_mm, pan.width_mm) - breadth - shift - 2.0 * ROOM_MM
        short = side - breadth - shift - 2.0 * ROOM_MM
        if pan.circular:
            long = short
        perimeter = pan.round_mm / turns
        bend = min(short / 2.0, perimeter / (2.0 * np.pi))
        straight = perimeter / 2.0 - np.pi * bend
        if straight + 2.0 * bend <= long:
            return Lay(turns, float(straight), float(bend), float(breadth))
    perimeter = pan.round_mm / MOST_TURNS
    bend = min(short / 2.0, perimeter / (2.0 * np.pi))
    return Lay(MOST_TURNS, max(0.0, long - 2.0 * bend), float(bend), float(breadth))


def pan_scale(pan: Pan, width: int, height: int) -> float:
    """Pixels per mm such that the pan fills the picture but for a margin; a pan that is deeper than wide is turned."""
    return min(0.93 * width / max(pan.length_mm, pan.width_mm), 0.91 * height / min(pan.length_mm, pan.width_mm))


@lru_cache(maxsize=3)
def pan_scene(look: StrandLook, pan: Pan, *, width: int = 900, height: int = 600, seed: int = 1) -> Scene:
    """The skein in its pan, cached. 120 to 1600 pixels wide, 80 to 1200 high. Its tie is in the middle of the upper side."""
    if not (120 <= width <= 1600 and 80 <= height <= 1200):
        raise BadInput("A picture is 120 to 1600 pixels wide and 80 to 1200 high.", where="size")
    rng = np.random.default_rng([seed, 8])
    scale, lay = pan_scale(pan, width, height), lay_in(pan)
    strand = max(0.75, 0.5 * look.outline_mm * scale)
    breadth, mound = lay.breadth_mm * scale, min(0.30 * lay.breadth_mm, 5.0 * look.outline_mm) * scale
    middle, normal, lift = _coil(lay, scale, mound)
    middle = middle + np.array([width / 2, height / 2])
    side_by_side = max(4, round(breadth / (2.0 * strand)))
    layers = []
    for depth, (size, face) in enumerate(((1.0, 0.0), (0.99, 0.25), (1.03, 0.6))):
        count = max(4, min(round(1.25 * side_by_side), pan.strands))
        limb = _limb(rng, middle, normal, lift, breadth * size, mound * (1.0 - 0.38 * depth), strand, count)
        layers.append(from_loop(limb, face, len(middle) * PIECE, 0.0))
    drawn = drawn_of("loop", layers, 65000.0)
    under, water = _pan_light(pan, scale, width, height, seed)
    return draw(
        join([layer.centres for layer in layers]), look, width=width, height=height, seed=seed, body=mound + breadth / 5, mat_z=-strand, closed=True, hair=1.2,
        drawn=drawn, px_per_mm=scale, mat=under, gloss=water, wet=0.11,
    )  # fmt: skip


def _coil(lay: Lay, scale: float, mound: float) -> tuple[NDArray[np.float64], NDArray[np.float64], Floats]:
    """Middle line (n, 2) about the origin, outward normals (n, 2), and how high each place lies; from the middle of the upper side, clockwise."""
    straight, bend = lay.straight_mm * scale, lay.bend_mm * scale
    once = 2.0 * (straight + np.pi * bend)
    count = max(24, round(lay.turns * once / PIECE))
    turn = np.arange(count) / count * lay.turns
    s = (turn % 1.0) * once
    s1, s2, s3, s4 = straight / 2, straight / 2 + np.pi * bend, 1.5 * straight + np.pi * bend, 1.5 * straight + 2.0 * np.pi * bend
    where = [s < s1, s < s2, s < s3, s < s4]
    angle = np.select(where, [np.full_like(s, -np.pi / 2), -np.pi / 2 + (s - s1) / bend, np.full_like(s, np.pi / 2), np.pi / 2 + (s - s3) / bend], -np.pi / 2)
    x = np.select(where, [s, np.full_like(s, s1), s1 - (s - s2), np.full_like(s, -s1)], -s1 + (s - s4))
    normal = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    beside = np.zeros(count)
    lift = np.zeros(count)
    if lay.turns > 1:
        level = np.arange(lay.turns + 1, dtype=float)
        smooth = np.clip((turn % 1.0 - 0.90) / 0.10, 0.0, 1.0)
        smooth = smooth * smooth * (3.0 - 2.0 * smooth)
        which = np.floor(turn).astype(int)
        after = np.where(which + 1 >= lay.turns, 0.0, level[np.minimum(which + 1, lay.turns)])
        place = level[which] * (1.0 - smooth) + after * smooth
        beside = (place / (lay.turns - 1) - 0.5) * 0.5 * lay.breadth_mm * scale * np.where(which % 2 == 0, 1.0, 1.0)
        lift = place * 0.55 * mound
    return np.stack([x, np.zeros_like(x)], axis=1) + (bend + beside)[:, None] * normal, normal, lift.astype(np.float32)


def _limb(
    rng: np.random.Generator,
    middle: NDArray[np.float64],
    normal: NDArray[np.float64],
    lift: Floats,
    breadth: float,
    mound: float,
    strand_radius: float,
    count: int,
) -> Centres:
    """One layer of strands all the way round: they wander, cross, and lie flatter and wetter than on the mat."""
    at = (np.arange(len(middle)) * PIECE).astype(np.float32)
    lane = np.linspace(-1.0, 1.0, count, dtype=np.float32)[:, None]

    def uneven(rows: int, wavelength: float) -> Floats:
        return np.clip(wander(rng, rows, at, wavelength, loop=True), -1.6, 1.6)

    swell = 1.0 + np.float32(0.10) * uneven(1, 3.0 * breadth)
    side = np.float32(breadth / 2) * lane * swell + np.float32(strand_radius) * (
        np.float32(1.0) * uneven(count, 0.7 * breadth) + np.float32(3.0) * uneven(count, 2.2 * breadth)
    )
    height = lift + np.float32(mound) * np.sqrt(np.maximum(0.0, 1.0 - np.float32(0.95) * lane**2)) + np.float32(1.1 * strand_radius) * uneven(
        count, 1.3 * breadth
    )
    nx, ny = normal[:, 0].astype(np.float32), normal[:, 1].astype(np.float32)
    slope = np.float32(0.55) * lane
    lamp = (slope * (LAMP[0] * nx + LAMP[1] * ny) + LAMP[2]) / np.sqrt(1.0 + slope**2)
    light = (np.float32(0.66) + np.float32(0.48) * lamp) * np.exp(np.float32(0.06) * rng.standard_normal((count, 1), dtype=np.float32))
    place = np.stack([middle[:, 0].astype(np.float32) + side * nx, middle[:, 1].astype(np.float32) + side * ny, height])
    return from_curves(place, radius=strand_radius, at=at, light=light)


def _pan_light(pan: Pan, scale: float, width: int, height: int, seed: int) -> tuple[Floats, Floats]:
    """Light on floor, rim and mat, and the sheen of the water: broad, soft, broken by ripples."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    long, short = max(pan.length_mm, pan.width_mm) * scale / 2, min(pan.length_mm, pan.width_mm) * scale / 2
    corner = short if pan.circular else 0.22 * short
    dx, dy = np.abs(x - width / 2) - (short if pan.circular else long) + corner, np.abs(y - height / 2) - short + corner
    off = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0)) + np.minimum(np.maximum(dx, dy), 0.0) - corner
    rim = max(2.0, 5.0 * scale)
    inside = np.clip(0.5 - off, 0.0, 1.0)
    on_rim = np.clip(0.5 + off, 0.0, 1.0) * np.clip(rim + 0.5 - off, 0.0, 1.0)
    wall = np.clip(1.0 + off / (14.0 * scale), 0.0, 1.0) * inside
    lean = ((x - width / 2) / width + (y - height / 2) / height).astype(np.float32)
    floor = FLOOR * (1.0 + 0.16 * lean) * (1.0 - 0.45 * wall * (0.6 - lean))
    shadow = 1.0 - 0.30 * np.exp(-np.maximum(off - rim, 0.0) / (16.0 * scale)) * np.clip(0.5 + 1.2 * lean, 0.0, 1.0)
    rim_light = RIM * (1.0 - 0.22 * lean) * (0.80 + 0.20 * np.cos(np.clip(off / rim, 0.0, 1.0) * 2.0 * np.pi - np.pi))
    under = inside * floor + on_rim * rim_light + np.clip(1.0 - inside - on_rim, 0.0, 1.0) * OUTSIDE * shadow
    return under.astype(np.float32), (inside * _sheen(x, y, scale, seed)).astype(np.float32)


def _sheen(x: Floats, y: Floats, scale: float, seed: int) -> Floats:
    """The sky in the water: a few long waves tilt the surface, and where it tilts towards the lamp it is bright."""
    rng = np.random.default_rng([seed, 9])
    slope_x, slope_y = np.zeros_like(x), np.zeros_like(x)
    for _ in range(7):
        length = float(rng.uniform(35.0, 130.0)) * scale
        angle, phase, tilt = float(rng.uniform(0, np.pi)), float(rng.uniform(0, 2 * np.pi)), float(rng.uniform(0.5, 1.0))
        wave = np.cos((x * np.cos(angle) + y * np.sin(angle)) * np.float32(2.0 * np.pi / length) + np.float32(phase)) * np.float32(tilt)
        slope_x += wave * np.float32(np.cos(angle))
        slope_y += wave * np.float32(np.sin(angle))
    bright = np.exp(-((slope_x - 1.55) ** 2 + (slope_y - 0.9) ** 2) / 0.30)
    sheen: Floats = (0.035 + 0.20 * bright).astype(np.float32)
    return sheen
