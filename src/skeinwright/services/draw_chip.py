"""A chip of yarn in one colour: a few strands close up, small enough for hundreds on a page."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.picture.light import Light
    from skeinwright.core.picture.look import StrandLook

CHIP_PX = (120, 120)
ACROSS = 4.5
"""Strands across a chip."""


def draw_chip(studio: Studio, look: StrandLook, srgb: tuple[int, int, int]) -> bytes:
    """The chip as PNG, 120 x 120. The same request gives the same bytes."""
    return _drawn(look, srgb, studio.seed)


@lru_cache(maxsize=1024)
def _drawn(look: StrandLook, srgb: tuple[int, int, int], seed: int) -> bytes:
    import numpy as np

    from skeinwright.core.colour.spaces import srgb_to_linear
    from skeinwright.core.picture.light import render
    from skeinwright.services.encode_png import encode_png

    linear = [float(value) for value in srgb_to_linear(np.array(srgb) / 255.0)]
    return encode_png(render(_light(look, seed), linear), level=1)


@lru_cache(maxsize=16)
def _light(look: StrandLook, seed: int) -> Light:
    from skeinwright.core.picture.strand import close_up_scene

    width, height = CHIP_PX
    return close_up_scene(look, width=width, height=height, px_per_mm=width / (ACROSS * look.diameter_mm), seed=seed).light
