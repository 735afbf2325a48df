"""Small pieces of the yarn room: cables, stretches of stitch counts, words for colours, lights of the compiled kernels."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.banded import banded
from skeinwright.core.picture.describe import WET_WORDS, colours_in_words, describe_map
from skeinwright.core.picture.knitted import Knit, knitted_scene
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.shadow import box_mean, lamp_seen
from skeinwright.core.picture.strand import strand
from skeinwright.core.yarn.pieces import piece_yarn_mm, stitches_by_row, verdicts_by_row
from skeinwright.core.yarn.pooling import least_pooling, rotation, stretches, verdict
from skeinwright.core.yarn.stripes import Stripe, lay_stripes


def test_stretches_cover_every_stitch_count_once() -> None:
    found = list(stretches(109.756, 50, 130))
    counts = [n for first, last, _ in found for n in range(first, last + 1)]
    assert counts == list(range(50, 131))
    assert all(verdict(n, 109.756) == said for first, last, said in found for n in (first, last))


def test_the_best_scatter_is_near_the_golden_section() -> None:
    n = least_pooling(109.756, 55, 75)
    assert min(abs(rotation(n, 109.756) - g) for g in (0.382, 0.618)) < 0.01


def test_a_cable_is_drawn_round_and_as_thick_as_it_says() -> None:
    light = strand(StrandLook(8, 30.0, 1.5, 0.0), width=600, height=60, px_per_mm=16.0)
    width = light.alpha.sum(axis=0)[50:-50] / 16.0
    assert width.mean() == pytest.approx(1.5, rel=0.08)
    assert np.ptp(width) / width.mean() < 0.35


def test_box_mean_is_the_mean_of_a_box() -> None:
    rng = np.random.default_rng(1)
    field = rng.random((150, 170), dtype=np.float32)
    found = box_mean(field, 3)
    padded = np.pad(field, 3, mode="edge")
    plain = np.mean([padded[i : i + 150, j : j + 170] for i in range(7) for j in range(7)], axis=0)
    assert np.allclose(found, plain, atol=1e-5)


def test_a_wall_shades_what_lies_behind_it() -> None:
    """The lamp stands at the upper left: right of and below a wall it is dark, left of it bright; far away it is bright again."""
    depth = np.zeros((160, 160), dtype=np.float32)
    depth[60:100, 70:74] = 20.0
    seen = lamp_seen(depth, 12.0, 2.0)
    assert seen[90, 78] < 0.3
    assert seen[90, 60] == 1.0
    assert seen[20, 140] == 1.0


@pytest.mark.parametrize("rows", [1, 63, 128, 1000])
def test_bands_cover_every_row_once(rows: int) -> None:
    hit = np.zeros(rows, dtype=int)
    banded(rows, lambda a, b: hit.__setitem__(slice(a, b), hit[a:b] + 1))
    assert (hit == 1).all()


def test_a_fault_in_a_band_is_told() -> None:
    def fail(a: int, b: int) -> None:
        raise ValueError("in a band")

    with pytest.raises(ValueError, match="in a band"):
        banded(1000, fail)


def test_colours_in_words_name_shares() -> None:
    blue, cream = (30.0, -5.0, -30.0), (90.0, 1.0, 12.0)
    said = colours_in_words([blue] * 70 + [cream] * 28 + [(50.0, 60.0, 40.0)] * 2)
    assert said == "deep blue (most of it), cream (about a third)"
    assert colours_in_words([cream] * 5) == "cream"
    words = describe_map("in the pan", StrandLook(2, 17.0, 1.5, 0.9), [cream], base="Fell Two")
    assert words == "A wet skein in its pan of Fell Two, two plies twisted together, soft twist: cream. " + WET_WORDS


def test_stripes_that_cannot_be() -> None:
    with pytest.raises(BadInput):
        lay_stripes([], 64, 13.7, yarn_mm=4e5)
    with pytest.raises(BadInput, match="part of a row"):
        lay_stripes([Stripe("Kelp", 0)], 64, 13.7, yarn_mm=4e5)
    assert any("not one repeat" in said for said in lay_stripes([Stripe("Kelp", 1000)], 64, 13.7, yarn_mm=4e5).warnings)
    assert any("bleed" in said for said in lay_stripes([Stripe("Kelp", 0.1)], 64, 13.7, yarn_mm=4e5).warnings)


def test_a_hat_loses_its_stitches_and_a_shawl_gains_them() -> None:
    hat, shawl = stitches_by_row("hat", 96, 60), stitches_by_row("shawl", 200, 50)
    assert len(hat) == 60
    assert hat[0] == 96
    assert hat[-1] == 8
    assert list(hat) == sorted(hat, reverse=True)
    assert shawl[:3] == (5, 7, 9)
    assert stitches_by_row("panel", 40, 3) == (40, 40, 40)
    assert piece_yarn_mm(stitches_by_row("sock", 64, 10), 13.667) == pytest.approx(8747, abs=1)
    with pytest.raises(BadInput, match="pieces are"):
        stitches_by_row("tent", 64, 10)


def test_where_the_width_changes_the_verdict_changes() -> None:
    counts = stitches_by_row("shawl", 240, 120)
    found = verdicts_by_row(counts, 109.756, flat=True)
    assert found[0].first == 1
    assert found[-1].last == 120
    assert all(a.last + 1 == b.first and a.verdict != b.verdict for a, b in pairwise(found))
    assert {one.verdict for one in found} >= {"stacks", "drifts", "scatters"}
    assert all(verdict(counts[one.first - 1], 109.756, flat=True) == one.verdict for one in found)


def test_two_skeins_in_turn_take_half_the_yarn_each() -> None:
    """Rows 1 and 2 from the first skein, 3 and 4 from the second, and so on: within a skein the yarn runs on without a gap, row after row."""
    one = knitted_scene(StrandLook(), Knit(stitch_mm=10.0, stitches=30), width=120, height=200, across=8).drawn.start[::-1]
    two = knitted_scene(StrandLook(), Knit(stitch_mm=10.0, stitches=30, alternate=2, second_mm=1e6), width=120, height=200, across=8).drawn.start[::-1]
    rows = np.arange(len(two)) - 3
    first = (rows // 2 % 2 == 0) & (rows >= 0)
    assert np.all(two[first] < 5e5)
    assert np.all(two[~first & (rows >= 0)] > 5e5)
    assert np.allclose(np.diff(one), 300.0)
    assert np.allclose(np.diff(two[first]), 300.0)
    assert np.allclose(np.diff(two[~first & (rows >= 0)]), 300.0)
