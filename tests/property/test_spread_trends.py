"""What dyers say of powder on wet yarn must come out by itself: twelve trends, each on three seeds and with a margin of a tenth.

All are common practice; no measurement is known. The panels are 5.8 cm square, 0.1 mg/cm2 of one middling dye at 85 C for 25 minutes unless a case says
otherwise. Yarn "without acid" is what dyers mean by it: the acid goes into the water ten minutes after the powder. Yarn that never gets any stands beside it
where a trend holds for it as well.

A trend that holds less widely than it is told is asked for as it is told: where it fails stands as an expected failure, with the numbers that are in doubt,
and would fail the run if it came to hold.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

from skeinwright.core.spread.figures import Figures, figures
from skeinwright.core.spread.grid import panel
from skeinwright.core.spread.stepper import Spreading, full
from spread_cases import case

SEEDS = (1, 2, 3)
MARGIN = 1.1
PANEL = panel(160, 0.036)


class Acid(NamedTuple):
    """Share of the acid sites that is filled, in the end; when the acid comes, in seconds after the powder; and acid in the powder, mmol a mg of dye."""

    phi: float
    late_s: float = 0.0
    in_powder: float = 0.0


NEVER, LATE, LOW, IN_FIBRE = Acid(0.0), Acid(0.3, late_s=600.0), Acid(0.03), Acid(0.3)
SOME = Acid(0.15)
IN_POWDER = Acid(0.03, in_powder=0.0084)
"""Four parts of citric acid to one of dye, on yarn with little: 0.24 % of the fibre's weight in all, ample where a grain lies and scarce in the pan."""
SHALLOW, MIDDLING, DEEP = 0.15, 0.4, 1.0
DEPTHS = (0.0, SHALLOW, MIDDLING, DEEP)
"""cm of free water; 0 is the damp counter."""
HALF_AN_HOUR = 1800.0
"""How long dyers hold it as a rule (common practice), and what a "hold" step takes where it does not say."""


@cache
def _run(
    depth_cm: float, acid: Acid, seed: int, temp_c: float = 85.0, grain_mm: float = 0.12, load: float = 0.1, time_s: float = 1500.0
) -> tuple[Figures, float]:
    """Figures, and the share of what has dissolved that is on the fibre."""
    damp = depth_cm == 0
    session = case(
        depth_cm, acid.phi, temp_c, load_mg_cm2=load, time_s=time_s, held_g_g=1.2 if damp else 3.0, powder_acid=acid.in_powder, grain_mm=grain_mm,
        evaporates=not damp, late_s=acid.late_s,
    )  # fmt: skip
    result = full(session, PANEL, seed)
    return figures(result), _clear(result)


def _clear(result: Spreading) -> float:
    ledger = result.ledger
    return float(ledger.fibre_mg.sum() / (ledger.fibre_mg + ledger.held_mg + ledger.free_mg).sum())


@pytest.mark.parametrize("seed", SEEDS)
class TestTrends:
    @pytest.mark.parametrize("acid", [LATE, LOW, IN_FIBRE])
    def test_deeper_water_widens(self, acid: Acid, seed: int) -> None:
        assert _run(DEEP, acid, seed)[0].half_width_mm > MARGIN * _run(SHALLOW, acid, seed)[0].half_width_mm

    def test_acid_in_the_fibre_narrows(self, seed: int) -> None:
        for depth in DEPTHS:
            narrow = _run(depth, IN_FIBRE, seed)[0].half_width_mm
            assert all(MARGIN * narrow < _run(depth, acid, seed)[0].half_width_mm for acid in (NEVER, LATE, LOW)), depth

    def test_acid_in_the_powder_narrows(self, seed: int) -> None:
        for depth in DEPTHS:
            assert MARGIN * _run(depth, IN_POWDER, seed)[0].half_width_mm < _run(depth, LOW, seed)[0].half_width_mm, depth

    def test_a_damp_counter_is_sharpest(self, seed: int) -> None:
        for acid in (NEVER, LATE, LOW, IN_FIBRE):
            damp = _run(0.0, acid, seed)[0].half_width_mm
            assert all(MARGIN * damp < _run(depth, acid, seed)[0].half_width_mm for depth in (SHALLOW, MIDDLING, DEEP)), acid

    @pytest.mark.parametrize(("cooler", "hotter"), [(65.0, 85.0), (65.0, 96.0)])
    def test_hotter_is_sharper_in_shallow_water(self, cooler: float, hotter: float, seed: int) -> None:
        """From 85 to 96 C it is 9 %, so the margin of a tenth is asked over 65 C only: strike and spreading both quicken, and the last few degrees are few."""
        assert MARGIN * _run(SHALLOW, SOME, seed, hotter)[0].half_width_mm < _run(SHALLOW, SOME, seed, cooler)[0].half_width_mm
        assert _run(SHALLOW, SOME, seed, 96.0)[0].half_width_mm < 0.95 * _run(SHALLOW, SOME, seed, 85.0)[0].half_width_mm

    def test_a_simmer_is_softer_than_85_in_deep_water(self, seed: int) -> None:
        """With much acid it is 10 to 13 %, as a panel's half-width is that of its largest grains' stains (2.5 radii, assumed): no margin is asked there."""
        for acid in (LOW, SOME):
            assert _run(DEEP, acid, seed, 96.0)[0].half_width_mm > MARGIN * _run(DEEP, acid, seed, 85.0)[0].half_width_mm
        assert _travel_cm(SOME, seed, DEEP, 96.0) > MARGIN * _travel_cm(SOME, seed, DEEP, 85.0)
        assert _run(DEEP, IN_FIBRE, seed, 96.0)[0].half_width_mm > _run(DEEP, IN_FIBRE, seed, 85.0)[0].half_width_mm

    @pytest.mark.parametrize("acid", [NEVER, LATE, LOW, IN_FIBRE])
    def test_deeper_water_reaches_the_back(self, acid: Acid, seed: int) -> None:
        shallow, middling, deep = (_run(depth, acid, seed)[0].front_back for depth in (SHALLOW, MIDDLING, DEEP))
        assert deep > MARGIN * middling > MARGIN * MARGIN * shallow

    @pytest.mark.parametrize(("depth", "acid"), [(MIDDLING, LOW), (MIDDLING, IN_FIBRE), (MIDDLING, IN_POWDER), (DEEP, IN_FIBRE), (DEEP, IN_POWDER)])
    def test_the_back_is_soft_under_4_mm_and_more(self, depth: float, acid: Acid, seed: int) -> None:
        assert MARGIN * _back_over_front(depth, acid, seed) < 1 / 3

    @pytest.mark.parametrize("acid", [IN_FIBRE, IN_POWDER])
    @pytest.mark.parametrize("depth", [0.0, SHALLOW, MIDDLING])
    def test_liquor_clears_where_acid_is_ample(self, depth: float, acid: Acid, seed: int) -> None:
        assert _run(depth, acid, seed)[1] > 0.97

    def test_deep_liquor_clears_in_half_an_hour_where_acid_is_ample(self, seed: int) -> None:
        """10 mm of free water has to give its dye up through a film first; acid in the powder alone is not ample there."""
        assert _run(DEEP, IN_FIBRE, seed, time_s=HALF_AN_HOUR)[1] > 0.97

    def test_liquor_stays_coloured_where_acid_is_scarce_and_water_deep(self, seed: int) -> None:
        assert _run(DEEP, LOW, seed)[1] < 0.97 / MARGIN
        assert _run(DEEP, NEVER, seed)[1] < 0.97 / MARGIN
        assert _run(DEEP, LOW, seed)[1] < _run(DEEP, IN_POWDER, seed)[1] < 0.97

    @pytest.mark.parametrize("acid", [NEVER, LATE])
    def test_colour_travels_twice_as_far_without_acid(self, acid: Acid, seed: int) -> None:
        assert _travel_cm(acid, seed) > 2 * MARGIN * _travel_cm(IN_FIBRE, seed)

    def test_coarser_grain_makes_larger_specks(self, seed: int) -> None:
        """0.03 mg/cm2, so that specks of every grain can be counted."""
        sizes = [_run(SHALLOW, IN_FIBRE, seed, grain_mm=grain, load=0.03)[0].speckle_mm for grain in (0.06, 0.12, 0.24)]
        assert all(size is not None for size in sizes)
        fine, middling, coarse = (size or 0.0 for size in sizes)
        assert coarse > MARGIN * middling > MARGIN * MARGIN * fine


def test_the_back_is_soft_where_acid_is_scarce_under_10_mm() -> None:
    """Below a third on each seed, but with the margin of a tenth on two of three only: there the front is soft itself."""
    found = [_back_over_front(DEEP, LOW, seed) for seed in SEEDS]
    assert max(found) < 1 / 3
    assert sorted(found)[1] < 1 / 3 / MARGIN


MINUTES = "for ten minutes hardly any dye strikes, and it goes through the yarn: phi0 = 0.02 (assumed, 0 to 0.1) is in doubt; with 0.05 the third is kept"


@pytest.mark.parametrize(
    "depth",
    [
        pytest.param(MIDDLING, marks=pytest.mark.xfail(strict=True, raises=AssertionError, reason=MINUTES)),
        pytest.param(DEEP, marks=pytest.mark.xfail(strict=True, raises=AssertionError, reason="the front has lost its specks too: both faces are soft")),
    ],
)
def test_the_back_is_soft_where_acid_comes_late(depth: float) -> None:
    """The same third, asked of all seeds at once."""
    assert all(_back_over_front(depth, LATE, seed) < 1 / 3 for seed in SEEDS)


def test_both_faces_are_soft_where_acid_comes_late_under_10_mm() -> None:
    """What takes the place of the third there: less than a third of the contrast that the same powder has on the face of yarn with acid, on either face."""
    for seed in SEEDS:
        late, sharp = _run(DEEP, LATE, seed)[0], _run(DEEP, IN_FIBRE, seed)[0]
        assert MARGIN * max(late.contrast, late.back_contrast) < sharp.contrast / 3


def _back_over_front(depth: float, acid: Acid, seed: int) -> float:
    found = _run(depth, acid, seed)[0]
    return found.back_contrast / found.contrast


def _travel_cm(acid: Acid, seed: int, depth_cm: float = SHALLOW, temp_c: float = 85.0) -> float:
    """How far one grain's dye has gone from where the grain lay: root of the mean square distance, footprint and all."""
    session = case(depth_cm, acid.phi, temp_c, load_mg_cm2=1e-9, late_s=acid.late_s)
    result = full(session, panel(128, 0.045), seed, dtype=np.float64)
    plane = result.dye[0, 0].astype(float)
    y, x = np.indices(plane.shape) * 0.045
    total = plane.sum()
    mx, my = (plane * x).sum() / total, (plane * y).sum() / total
    return float(np.sqrt((plane * ((x - mx) ** 2 + (y - my) ** 2)).sum() / total))
