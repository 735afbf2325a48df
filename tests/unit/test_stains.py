"""Stains on wet paper in pictures whose every stain was laid by hand."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.stains import find_stains

PX = 8.0


def paper(stains: list[tuple[float, float, float, float]], *, noise: float = 0.004, size: int = 480) -> np.ndarray:
    """Linear RGB of paper (0.8) with normal stains (x mm, y mm, sd mm, K/S at the middle), red taken off most."""
    y, x = np.mgrid[0:size, 0:size] / PX
    ks = np.full((size, size), (1 - 0.9) ** 2 / 1.8)
    for x0, y0, sd, height in stains:
        ks += height * np.exp(-((x - x0) ** 2 + (y - y0) ** 2) / (2 * sd**2))
    deep = 1 + ks - np.sqrt(ks * ks + 2 * ks)
    rgb = np.stack([deep, 0.9 - 0.3 * (0.9 - deep), 0.9 - 0.1 * (0.9 - deep)], axis=-1) * 0.8 / 0.9
    return rgb + noise * np.random.default_rng(1).standard_normal(rgb.shape)


def test_widths_at_half_height_are_found() -> None:
    """A normal stain is 2.3548 sd wide at half its height."""
    sds = [0.25, 0.3, 0.4, 0.5, 0.7]
    found = find_stains(paper([(8 + 10 * number, 30, sd, 1.5) for number, sd in enumerate(sds)]), PX)
    assert found.left_out == 0
    widths = np.sqrt(4 * np.sort(found.areas_mm2) / np.pi)
    assert widths == pytest.approx(2.3548 * np.array(sds), rel=0.10)


def test_stains_that_touch_and_those_at_the_edge_are_left_out() -> None:
    found = find_stains(paper([(20, 20, 0.4, 1.5), (40, 40, 0.4, 1.5), (41.1, 40, 0.4, 1.5), (0.2, 30, 0.4, 1.5)]), PX)
    assert (len(found.areas_mm2), found.left_out) == (1, 2)


def test_crowded_or_empty_paper_is_refused() -> None:
    rng = np.random.default_rng(2)
    with pytest.raises(BadInput, match="run together"):
        find_stains(paper([(float(x), float(y), 0.6, 1.5) for x, y in rng.uniform(0, 60, (300, 2))]), PX)
    with pytest.raises(BadInput, match="No stain"):
        find_stains(np.full((200, 200, 3), 0.8), PX)
