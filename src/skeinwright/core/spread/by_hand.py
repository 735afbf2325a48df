"""Powder in a band, as a hand lays it: the band's edges wander across the yarn, and grains land about where they were meant. No grain is lost."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Bands
from skeinwright.core.spread.grid import Grid

STRAYS_CM = 0.5
"""Standard deviation of how far a grain lands from where it was meant, along the loop; a quarter of the band's length at most [assumed]."""
WANDERS_CM = 0.5
"""Standard deviation of a band's edge from the line, across the yarn; the same at most [assumed]."""
WAVES = 3


def by_hand(grid: Grid, x_cm: Array, y_cm: Array, inside: Bands, rng: np.random.Generator) -> Array:
    """Places along the loop of grains that were meant for x (cm, within the bands `inside`); unchanged where powder goes everywhere.

    Between its two edges a band is stretched as they wander. What a panel cuts off comes back over its border, as it would from beyond.
    """
    length = grid.length_cm
    starts, ends = any(low <= 0 for low, _ in inside), any(high >= length - 1e-9 for _, high in inside)
    if len(inside) == 1 and starts and ends:
        return x_cm
    goes_on = not grid.round_the_loop or (starts and ends)  # over a panel's border, or over the tie
    moved = x_cm.copy()
    for low, high in inside:
        here = (x_cm >= low) & (x_cm < high)
        across, quarter = y_cm[here] / grid.width_cm, (high - low) / 4
        most = min(WANDERS_CM, quarter)
        left, right = _wander(across, rng), _wander(across, rng)
        part = (x_cm[here] - low) / (high - low)
        if not (goes_on and low <= 0):
            moved[here] += (1 - part) * most * left
        if not (goes_on and high >= length - 1e-9):
            moved[here] += part * most * right
        moved[here] += min(STRAYS_CM, quarter) * rng.standard_normal(part.size)
    if grid.round_the_loop:
        return np.asarray(moved % length)
    return np.asarray(length - np.abs(moved % (2 * length) - length))


def _wander(across: Array, rng: np.random.Generator) -> Array:
    """A slow line of standard deviation 1 over the yarn's width (0-1): three waves of chance height and phase."""
    heights, phases = sqrt(2 / WAVES) * rng.standard_normal(WAVES), rng.uniform(0, 2 * pi, WAVES)
    return np.asarray(sum(heights[k] * np.cos(pi * (k + 1) * across + phases[k]) for k in range(WAVES)))
