"""Skeins evenly spaced to the eye between two colourways."""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.tables import Array

_STEPS = 1000


def make_fade(dyes: DyeSet, start: Array, end: Array, count: int) -> tuple[Array, Array]:
    """Depths (count, D) and Lab (count, 3) of `count` >= 2 skeins from the depths `start` (D,) to `end`, both included.

    The way goes straight in depths, so every dye only rises or only falls; the skeins stand at equal arcs along it, its length being the sum of CIEDE2000 over
    1000 small steps. Two colourways of one colour give equal steps in depth.
    """
    if count < 2:
        raise ValueError("a fade has two skeins or more")
    share = np.linspace(0, 1, _STEPS + 1)
    labs = dyes.labs(start + share[:, None] * (end - start))
    arc = np.concatenate([[0.0], np.cumsum(ciede2000(labs[:-1], labs[1:]))])
    at = np.interp(np.linspace(0, arc[-1], count), arc, share) if arc[-1] > 1e-6 else np.linspace(0, 1, count)
    at[0], at[-1] = 0.0, 1.0
    depths = start + at[:, None] * (end - start)
    return depths, dyes.labs(depths)
