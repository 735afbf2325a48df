"""A ladder of swatches: flat patches from pale to deep, touching edge to edge, with the texture of yarn wound on a card."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.light import MAT, Light, Pixels, render
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import wander
from skeinwright.core.picture.strands import from_curves

TEXTURE = 0.32
"""How much of the relief is kept: the patches are for judging colour, so the texture stays quiet and the mean light is 1."""
STRAND_PX = 5.0


@lru_cache(maxsize=12)
def wound(width: int, height: int, seed: int = 1, look: StrandLook | None = None) -> Light:
    """The light on yarn wound side by side on a card, mean 1, edge to edge, cached."""
    if not (8 <= width <= 2000 and 4 <= height <= 600):
        raise BadInput("A ladder's picture is 8 to 2000 pixels wide and 4 to 600 high.", where="size")
    rng = np.random.default_rng([seed, 5])
    down = np.arange(-6.0, height + 6.0, 2.0, dtype=np.float32)
    count = int(width / STRAND_PX * 1.25) + 4
    x = (np.arange(count, dtype=np.float32) - 1.0)[:, None] * np.float32(STRAND_PX / 1.25) + np.float32(0.5) * wander(rng, count, down, 40.0)
    z = np.float32(0.5) * wander(rng, count, down, 50.0)
    centres = from_curves(np.stack([x, np.broadcast_to(down, x.shape), z]), radius=0.5 * STRAND_PX, at=down)
    light = draw(centres, look or StrandLook(), width=width, height=height, seed=seed, body=STRAND_PX, closed=True, hair=3.0).light
    flat = 1.0 + np.float32(TEXTURE) * (light.shade / np.float32(light.mean_shade) - 1.0)
    return Light(flat.astype(np.float32), np.ones_like(flat), np.ones_like(flat))


def ladder(colours: Sequence[Sequence[float]], *, width: int = 720, height: int = 48, seed: int = 1, look: StrandLook | None = None, mat: int = MAT) -> Pixels:
    """Patches of equal width (height, width, 3) uint8 sRGB, one for each linear sRGB colour, in the order given. 1 to 64 colours."""
    if not 1 <= len(colours) <= 64:
        raise BadInput("A ladder shows 1 to 64 swatches.", where="swatches")
    light = wound(width, height, seed, look)
    picture = np.empty((height, width, 3), dtype=np.uint8)
    edges = np.round(np.linspace(0, width, len(colours) + 1)).astype(int)
    for colour, left, right in zip(colours, edges[:-1], edges[1:], strict=True):
        part = slice(None), slice(int(left), int(right))
        picture[part] = render(Light(light.shade[part], light.alpha[part], light.mat[part]), colour, mat=mat)
    return picture
