"""Which overdyes are shown: held to what must be so whatever the dyes (an overdye only darkens; the nearest is nearest; those shown differ)."""

from __future__ import annotations

import numpy as np
import pytest

from invented_dyes import BASE, invented
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.measure.overdye_choice import EVENED, LEAST_UNEVEN, Over, grid, near_and_dark, nearest_to

RNG = np.random.default_rng(11)
DYES = [invented(RNG) for _ in range(5)]
BLOTCHES = [mix(BASE, (0.2 * DYES[0].at(0.01))[None]), mix(BASE, (0.5 * DYES[1].at(0.01))[None])]
SHARES = np.array([0.7, 0.3])


class _Set:
    """The dyes over one colour, by the truth that they were invented with: spectra alone are asked of it."""

    def __init__(self, ground: np.ndarray) -> None:
        self.ground, self.names = ground, tuple("abcde")

    def spectra(self, depths: np.ndarray) -> np.ndarray:
        return np.array([mix(self.ground, np.array([dye.at(depth) for dye, depth in zip(DYES, row, strict=True)])) for row in depths])


def over(grounds: list[np.ndarray]) -> Over:
    sets: list[DyeSet] = [_Set(ground) for ground in grounds]  # type: ignore[misc]
    return Over(sets, SHARES[: len(grounds)] / SHARES[: len(grounds)].sum())


@pytest.fixture(scope="module")
def depths() -> np.ndarray:
    return grid(over(BLOTCHES).sets[0], np.full(5, 0.04), 2)


def test_the_grid_holds_every_dye_alone_and_in_pairs_within_its_limits(depths: np.ndarray) -> None:
    used = (depths > 0).sum(axis=1)
    assert (used == 1).sum() == 5 * 6
    assert (used == 2).sum() == 10 * 9
    assert depths.max() <= 0.04 + 1e-12
    tight = grid(over(BLOTCHES).sets[0], np.array([0.0, 0.001, 0.04, 0.04, 0.04]), 1)
    assert (tight[:, 0] == 0).all()
    assert tight[:, 1].max() <= 0.001 + 1e-12


def test_the_means_are_those_of_a_sum_over_the_colours_worked_by_hand(depths: np.ndarray) -> None:
    skein, row = over(BLOTCHES), depths[40:41]
    each = [spectrum_to_lab(mix(ground, np.array([dye.at(depth) for dye, depth in zip(DYES, row[0], strict=True)])), "D65", 2) for ground in BLOTCHES]
    target = np.array([30.0, 10.0, -10.0])
    assert skein.away(row, target)[0] == pytest.approx(0.7 * float(ciede2000(each[0], target)) + 0.3 * float(ciede2000(each[1], target)))


def test_near_the_target_the_first_is_the_nearest_and_no_two_are_one(depths: np.ndarray) -> None:
    skein, target = over(BLOTCHES), np.array([30.0, 15.0, -20.0])
    found = nearest_to(skein, depths, target)
    assert found[0].why == "Nearest"
    assert found[0].away == pytest.approx(skein.away(depths, target).min())
    assert len(found) == len({tuple(one.depths) for one in found}) == 3


def test_near_and_dark_enough_means_what_it_says(depths: np.ndarray) -> None:
    skein = over(BLOTCHES)
    before = float(skein.uneven(np.zeros((1, 5)))[0])
    found, enough = near_and_dark(skein, depths)
    assert enough
    assert len(found) == 3
    assert all(one.uneven <= max(LEAST_UNEVEN, EVENED * before) for one in found)
    assert found[0].away == min(one.away for one in found)  # the one that changes it least comes first
    _, means = skein.after(np.array([one.depths for one in found]))
    assert min(float(ciede2000(means[i], means[j])) for i in range(3) for j in range(i)) >= 3.0
    was = skein.after(np.zeros((1, 5)))[1][0]
    assert (means[:, 0] < was[0]).all()  # dye only makes deeper


def test_where_nothing_is_dark_enough_the_most_even_are_shown_and_it_is_said() -> None:
    skein = over(BLOTCHES)
    faint = np.full((1, 5), 0.0)
    faint[0, 2] = 1e-4
    found, enough = near_and_dark(skein, faint)
    assert not enough
    assert len(found) == 1


def test_a_skein_of_one_colour_falls_in_lightness(depths: np.ndarray) -> None:
    skein = over(BLOTCHES[:1])
    found, enough = near_and_dark(skein, depths)
    assert enough
    _, means = skein.after(np.array([one.depths for one in found]))
    assert (means[:, 0] <= skein.after(np.zeros((1, 5)))[1][0, 0] - 8.0).all()
