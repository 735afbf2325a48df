"""A twisted skein: the hank is twisted, folded, its halves lie about each other, and one end is tucked through the loop of the other.

The strands are as thick against the skein as they are: a sock yarn is about four pixels wide at 1200 x 800.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil

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

ROUND_MM = 1500.0
FOLDED = 0.22
"""How long the folded skein is, of once round [by eye]."""
LONGEST_MM = 2500.0
"""Once round up to which a skein is twisted as it is; a longer loop is first laid together to and fro, as often as it takes [common practice in outline]."""
THINNEST_PX = 0.3
"""Least radius of a strand that is drawn, in pixels."""
PIECE = 3.0
"""Pixels from one point to the next of a strand."""
HALF_TURNS = 5.0
LAY = -0.42
"""How far the strands turn about the rope, rad a rope radius: the twist that makes the skein fold on itself, about 23 degrees."""


def _resample(path: NDArray[np.float64], step: float, smooth: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A path (n, 4) of x, y, z and rope radius, corners rounded over `smooth`, and its arc length.

    The steps are such that no strand outside the rope moves on by more than about `step`.
    A step is shorter where the path bends: ds = step / (1 + radius * curvature).
    """
    from scipy.ndimage import gaussian_filter1d

    def lengths(points: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points[:, :3], axis=0), axis=1))])

    def at_places(points: NDArray[np.float64], where: NDArray[np.float64], places: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.stack([np.interp(places, where, points[:, k]) for k in range(points.shape[1])], axis=1)

    length = lengths(path)
    rough = gaussian_filter1d(at_places(path, length, np.arange(0.0, length[-1], 1.0)), smooth, axis=0, mode="nearest")
    length = lengths(rough)
    tangent = np.gradient(rough[:, :3], length, axis=0)
    curvature = np.linalg.norm(np.gradient(tangent, length, axis=0), axis=1)
    pace = np.cumsum(1.0 + rough[:, 3] * gaussian_filter1d(curvature, smooth / 2.0)) * (length[1] - length[0])
    places = np.interp(np.arange(pace[0], pace[-1], step), pace, length)
    return at_places(rough, length, places), places


def _frames(path: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Two unit normals (n, 3) along a path that turn as little as they can (parallel transport on every eighth point)."""
    every = np.unique(np.append(np.arange(0, len(path), 8), len(path) - 1))
    tangent = np.gradient(path, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    normal = np.array([0.0, 0.0, 1.0])
    coarse = np.empty((len(every), 3))
    for k, t in enumerate(tangent[every]):
        normal = normal - t * (normal @ t)
        normal /= np.sqrt(normal @ normal)
        coarse[k] = normal
    first = np.stack([np.interp(np.arange(len(path)), every, coarse[:, k]) for k in range(3)], axis=1)
    first -= tangent * (first * tangent).sum(axis=1, keepdims=True)
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    return first, np.cross(tangent, first)


def tube(
    path: NDArray[np.float64], strand_radius: float, *, rng: np.random.Generator, lay: float, fullness: float = 1.7, smooth: float, sunk: float = 0.0
) -> Centres:
    """The strands on the outside of a rope: path (n, 4) of x, y, z and rope radius in pixels; `lay` is how far the strands turn about the rope, rad per pixel.
    `sunk` is how many strand diameters the layer lies below the outside.

    Strands wander sideways and in and out, over and under their neighbours, and lie in locks; only those that may be seen from the front are returned.
    """
    even, length = _resample(path, PIECE, smooth)
    first, second = _frames(even[:, :3])
    at = length.astype(np.float32)
    count = max(6, round(2.0 * np.pi * float(even[:, 3].mean()) / (2.0 * strand_radius) * fullness))
    spacing = 2.0 * np.pi / count
    base = (np.arange(count, dtype=np.float32) * spacing)[:, None]
    reach = float(even[:, 3].mean())
    around = base + np.float32(lay) * at[None, :] + np.float32(0.5 * spacing) * wander(rng, count, at, 18.0 * strand_radius)
    around += np.float32(0.6 * spacing) * wander(rng, count, at, 1.6 * reach)
    locks = wander(rng, 7, at, 2.2 * reach)
    lock_angle = np.arange(1, 8, dtype=np.float32)
    swell = sum((locks[k][None, :] * np.cos(lock_angle[k] * base + k) / (1.0 + 0.5 * k) for k in range(7)), start=np.zeros((count, len(at)), dtype=np.float32))
    around += np.float32(0.035) * swell
    under = np.abs(wander(rng, count, at, 2.6 * reach)) * np.float32(1.1) + np.float32(0.35) * wander(rng, count, at, 14.0 * strand_radius)
    np.clip(under, -0.3, 1.7, out=under)
    out = even[:, 3].astype(np.float32)[None, :] * (1.0 + np.float32(0.03) * swell) - np.float32(strand_radius) * (1.0 + 2.0 * sunk + under)
    cosine, sine = np.cos(around), np.sin(around)
    outward_z = cosine * first[:, 2].astype(np.float32) + sine * second[:, 2].astype(np.float32)
    place = np.stack(
        [even[:, k].astype(np.float32) + out * (cosine * first[:, k].astype(np.float32) + sine * second[:, k].astype(np.float32)) for k in range(3)]
    )
    seen = outward_z > (-0.9 if sunk == 0.0 else 0.0)
    lamp = sum((LAMP[k] * (cosine * first[:, k].astype(np.float32) + sine * second[:, k].astype(np.float32)) for k in range(3)), start=np.zeros_like(cosine))
    light = (np.float32(0.70) + np.float32(0.52) * lamp) * np.exp(0.06 * rng.standard_normal((count, 1), dtype=np.float32))
    return from_curves(place, radius=strand_radius, at=at, light=light, seen=seen)


def _rope(x: NDArray[np.float64], phase: NDArray[np.float64], amplitude: NDArray[np.float64], radius: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.stack([x, amplitude * np.cos(phase), 0.9 * amplitude * np.sin(phase), radius], axis=1)


def _paths(length: float, rope: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Centre lines (n, 4) of the folded rope with its collar, and of the tucked end, about the origin; the fold is on the left."""
    gap = 0.80 * rope
    left, right = -length / 2 + 1.55 * rope, length / 2 - 1.75 * rope
    x = np.linspace(left, right, 400)
    run = (x - left) / (right - left)
    phase = np.pi * HALF_TURNS * (run + 0.012 * np.sin(2.0 * np.pi * 1.5 * run))
    thin = np.clip((run - 0.90) / 0.10, 0.0, 1.0) ** 2
    plump = 1.0 - 0.06 * np.cos(2 * np.pi * run)
    one = _rope(x, phase, gap * (1.0 - 0.75 * thin), rope * plump * (1.0 - 0.42 * thin))
    two = _rope(x, phase + np.pi, gap * (1.0 - 0.10 * thin), rope * plump * (1.0 - 0.30 * thin))
    bend = np.linspace(0.0, np.pi, 60)
    fold = np.stack([left - 0.95 * gap * np.sin(bend), gap * np.cos(bend), np.zeros(60), np.full(60, 0.93 * rope)], axis=1)
    turn = np.linspace(0.0, 1.56 * np.pi, 120)
    collar_radius = np.interp(turn, [0.0, 0.6 * np.pi, 1.56 * np.pi], [0.70, 0.50, 0.40]) * rope
    end = phase[-1] + np.pi + turn
    collar = np.stack([right + 0.70 * rope * turn / turn[-1], 0.92 * gap * np.cos(end), 0.9 * gap * np.sin(end), collar_radius], axis=1)
    main = np.concatenate([one[::-1], fold, two, collar])
    away = np.linspace(0.0, np.pi, 60)
    eye = 0.34 * rope
    out, start = right + 1.35 * rope, right - 0.2 * rope
    upper = np.stack([np.linspace(start, out, 40), np.linspace(-0.25, -1.0, 40) * eye, np.full(40, 0.05 * rope), np.full(40, 0.36 * rope)], axis=1)
    nose = np.stack([out + 1.05 * eye * np.sin(away), -eye * np.cos(away), np.full(60, 0.0), np.full(60, 0.35 * rope)], axis=1)
    lower = upper[::-1] * np.array([1.0, -1.0, -1.0, 1.0])
    return main, np.concatenate([upper, nose, lower])


def twisted_px_per_mm(width: int, height: int, round_mm: float) -> float:
    """Scale of the picture of a twisted skein."""
    return min(0.86 * width, 1.5 * height) / (FOLDED * round_mm / lengths_together(round_mm))


def lengths_together(round_mm: float) -> int:
    """How many lengths of the loop are laid together before it is twisted: ceil(round / 2.5 m), so 1 for skeins of the usual kind."""
    return max(1, ceil(round_mm / LONGEST_MM))


@lru_cache(maxsize=3)
def twisted_scene(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1, round_mm: float = ROUND_MM) -> Scene:
    """A twisted skein of a base, cached; `round_mm` is how long its strands are once round. 120 to 2400 pixels wide, 80 to 1800 high.

    The same arguments give the same bytes.
    """
    if not (120 <= width <= 2400 and 80 <= height <= 1800):
        raise BadInput("A picture is 120 to 2400 pixels wide and 80 to 1800 high.", where="size")
    rng = np.random.default_rng([seed, 1])
    length = min(0.86 * width, 1.5 * height)
    px_per_mm = twisted_px_per_mm(width, height, round_mm)
    strand = max(THINNEST_PX, 0.5 * look.outline_mm * px_per_mm)
    rope = 0.075 * length
    main, tuck = _paths(length, rope)
    together = lengths_together(round_mm)
    layers = []
    for sunk, fullness in ((0.0, 1.6), (1.0, 1.3)):
        layers.append(_from_skein(tube(main, strand, rng=rng, lay=LAY / rope, smooth=0.30 * rope, sunk=sunk, fullness=fullness), rng, together))
        layers.append(_from_tie(tube(tuck, strand, rng=rng, lay=LAY / rope, smooth=0.12 * rope, sunk=sunk, fullness=fullness), rng, together))
    drawn = drawn_of("loop", layers, 4.0 * length)
    centres = _placed(join([layer.centres for layer in layers]), width, height)
    return draw(centres, look, width=width, height=height, seed=seed, body=rope, mat_z=-1.10 * rope, closed=True, hair=5.0, drawn=drawn, px_per_mm=px_per_mm)


@lru_cache(maxsize=6)
def twisted(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Light:
    """The light on a twisted skein of a base, cached."""
    return twisted_scene(look, width=width, height=height, seed=seed).light


def _from_skein(rope: Centres, rng: np.random.Generator, together: int) -> Placed:
    """The strands of the hank: from the tie along one limb to the far end, half round the loop; the other limb's strands run back to the tie.

    Where several lengths are laid together to and fro, length j of a limb runs from j/(2 n) of the loop to (j + 1)/(2 n), every second one the other way.
    """
    count, total = int(rope.strand.max(initial=0)) + 1, float(rope.length.max(initial=1.0))
    limb = (np.arange(count) >= count / 2).astype(float)
    row = (np.arange(count) / count * 2.0 % 1.0 + 0.06 * rng.standard_normal(count)).clip(0.0, 1.0)
    part = _lengths(count, together, rng)
    along = np.where(part % 2 == 0, 0.5, -0.5) / together
    start = 0.5 * (part + part % 2) / together
    way = np.where(limb > 0, -1.0, 1.0)
    return Placed(rope, limb + way * start, way * along / total, row, (np.arange(count) % 2).astype(float))


def _lengths(count: int, together: int, rng: np.random.Generator) -> NDArray[np.int64]:
    """Which of the lengths laid together each of `count` strands round a rope is: bundles side by side in each limb, their edges a little mixed."""
    place = (np.arange(count) + (rng.normal(0.0, 1.5, count) if together > 1 else 0.0)) / count * 2.0 * together
    return np.floor(place).astype(np.int64) % together


def _from_tie(rope: Centres, rng: np.random.Generator, together: int) -> Placed:
    """The end that is tucked through: the few centimetres about the tie, and about every second fold where lengths are laid together."""
    count, total = int(rope.strand.max(initial=0)) + 1, float(rope.length.max(initial=1.0))
    part = (_lengths(count, together, rng) + 1) // 2 / together
    return Placed(rope, part - 0.02 / together, np.full(count, 0.04 / together / total), np.arange(count) / count, (np.arange(count) % 2).astype(float))


def _placed(centres: Centres, width: int, height: int, tilt_deg: float = -4.0) -> Centres:
    """Turned a little, as a hand lays it, and moved to the middle."""
    c, s = np.float32(np.cos(np.radians(tilt_deg))), np.float32(np.sin(np.radians(tilt_deg)))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]], dtype=np.float32)
    middle: Floats = np.array([[0.485 * width], [0.485 * height], [0.0]], dtype=np.float32)
    return Centres(
        turn @ centres.at + middle, turn @ centres.along, centres.piece, centres.bulge, centres.radius, centres.strand, centres.length, centres.light
    )
