"""One strand close up, lying straight on the mat, at a true scale: a base's row on the shelf, and the samples beside a picture."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.strands import draw, from_curves


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
    centres = from_curves(place, radius=radius, at=along - along[0])
    return draw(centres, look, width=width, height=height, seed=seed, body=radius, mat_z=-1.05 * radius, hair=110.0)
