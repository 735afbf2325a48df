"""A patch of plain knit (stockinette), face side: the yarn's own path through its loops, drawn in space.

One stitch of width w and height h (row spacing), u = 0..1 along its yarn, as a smooth closed form of the plain loop:
    x = w (u + a sin 4 pi u),  y = b h cos 2 pi u,  z = -(d/2) (1.1 cos 4 pi u + c cos 2 pi u)
with a = 0.19 (the legs lean in over the neck of the loop), b = 0.80 (a loop reaches over its own row into the next), c = 0.55 (a loop comes up out of the one
below, so its feet lie deeper than the shoulders of that one). The proportion w/h = 1.3 is that of plain knit at rest (source: munden-1959, wet relaxed);
a, b, c and the depth are chosen by eye.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import thick_and_thin, wander
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.strands import Placed, from_curves
from skeinwright.core.yarn.knitting import wales_per_mm

ROWS_PER_STITCH = 1.3
STITCH_PER_DIAMETER = 2.5
"""Stitch width over the strand's visual diameter: a swatch of ordinary tightness, by eye."""
LEAN, REACH, FEET_DEEPER = 0.19, 0.80, 0.55
POINTS = 44
UNEVEN = 0.034
"""How much stitches differ in height and width, over 0.7 standard deviations, by eye."""
THINNEST, THICKEST = 0.28, 0.52
"""Within these shares of a stitch the loops neither come apart nor swallow one another in the drawing."""


@dataclass(frozen=True, slots=True)
class Knit:
    """What is knitted: stitch length in mm, stitches in a round (or a row, to and fro), and where the picture begins: row and stitch from the right.

    alternate: with two skeins in turn, how many rows each is knitted before the other; 0 is one skein. The second begins `second_mm` further along the yarn.
    """

    stitch_mm: float = 13.7
    stitches: int = 64
    flat: bool = False
    first_row: int = 0
    first_stitch: int = 0
    alternate: int = 0
    second_mm: float = 0.0


@lru_cache(maxsize=3)
def knitted_scene(look: StrandLook, knit: Knit = Knit(), *, width: int = 900, height: int = 600, seed: int = 1, across: int = 0, thick: float = 0.0) -> Scene:
    """Plain knit that fills the picture, cached. 60 to 2400 pixels wide, 40 to 1800 high.

    across: stitches across the width; 0 takes `stitches_across`. thick: the strand's visual diameter over a stitch's width; 0 takes an ordinary tightness.
    Rows are counted from below, stitches from the right: the yarn's way when one looks at the face.
    """
    if not (60 <= width <= 2400 and 40 <= height <= 1800):
        raise BadInput("A picture is 60 to 2400 pixels wide and 40 to 1800 high.", where="size")
    rng = np.random.default_rng([seed, 3])
    across = across or stitches_across(look, width)
    stitch = width / across
    row = stitch / ROWS_PER_STITCH
    radius = 0.5 * stitch * (min(max(thick, THINNEST), THICKEST) if thick else 1.0 / STITCH_PER_DIAMETER) * (look.outline_mm / look.diameter_mm)
    rows = int(np.ceil(height / row)) + 6
    points = int(np.clip(1.1 * stitch, 16, POINTS))
    count = (across + 6) * points
    u = (np.arange(count, dtype=np.float32) / points)[None, :]
    turn = np.float32(2.0 * np.pi) * u
    uneven = np.float32(UNEVEN) * wander(rng, rows, u[0], 1.3)
    x = np.float32(stitch) * (u - 3.0 + np.float32(LEAN) * np.sin(2.0 * turn) + np.float32(0.6) * uneven)
    line = (np.arange(rows, dtype=np.float32)[:, None] - 2.0) + np.float32(0.05) * wander(rng, rows, u[0], 9.0)
    y = np.float32(row) * (line + np.float32(REACH) * np.cos(turn) * (1.0 + uneven))
    z = np.float32(-radius) * (np.float32(1.1) * np.cos(2.0 * turn) + np.float32(FEET_DEEPER) * np.cos(turn))
    z = z + np.float32(0.12 * radius) * wander(rng, rows, u[0], 1.0)
    place = np.stack([np.broadcast_to(part, (rows, count)) for part in (x, y, z)]).astype(np.float32)
    pace = float(np.linalg.norm(np.diff(place[:, 0], axis=1), axis=0).mean())
    length = np.arange(count, dtype=np.float32) * np.float32(pace)
    light = np.exp(np.float32(0.03) * wander(rng, rows, u[0], 1.7))
    thickness = thick_and_thin(rng, rows, length, plies=look.plies, radius=radius) * np.exp(np.float32(0.03) * wander(rng, rows, u[0], 2.6))
    centres = from_curves(place, radius=radius, at=length, light=light)
    centres = replace(centres, radius=(centres.radius * thickness.ravel()).astype(np.float32))
    start, rate = _yarn(knit, rows, across, float(points) * pace)
    drawn = drawn_of("run", [Placed(centres, start, rate, np.zeros(rows), np.zeros(rows))], 65000.0)
    return draw(
        centres, look, width=width, height=height, seed=seed, body=1.6 * radius, mat_z=-3.0 * radius, hair=4.0, closed=True, drawn=drawn,
        px_per_mm=stitch * wales_per_mm(knit.stitch_mm),
    )  # fmt: skip


def _yarn(knit: Knit, rows: int, across: int, stitch_px: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Running length (mm) at the left end of each drawn row, the topmost first, and its rate a pixel of yarn. The lowest row that shows is `first_row`."""
    row = knit.first_row + (rows - 4.0) - np.arange(rows)
    left = across + 3.0 + knit.first_stitch
    back = (row % 2 == 1) & knit.flat
    used, second = row, np.zeros(rows)
    if knit.alternate > 0:
        turn, within = np.divmod(row, knit.alternate)
        used, second = (turn // 2) * knit.alternate + within, turn % 2
    stitches = np.where(back, used * knit.stitches + knit.stitches - 1.0 - left, used * knit.stitches + left)
    return stitches * knit.stitch_mm + second * knit.second_mm, np.where(back, 1.0, -1.0) * knit.stitch_mm / stitch_px


@lru_cache(maxsize=3)
def knitted(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1, stitches: int = 0) -> Light:
    """The light on plain knit that fills the picture, cached; stitches: across the width."""
    return knitted_scene(look, width=width, height=height, seed=seed, across=stitches).light


def stitches_across(look: StrandLook, width: int) -> int:
    """Stitches in a picture of `width` pixels: a hand's breadth (80 mm) in 900 pixels, so that a thicker yarn makes larger stitches."""
    return max(3, round(width / 900 * 80.0 / (STITCH_PER_DIAMETER * look.diameter_mm)))
