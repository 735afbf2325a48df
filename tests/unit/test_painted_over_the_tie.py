"""Bands that meet at the tie are one stroke of the brush, and bands that do not have their uneven edges."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skeinwright.core.spread.actions import band_mask
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.state import start
from spread_cases import case

ROUND = Grid(rows=60, columns=200, dx_cm=0.5, dy_cm=0.2, round_the_loop=True)


def uneven(*bands: tuple[float, float], grid: Grid = ROUND) -> np.ndarray:
    """The mask over what each strand takes (which differs from strand to strand)."""
    pan = start(case(), grid, np.random.default_rng(1), np.float32, None)
    return np.asarray(band_mask(pan, bands, 1.0) / pan.row_gain[:, None])


def test_no_white_line_at_the_tie() -> None:
    mask = uneven((80.0, 100.0), (0.0, 30.0))
    at_the_tie = np.concatenate([mask[:, -20:], mask[:, :20]], axis=1)
    assert np.allclose(at_the_tie, 1.0)
    assert np.allclose(mask[:, 80:140], 0.0)
    assert 0.2 < mask[:, 56:64].mean() < 0.8, "the other ends are uneven as ever"
    assert mask[:, 56:64].std() > 0.2


def test_a_band_that_ends_at_the_tie_has_an_edge_there() -> None:
    """Alone, or on a patch that does not close on itself."""
    assert uneven((80.0, 100.0))[:, -3:].min() < 0.5
    open_patch = replace(ROUND, round_the_loop=False)
    assert uneven((80.0, 100.0), (0.0, 30.0), grid=open_patch)[:, :3].min() < 0.5
