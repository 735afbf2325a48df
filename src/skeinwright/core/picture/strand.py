"""One strand close up, lying straight on the mat, at a true scale: a base's row on the shelf, and the samples beside a picture."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import thick_and_thin, wander
from skeinwright.core.picture.scene import Scene, drawn_of
from skeinwright.core.picture.strands import Centres, Placed, from_curves, join

CLOSE_MM = 37.5
"""How much a close-up shows across."""
SHIFTED_MM = 2.0
"""How far strands have slipped past their neighbours (one standard deviation) once a skein is rinsed, spun and hung [assumed]: a speck that lay over several
strands comes apart into a fleck on each."""


@lru_cache(maxsize=24)
def strand(look: StrandLook, *, width: int = 720, height: int = 48, px_per_mm: float = 12.0, seed: int = 1) -> Light:
    """The light on one strand from edge to edge, `px_per_mm` pixels to the millimetre, cached. 16 to 2000 pixels wide, 8 to 400 high; 2 to 60 px/mm.

    The strand is cut off above and below where it is thicker than the picture.
    """
    if not (16 <= width <= 2000 and 8 <= height <= 400 and 2.0 <= px_per_mm <= 60.0):
        raise BadInput("A strand's picture is 16 to 2000 pixels wide, 8 to 400 high, at 2 to 60 pixels per millimetre.", where="size")
    rng = np.random.default_rng([seed, 2])
    radius = 0.5 * look.outline_mm * px_per_mm
    along = np.arange(-2.0 * radius, width + 2.0 * radius, 2.0, dtype=np.float32)
    middle = height / 2 + np.float32(0.05 * radius) * wander(rng, 1, along, 14.0 * radius)
    place = np.stack([along[None, :], middle, np.zeros_like(middle)])
    centres = _thick_and_thin(from_curves(place, radius=radius, at=along - along[0]), look, rng)
    return draw(centres, look, width=width, height=height, seed=seed, body=radius, mat_z=-1.05 * radius, hair=110.0).light


@lru_cache(maxsize=3)
def close_up_scene(look: StrandLook, *, width: int = 900, height: int = 600, px_per_mm: float = 24.0, seed: int = 1, round_mm: float = 1500.0) -> Scene:
    """Strands lying side by side as in the skein, close up, filling the picture; cached. 60 to 2400 pixels wide, 40 to 1800 high; 2 to 60 px/mm."""
    if not (60 <= width <= 2400 and 40 <= height <= 1800 and 2.0 <= px_per_mm <= 60.0):
        raise BadInput("A close-up is 60 to 2400 pixels wide and 40 to 1800 high, at 2 to 60 pixels per millimetre.", where="size")
    rng = np.random.default_rng([seed, 6])
    radius = 0.5 * look.outline_mm * px_per_mm
    along = np.arange(-2.0 * radius, width + 2.0 * radius, 3.0, dtype=np.float32)
    lean = 0.10
    rows = int((height + lean * width) / (1.75 * radius)) + 6
    y = (np.arange(rows, dtype=np.float32)[:, None] - 2.0) * np.float32(1.75 * radius) + np.float32(0.22 * radius) * wander(rng, rows, along, 16.0 * radius)
    z = np.float32(0.30 * radius) * wander(rng, rows, along, 11.0 * radius)
    place = np.stack([np.broadcast_to(along, y.shape), y - np.float32(lean) * along[None, :], z]).astype(np.float32)
    under = place + np.array([0.0, 0.9 * radius, -1.3 * radius], dtype=np.float32)[:, None, None]
    middle = -(0.5 * width + 2.0 * radius) / px_per_mm / round_mm
    row = 0.5 + 0.25 * (np.arange(rows) / rows - 0.5)
    layers = []
    for part, face in ((place, 0.0), (under, 0.5)):
        centres = _thick_and_thin(from_curves(part, radius=radius, at=along - along[0]), look, rng)
        moved = rng.normal(0.0, SHIFTED_MM / round_mm, rows)
        layers.append(Placed(centres, middle + moved, np.full(rows, 1.0 / px_per_mm / round_mm), row, np.full(rows, face)))
    return draw(
        join([layer.centres for layer in layers]), look, width=width, height=height, seed=seed, body=2.0 * radius, mat_z=-3.0 * radius, hair=30.0, closed=True,
        drawn=drawn_of("loop", layers, 65000.0), px_per_mm=px_per_mm,
    )  # fmt: skip


@lru_cache(maxsize=3)
def close_up(look: StrandLook, *, width: int = 900, height: int = 600, seed: int = 1) -> Light:
    """The light on `CLOSE_MM` of strands close up, whatever the size, cached."""
    return close_up_scene(look, width=width, height=height, px_per_mm=max(2.0, width / CLOSE_MM), seed=seed).light


def _thick_and_thin(centres: Centres, look: StrandLook, rng: np.random.Generator) -> Centres:
    """The strands with the unevenness of spinning."""
    order = np.unique(centres.strand)
    at = np.unique(centres.length)
    factor = thick_and_thin(rng, len(order), at, plies=look.plies, radius=float(centres.radius.mean()))
    thick = centres.radius * factor[np.searchsorted(order, centres.strand), np.searchsorted(at, centres.length)]
    return replace(centres, radius=thick.astype(np.float32))
