"""Strike that is moved to where it can have gone: grams are kept, nothing falls below zero, and a place that is shut gains nothing."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.spread.tied import moved


@pytest.mark.parametrize("seed", range(5))
def test_moving_keeps_grams_and_signs(seed: int) -> None:
    rng = np.random.default_rng(seed)
    before, after = rng.random((2, 2, 3, 40)), rng.random((2, 2, 3, 40))
    weight = rng.random(40) * (rng.random(40) > 0.3)
    found = moved(before, after, weight)
    assert found.sum(axis=(1, 2, 3)) == pytest.approx(after.sum(axis=(1, 2, 3)), rel=1e-12)
    assert found.min() >= 0
    shut = weight == 0
    assert (found[..., shut] <= before[..., shut] + 1e-15).all()


def test_where_all_is_open_nothing_moves() -> None:
    rng = np.random.default_rng(7)
    before, after = rng.random((1, 2, 4, 9)), 1 + rng.random((1, 2, 4, 9))
    assert moved(before, after, np.ones(9)) == pytest.approx(after, rel=1e-12)
    assert moved(before, after, np.zeros(9)) == pytest.approx(after)  # nowhere left: it stays where the model has it
