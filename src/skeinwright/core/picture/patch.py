"""A patch of laid yarn seen from straight above, to scale: the side on which dye was laid last, and below it a strip of the other side.

Each strand is lit as a round one,  light = 0.62 + 0.52 sqrt(1 - u^2) x (1 - 0.16 cos(2 pi plies place/turn + start)),  u across it -1..1, its mean then set
to 1 so that the patch keeps its colour. Factors chosen by eye.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.forecast.skein_colour import Lookup
from skeinwright.core.picture.light import MAT, Floats, Pixels, encode_table
from skeinwright.core.spread.arrays import Array

PX_PER_CELL = 2
BACK_SHARE = 0.375
"""Share of the patch's height that is shown of the other side."""
GAP_PX = 14
RULE_MM = 10
_INK = 0x16


def patch_pixels(dye: Array, look_up: Lookup, *, cell_mm: float, strand_mm: float, plies: int, seed: int) -> Pixels:
    """(height, width, 3) of dye on fibre (dyes, 2, rows, columns); on the mat between the sides stands a rule of 10 mm.

    The same arguments give the same bytes.
    """
    rows = dye.shape[2]
    face = _lit(dye[:, 0], look_up, cell_mm=cell_mm, strand_mm=strand_mm, plies=plies, seed=seed)
    back = _lit(dye[:, 1, : round(BACK_SHARE * rows)], look_up, cell_mm=cell_mm, strand_mm=strand_mm, plies=plies, seed=seed + 1)
    gap = np.full((GAP_PX, face.shape[1], 3), MAT, np.uint8)
    _rule(gap, round(RULE_MM * PX_PER_CELL / cell_mm))
    return np.concatenate([face, gap, back])


def _lit(plane: Array, look_up: Lookup, *, cell_mm: float, strand_mm: float, plies: int, seed: int) -> Pixels:
    count, rows, columns = plane.shape
    colours = look_up(np.ascontiguousarray(plane.reshape(count, -1).T, dtype=np.float64)).reshape(rows, columns, 3)
    large = np.repeat(np.repeat(colours, PX_PER_CELL, axis=0), PX_PER_CELL, axis=1)
    light = _strands(large.shape[0], large.shape[1], strand_px=strand_mm * PX_PER_CELL / cell_mm, plies=plies, seed=seed)
    return np.asarray(encode_table()[np.clip(large * light[:, :, None] * 4095, 0, 4095).astype(np.int16)])


def _strands(height: int, width: int, *, strand_px: float, plies: int, seed: int) -> Floats:
    """Light (height, width) on strands that lie side by side, mean 1."""
    rng = np.random.default_rng([seed, 21])
    strand = np.maximum(strand_px, 2.0)
    y, x = np.arange(height) + 0.5, np.arange(width)
    which = (y / strand).astype(int)
    u = 2 * (y / strand - which) - 1
    start = rng.uniform(0, 2 * np.pi, which[-1] + 1)[which]
    turn = 2.6 * strand * max(plies, 1) / 2
    groove = 1 - 0.16 * np.cos(2 * np.pi * max(plies, 1) * x[None, :] / turn + 1.2 * np.arcsin(u)[:, None] + start[:, None])
    fibre = 1 + 0.05 * rng.standard_normal((height, width))
    light = (0.62 + 0.52 * np.sqrt(1 - u * u))[:, None] * (groove if plies > 1 else 1.0) * fibre
    return np.asarray(light / light.mean(), dtype=np.float32)


def _rule(gap: Pixels, length_px: int) -> None:
    """A line with two ticks, left on the strip of mat."""
    middle, left = gap.shape[0] // 2, 6
    gap[middle - 1 : middle + 1, left : left + length_px] = _INK
    for tick in (left, left + length_px - 2):
        gap[2:-2, tick : tick + 2] = _INK
