"""What a shelf can reach on a ground: chips of every mixture that looks different; and the grid of a mixing triangle."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.tables import Array

LEVELS = (0.001, 0.004, 0.015)
"""Total depths of the chips: pale, middling, full."""
CELL = 8.0
_PAIR_SHARES = ((0.8, 0.2), (0.5, 0.5), (0.2, 0.8))
_TRIPLE_SHARES = ((0.34, 0.33, 0.33), (0.6, 0.2, 0.2), (0.2, 0.6, 0.2), (0.2, 0.2, 0.6))


def chips(dyes: DyeSet, *, levels: tuple[float, ...] = LEVELS, cell: float = CELL, most_dyes: int = 3) -> tuple[Array, Array]:
    """Depths (n, D) and Lab (n, 3): of single dyes, pairs and triples at a few shares and total depths, one for each cube of `cell` Lab units.

    The recipe with the fewest dyes stands for its cube. In the order of lightness, light first.
    """
    count = len(dyes.names)
    shares = [np.eye(count)]
    for size, parts in ((2, _PAIR_SHARES), (3, _TRIPLE_SHARES)):
        if size > min(most_dyes, count):
            break
        combos = np.array(list(combinations(range(count), size)))
        for part in parts:
            rows = np.zeros((len(combos), count))
            rows[np.arange(len(combos))[:, None], combos] = part
            shares.append(rows)
    all_shares = np.concatenate(shares)
    depths = np.concatenate([level * all_shares for level in levels])
    labs = dyes.labs(depths)
    order = np.argsort((depths > 0).sum(axis=1), kind="stable")
    _, first = np.unique(np.floor(labs[order] / cell).astype(np.int64), axis=0, return_index=True)
    kept = order[first]
    kept = kept[np.argsort(-labs[kept, 0], kind="stable")]
    return depths[kept], labs[kept]


def triangle_shares(steps: int) -> Array:
    """Shares (n, 3) of three dyes on a triangular grid with `steps` steps along each side, n = (steps + 1)(steps + 2)/2, row by row from the first corner."""
    if steps < 1:
        raise ValueError("a triangle has one step or more")
    grid = [((steps - row) / steps, (row - place) / steps, place / steps) for row in range(steps + 1) for place in range(row + 1)]
    return np.array(grid)
