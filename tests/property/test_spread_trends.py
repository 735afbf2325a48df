"""What dyers say of powder on wet yarn must come out by itself: twelve trends, each on three seeds and with a margin of a tenth.

All are common practice; no measurement is known. The panels are 5.8 cm square, 0.1 mg/cm2 of one middling dye at 85 C for 25 minutes unless a case says
otherwise.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from skeinwright.core.spread.figures import Figures, figures
from skeinwright.core.spread.grid import panel
from skeinwright.core.spread.stepper import Spreading, full
from spread_cases import case

SEEDS = (1, 2, 3)
MARGIN = 1.1
PANEL = panel(160, 0.036)
NONE, LOW, IN_FIBRE = 0.0, 0.03, 0.3
IN_POWDER_MMOL_MG = 0.0084
"""Four parts of citric acid to one of dye."""
SHALLOW, MIDDLING, DEEP = 0.15, 0.4, 1.0


@cache
def _run(
    depth_cm: float, phi: float, seed: int, temp_c: float = 85.0, powder_acid: float = 0.0, grain_mm: float = 0.12, load: float = 0.1, time_s: float = 1500.0
) -> tuple[Figures, float]:
    """Figures, and the share of what has dissolved that is on the fibre."""
    damp = depth_cm == 0
    session = case(
        depth_cm, phi, temp_c, load_mg_cm2=load, time_s=time_s, held_g_g=1.2 if damp else 3.0, powder_acid=powder_acid, grain_mm=grain_mm, evaporates=not damp
    )
    result = full(session, PANEL, seed)
    return figures(result), _clear(result)


def _clear(result: Spreading) -> float:
    ledger = result.ledger
    return float(ledger.fibre_mg.sum() / (ledger.fibre_mg + ledger.held_mg + ledger.free_mg).sum())


@pytest.mark.parametrize("seed", SEEDS)
class TestTrends:
    def test_deeper_water_widens(self, seed: int) -> None:
        assert _run(DEEP, IN_FIBRE, seed)[0].half_width_mm > MARGIN * _run(SHALLOW, IN_FIBRE, seed)[0].half_width_mm

    def test_acid_in_the_fibre_narrows(self, seed: int) -> None:
        for depth in (SHALLOW, MIDDLING, DEEP):
            assert MARGIN * _run(depth, IN_FIBRE, seed)[0].half_width_mm < _run(depth, LOW, seed)[0].half_width_mm

    def test_acid_in_the_powder_narrows(self, seed: int) -> None:
        for depth in (SHALLOW, DEEP):
            assert MARGIN * _run(depth, LOW, seed, powder_acid=IN_POWDER_MMOL_MG)[0].half_width_mm < _run(depth, LOW, seed)[0].half_width_mm

    def test_a_damp_counter_is_sharpest(self, seed: int) -> None:
        damp = _run(0.0, IN_FIBRE, seed)[0].half_width_mm
        assert all(MARGIN * damp < _run(depth, IN_FIBRE, seed)[0].half_width_mm for depth in (SHALLOW, MIDDLING, DEEP))

    def test_hotter_is_sharper_in_shallow_water(self, seed: int) -> None:
        assert MARGIN * _run(SHALLOW, 0.15, seed, 96.0)[0].half_width_mm < _run(SHALLOW, 0.15, seed, 65.0)[0].half_width_mm

    def test_a_simmer_is_softer_than_85_in_deep_water(self, seed: int) -> None:
        """By the travel of one grain's dye; a whole panel's half-width grows less, since its largest grains' cores weigh most in it."""
        assert _run(DEEP, 0.15, seed, 96.0)[0].half_width_mm > _run(DEEP, 0.15, seed, 85.0)[0].half_width_mm
        assert _travel_cm(0.15, seed, DEEP, 96.0) > MARGIN * _travel_cm(0.15, seed, DEEP, 85.0)

    def test_deeper_water_reaches_the_back(self, seed: int) -> None:
        shallow, middling, deep = (_run(depth, IN_FIBRE, seed)[0].front_back for depth in (SHALLOW, MIDDLING, DEEP))
        assert deep > MARGIN * middling > MARGIN * MARGIN * shallow

    def test_the_back_is_soft_under_4_mm_and_more(self, seed: int) -> None:
        """Contrast of the back below a third of the front's.

        Where acid is scarce under 10 mm the front is soft itself: there it is 0.32 to 0.38 (docs/explanation/models/spread.md).
        """
        ample = ((IN_FIBRE, 0.0), (LOW, IN_POWDER_MMOL_MG))
        for depth, phi, acid in ((MIDDLING, LOW, 0.0), *((depth, *acid) for depth in (MIDDLING, DEEP) for acid in ample)):
            found = _run(depth, phi, seed, powder_acid=acid)[0]
            assert MARGIN * found.back_contrast < found.contrast / 3, (depth, phi, acid)

    def test_liquor_clears_where_acid_is_ample(self, seed: int) -> None:
        """Under 10 mm the free water has to give its dye up first: there it takes 40 minutes instead of 25."""
        assert all(_run(depth, IN_FIBRE, seed)[1] > 0.97 for depth in (0.0, SHALLOW, MIDDLING))
        assert _run(DEEP, IN_FIBRE, seed, time_s=2400.0)[1] > 0.97

    def test_liquor_stays_coloured_where_acid_is_scarce_and_water_deep(self, seed: int) -> None:
        assert _run(DEEP, LOW, seed)[1] < 0.97 / MARGIN
        assert _run(DEEP, NONE, seed)[1] < 0.97 / MARGIN

    def test_colour_travels_twice_as_far_without_acid(self, seed: int) -> None:
        assert _travel_cm(NONE, seed) > 2 * MARGIN * _travel_cm(IN_FIBRE, seed)

    def test_coarser_grain_makes_larger_specks(self, seed: int) -> None:
        sizes = [_run(SHALLOW, IN_FIBRE, seed, grain_mm=grain, load=0.03)[0].speckle_mm for grain in (0.06, 0.12, 0.24)]
        assert all(size is not None for size in sizes)
        fine, middling, coarse = (size or 0.0 for size in sizes)
        assert coarse > MARGIN * middling > MARGIN * MARGIN * fine


def _travel_cm(phi: float, seed: int, depth_cm: float = SHALLOW, temp_c: float = 85.0) -> float:
    """How far one grain's dye has gone from where the grain lay: root of the mean square distance, footprint and all."""
    session = case(depth_cm, phi, temp_c, load_mg_cm2=1e-9)
    result = full(session, panel(128, 0.045), seed, dtype=np.float64)
    plane = result.dye[0, 0].astype(float)
    y, x = np.indices(plane.shape) * 0.045
    total = plane.sum()
    mx, my = (plane * x).sum() / total, (plane * y).sum() / total
    return float(np.sqrt((plane * ((x - mx) ** 2 + (y - my) ** 2)).sum() / total))
