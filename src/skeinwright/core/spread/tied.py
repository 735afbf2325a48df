"""Idealised places: what is tied off stays out, and what is drawn out of the liquor slowly is deepest where it hung longest.

The spreading model knows nothing of knots and of hanging skeins. So the strike of a span of time is moved, dye by dye, to where it can have gone:

    fibre = before + loss + gain w sum(gain)/sum(gain w),   gain and loss: what the span added and took away, w: how open each place was

Grams are kept exactly and nothing falls below zero.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Bands
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.state import Pan, Tie

TIE_EDGE_CM = 0.5
"""Over what length a tie lets dye creep in [assumed]."""
TIE_KEEPS = 0.97
"""Share that a tight tie keeps out [assumed]."""
WITHDRAWN_RATE = 2.2
"""Uptake over a timed withdrawal goes as 1 - e^(-k t), k T = 2.2 [assumed]."""


def moved(before: Array, after: Array, weight: Array) -> Array:
    """`after` (dyes, 2, rows, columns) with what was gained since `before` shared out by `weight` (columns,)."""
    base = before.astype(np.float64)
    change = after - base
    kept = np.maximum(base + np.minimum(change, 0.0), 0.0)
    gain = np.maximum(change, 0.0) * weight
    axes = (1, 2, 3)
    wanted = after.sum(axis=axes, dtype=np.float64) - kept.sum(axis=axes)
    there = gain.sum(axis=axes)
    scale = np.where(there > 0, wanted / np.maximum(there, 1e-300), 0.0)
    found = np.where((there > 0)[:, None, None, None], kept + gain * np.maximum(scale, 0.0)[:, None, None, None], after)
    return np.asarray(found, dtype=after.dtype)


def tie_off(pan: Pan, bands: Bands) -> None:
    """Remembers what is on the fibre now, and where nothing more is let in."""
    before = pan.ties[-1].free if pan.ties else np.ones(pan.grid.columns)
    pan.ties.append(Tie(before * (1 - TIE_KEEPS * _within(pan.grid, bands)), pan.field.fibre.copy()))


def untied(pan: Pan) -> Array:
    """Dye on the fibre (as `Field.fibre`), with all that struck since a tie kept out of it."""
    if not pan.ties:
        return pan.field.fibre
    found = pan.ties[0].fibre
    for place, tie in enumerate(pan.ties):
        then = pan.ties[place + 1].fibre if place + 1 < len(pan.ties) else pan.field.fibre
        found = moved(found, found + (then - tie.fibre), tie.free)
    return found


def turn_ties(pan: Pan) -> None:
    """What was on the fibre turns over with the yarn."""
    for tie in pan.ties:
        tie.fibre = tie.fibre[:, ::-1, ::-1].copy()


def draw_out(pan: Pan, before: Array) -> None:
    """Grades what struck since `before` by how long each place hung in the liquor: 0 at the tie, longest half round from it."""
    grid = pan.grid
    if grid.round_the_loop:
        time = 1 - np.abs(2 * (np.arange(grid.columns) + 0.5) / grid.columns - 1)
        pan.field.fibre[:] = moved(before, pan.field.fibre, -np.expm1(-WITHDRAWN_RATE * time))


def _within(grid: Grid, bands: Bands) -> Array:
    """1 within the bands, 0 outside, with a short soft edge; round the loop where the grid goes round."""
    x = (np.arange(grid.columns) + 0.5) * grid.dx_cm
    inside = np.zeros(grid.columns)
    for low, high in bands:
        off = np.abs(x - (low + high) / 2)
        off = np.minimum(off, grid.length_cm - off) if grid.round_the_loop else off
        inside = np.maximum(inside, np.clip(0.5 + ((high - low) / 2 - off) / TIE_EDGE_CM, 0, 1))
    return inside
