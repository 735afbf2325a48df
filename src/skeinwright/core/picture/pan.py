"""A skein in its own pan, at true scale: a plain ring where it fits, otherwise doubled into a horseshoe or laid to and fro, under a film of water.

The loop has two limbs side by side; folded into k legs of length a, joined by bends of radius R, with limbs of breadth B:
    once round = 2 k a + 2 pi (k - 1) R + pi B
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.limb import IN_WATER, PIECE, Layer, layers, piece_px
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.strands import Centres, join
from skeinwright.core.shelf.items import Vessel

ASSUMED_PAN_MM = (500.0, 300.0)
MOST_LEGS = 6
THINNEST_PX = 0.3
ROOM_MM, BETWEEN_MM, NEAREST_MM = 14.0, 10.0, 2.0
"""Between the skein as it is planned and the pan's side, between its legs, and between a strand and the side at least."""
LAYERS = (Layer(1.0, 1.0, 1.25, 0.0), Layer(0.99, 0.83, 1.25, 0.25), Layer(1.03, 0.66, 1.22, 0.6))
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
    """How the skein lies: `legs` side by side, `leg_mm` long, joined by bends of `bend_mm`, each of two limbs `breadth_mm` wide; one leg is a plain ring,
    whose own ends have the radius `bend_mm`."""

    legs: int
    leg_mm: float
    bend_mm: float
    breadth_mm: float


def pan_of(vessel: Vessel | None, *, round_mm: float, breadth_mm: float, strands: int) -> Pan:
    """The vessel with a skein in it, `round_mm` once round and `breadth_mm` wide a limb; one that is not known is a pan of 50 x 30 cm [assumed]."""
    if vessel is None:
        return Pan(*ASSUMED_PAN_MM, circular=False, round_mm=round_mm, breadth_mm=breadth_mm, strands=strands)
    width = vessel.width_mm or vessel.length_mm
    return Pan(vessel.length_mm, width, circular=vessel.shape == "round", round_mm=round_mm, breadth_mm=breadth_mm, strands=strands)


def lay_in(pan: Pan) -> Lay:
    """The fewest legs that fit; limbs are laid narrower where the pan is too small for their width."""
    long, short = max(pan.length_mm, pan.width_mm) - 2.0 * ROOM_MM, min(pan.length_mm, pan.width_mm) - 2.0 * ROOM_MM
    around = pan.round_mm
    breadth = min(pan.breadth_mm, 0.40 * short)
    bend = min((short - breadth) / 2.0, around / (2.0 * np.pi))
    straight = around / 2.0 - np.pi * bend
    if straight + 2.0 * bend + breadth <= (short if pan.circular else long):
        return Lay(1, float(straight), float(bend), float(breadth))
    if pan.circular:
        long = short = 0.76 * short
    for legs in range(2, MOST_LEGS + 1):
        breadth = min(pan.breadth_mm, (short - (legs - 1) * BETWEEN_MM) / (2.0 * legs))
        bend = max(breadth + BETWEEN_MM / 2.0, min((short - 2.0 * breadth) / (2.0 * (legs - 1)), 1.35 * breadth))
        leg = (around - (legs - 1) * 2.0 * np.pi * bend - np.pi * breadth) / (2.0 * legs)
        if leg < 0.0:
            bend = (around - np.pi * breadth) / ((legs - 1) * 2.0 * np.pi)
            leg = 0.0
        if leg + (bend + 2.0 * breadth if legs == 2 else 2.0 * (bend + breadth)) <= long or legs == MOST_LEGS:
            return Lay(legs, float(leg), float(bend), float(breadth))
    raise AssertionError("the last count of legs is always taken")


def pan_scale(pan: Pan, width: int, height: int) -> float:
    """Pixels per mm such that the pan fills the picture but for a margin; a pan that is deeper than wide is turned."""
    return min(0.93 * width / max(pan.length_mm, pan.width_mm), 0.91 * height / min(pan.length_mm, pan.width_mm))


@lru_cache(maxsize=3)
def pan_scene(look: StrandLook, pan: Pan, *, width: int = 900, height: int = 600, seed: int = 1) -> Scene:
    """The skein in its pan, cached. 120 to 2400 pixels wide, 80 to 1800 high. Its tie is in the middle of one end."""
    if not (120 <= width <= 2400 and 80 <= height <= 1800):
        raise BadInput("A picture is 120 to 2400 pixels wide and 80 to 1800 high.", where="size")
    rng = np.random.default_rng([seed, 8])
    scale, lay = pan_scale(pan, width, height), lay_in(pan)
    strand = max(THINNEST_PX, 0.5 * look.outline_mm * scale)
    breadth, mound = lay.breadth_mm * scale, min(0.30 * lay.breadth_mm, 5.0 * look.outline_mm) * scale
    piece = piece_px(breadth)
    middle, normal = _middle_line(lay, scale, piece)
    middle = middle + np.array([width / 2, height / 2])
    strands = layers(rng, middle, normal, LAYERS, breadth=breadth, mound=mound, strand_radius=strand, manner=IN_WATER, tie=0.0, piece=piece, most=pan.strands)
    drawn = drawn_of("loop", strands, 65000.0)
    under, water = _pan_light(pan, scale, width, height, seed)
    return draw(
        _pressed_in(join([part.centres for part in strands]), pan, scale, width, height), look, width=width, height=height, seed=seed, body=mound + breadth / 5,
        mat_z=-strand, closed=True, hair=1.2, drawn=drawn, px_per_mm=scale, mat=under, gloss=water, wet=0.11,
    )  # fmt: skip


def _pressed_in(centres: Centres, pan: Pan, scale: float, width: int, height: int) -> Centres:
    """Strands that would come nearer to the pan's side than `ROOM_MM` are pressed together before it: q' = e + (m - e) exp((q - m)/(m - e)) for a distance
    q < m = `ROOM_MM` of a strand's outside, e = `NEAREST_MM`. The pan is never overhung."""
    x, y = centres.at[0] - np.float32(width / 2), centres.at[1] - np.float32(height / 2)
    long, short, corner = _inside(pan, scale)
    dx, dy = np.abs(x) - np.float32(long - corner), np.abs(y) - np.float32(short - corner)
    out_x, out_y = np.maximum(dx, 0.0), np.maximum(dy, 0.0)
    far = np.hypot(out_x, out_y)
    room = np.float32(corner) - far - np.minimum(np.maximum(dx, dy), 0.0) - centres.radius
    most, least = np.float32(ROOM_MM * scale), np.float32(NEAREST_MM * scale)
    pressed = least + (most - least) * np.exp(np.minimum(room - most, 0.0) / (most - least))
    step = np.where(room < most, pressed - room, 0.0) / np.maximum(far, np.float32(1e-6))
    moved = np.stack([-np.sign(x) * step * out_x, -np.sign(y) * step * out_y, np.zeros_like(x)])
    return replace(centres, at=(centres.at + moved).astype(np.float32))


def _inside(pan: Pan, scale: float) -> tuple[float, float, float]:
    """Half the pan's inside length and width, and the radius of its corners, in pixels."""
    long, short = max(pan.length_mm, pan.width_mm) * scale / 2, min(pan.length_mm, pan.width_mm) * scale / 2
    return long, short, short if pan.circular else 0.22 * short


def _middle_line(lay: Lay, scale: float, piece: float = PIECE) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Middle line (n, 2) of the loop about the origin and its outward normals (n, 2), a point every `piece` pixels, from the middle of one end, clockwise.

    Drawn by heading: each part has a length and turns by an angle. Turns are eased over a few centimetres and the small gap that leaves is spread evenly.
    """
    end = lay.bend_mm if lay.legs == 1 else 0.5 * lay.breadth_mm
    ways = [1.0 if k % 2 == 0 else -1.0 for k in range(lay.legs - 1)]
    out, back = [], []
    for way in ways:
        out += [(lay.leg_mm, 0.0), (np.pi * (lay.bend_mm + end * way), np.pi * way)]
        back += [(lay.leg_mm, 0.0), (np.pi * (lay.bend_mm - end * way), -np.pi * way)]
    quarter, straight = (np.pi * end / 2.0, np.pi / 2.0), (lay.leg_mm, 0.0)
    if lay.legs > 1:
        back = [part for k in range(lay.legs - 2, -1, -1) for part in (straight, back[2 * k + 1])]
    parts = [quarter, *out, straight, (np.pi * end, np.pi), *back, straight, quarter]
    lengths = np.array([length * scale for length, _ in parts])
    edges = np.concatenate([[0.0], np.cumsum(lengths)])
    count = max(48, round(edges[-1] / piece))
    turned = np.concatenate([[0.0], np.cumsum([angle for _, angle in parts])])
    turn = np.diff(np.interp(np.arange(count + 1) * edges[-1] / count, edges, turned))
    turn = _eased(turn, 0.35 * end * scale / piece)
    heading = np.cumsum(turn) - turn / 2.0 - np.pi / 2.0
    steps = np.stack([np.cos(heading), np.sin(heading)], axis=1) * (edges[-1] / count)
    steps -= steps.mean(axis=0)
    place = np.cumsum(steps, axis=0)
    place -= 0.5 * (place.max(axis=0) + place.min(axis=0))
    normal = np.stack([np.sin(heading), -np.cos(heading)], axis=1)
    return place, normal


def _eased(values: NDArray[np.float64], sigma: float) -> NDArray[np.float64]:
    from scipy.ndimage import gaussian_filter1d

    eased: NDArray[np.float64] = gaussian_filter1d(values, max(1.0, sigma), mode="wrap")
    return eased


@lru_cache(maxsize=4)
def _pan_light(pan: Pan, scale: float, width: int, height: int, seed: int) -> tuple[Floats, Floats]:
    """Light on floor, rim and mat, and the sheen of the water: broad, soft, broken by ripples."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    long, short, corner = _inside(pan, scale)
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
    """The sky in the water: a few long waves tilt the surface a little, and where it tilts towards the lamp it is brighter."""
    rng = np.random.default_rng([seed, 9])
    tilt = np.zeros_like(x)
    for _ in range(5):
        length = float(rng.uniform(90.0, 260.0)) * scale
        angle, phase = float(rng.uniform(0.1, 1.2)), float(rng.uniform(0, 2 * np.pi))
        bent = np.sin(y * np.float32(2.0 * np.pi / (2.3 * length)) + np.float32(2.0 * phase)) * np.float32(0.7)
        tilt += np.cos((x * np.cos(angle) + y * np.sin(angle)) * np.float32(2.0 * np.pi / length) + np.float32(phase) + bent).astype(np.float32)
    bright = np.exp(-(((tilt - 2.6) / 1.1) ** 2))
    sheen: Floats = (0.003 + 0.045 * bright).astype(np.float32)
    return sheen
