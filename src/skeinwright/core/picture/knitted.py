"""A patch of plain knit (stockinette), face side: the yarn's own path through its loops, drawn in space.

One stitch of width w and height h (row spacing), u = 0..1 along its yarn, as a smooth closed form of the plain loop:
    x = w (u + a sin 4 pi u),  y = b h cos 2 pi u,  z = -(d/2) depth cos 4 pi u
with a = 0.19 (the legs lean in over the neck of the loop), b = 0.80 (a loop reaches over its own row into the next). The proportion w/h = 1.3 is
that of plain knit at rest (source: munden-1959, wet relaxed); a, b and the depth are chosen by eye.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.strands import from_curves

ROWS_PER_STITCH = 1.3
STITCH_PER_DIAMETER = 2.5
"""Stitch width over the strand's visual diameter: a swatch of ordinary tightness, by eye."""
LEAN, REACH = 0.19, 0.80
POINTS = 44


@lru_cache(maxsize=3)
def knitted(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1, stitches: int = 0) -> Light:
    """The light on plain knit that fills the picture, cached. 60 to 1600 pixels wide, 40 to 1200 high.

    stitches: across the width; 0 takes `stitches_across`.
    """
    if not (60 <= width <= 1600 and 40 <= height <= 1200):
        raise BadInput("A picture is 60 to 1600 pixels wide and 40 to 1200 high.", where="size")
    rng = np.random.default_rng([seed, 3])
    across = stitches or stitches_across(look, width)
    stitch = width / across
    row = stitch / ROWS_PER_STITCH
    radius = 0.5 * stitch / STITCH_PER_DIAMETER * (look.outline_mm / look.diameter_mm)
    rows = int(np.ceil(height / row)) + 6
    count = (across + 6) * POINTS
    u = (np.arange(count, dtype=np.float32) / POINTS)[None, :]
    turn = np.float32(2.0 * np.pi) * u
    uneven = np.float32(0.022) * wander(rng, rows, u[0], 1.3)
    x = np.float32(stitch) * (u - 3.0 + np.float32(LEAN) * np.sin(2.0 * turn) + np.float32(0.6) * uneven)
    line = (np.arange(rows, dtype=np.float32)[:, None] - 2.0) + np.float32(0.05) * wander(rng, rows, u[0], 9.0)
    y = np.float32(row) * (line + np.float32(REACH) * np.cos(turn) * (1.0 + uneven))
    z = np.float32(1.1 * radius) * -np.cos(2.0 * turn) + np.float32(0.12 * radius) * wander(rng, rows, u[0], 1.0)
    place = np.stack([np.broadcast_to(part, (rows, count)) for part in (x, y, z)]).astype(np.float32)
    length = np.arange(count, dtype=np.float32) * np.float32(float(np.linalg.norm(np.diff(place[:, 0], axis=1), axis=0).mean()))
    light = np.exp(np.float32(0.03) * wander(rng, rows, u[0], 1.7))
    centres = from_curves(place, radius=radius, at=length, light=light)
    return draw(centres, look, width=width, height=height, seed=seed, body=1.6 * radius, mat_z=-3.0 * radius, hair=4.0, closed=True)


def stitches_across(look: StrandLook, width: int) -> int:
    """Stitches in a picture of `width` pixels: a hand's breadth (80 mm) in 900 pixels, so that a thicker yarn makes larger stitches."""
    return max(3, round(width / 900 * 80.0 / (STITCH_PER_DIAMETER * look.diameter_mm)))
