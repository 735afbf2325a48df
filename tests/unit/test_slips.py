"""What is told of figures far from the plan, and of traces too small to weigh. The limits are common practice; the sums are done by hand."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.lot.slips import dose_slip, weight_slip
from skeinwright.core.lot.traces import say_depth, say_grams, say_grams_range


@pytest.mark.parametrize(
    ("amount", "planned", "unit", "says"),
    [
        (30, 3, "g", "30 g is 10 times the 3 g that were planned: see whether the point stands right."),
        (0.3, 3, "g", "0.3 g is 10 times less than the 3 g that were planned: see whether the point stands right."),
        (1500, 150, "ml", "1.5 l is 10 times the 150 ml that were planned: see whether the point stands right."),
        (14.9, 3, "g", ""),
        (0.61, 3, "g", ""),
        (0, 3, "g", ""),
        (3, 0, "g", ""),
    ],
)
def test_an_amount_far_from_the_plan(amount: float, planned: float, unit: str, says: str) -> None:
    assert dose_slip(amount, planned, unit) == says


def test_a_weight_far_from_the_put_up() -> None:
    assert weight_slip(10, 100) == "10 g is 10 times less than the 100 g that were put up: see whether the point stands right."
    assert [weight_slip(grams, 100) for grams in (35, 100, 290)] == ["", "", ""]
    assert weight_slip(98, 0) == "", "what was put up is not known of every pot"


def test_traces_are_told_as_far_as_a_scale_goes() -> None:
    assert [say_grams(grams) for grams in (0.0623, 0.001, 0.000024, 0)] == ["0.062 g", "0.001 g", "under 0.001 g", "under 0.001 g"]
    ranges = [(0.0221, 0.0623, 0.19), (0.00035, 0.00085, 0.0023), (1e-5, 2.4e-5, 1.8e-4)]
    said = [say_grams_range(Estimate(value, low, high, "g", Origin.ASSUMED)) for low, value, high in ranges]
    assert said == ["0.022 to 0.19 g", "up to 0.0023 g", "next to nothing"]
    assert [say_depth(depth) for depth in (0.000623, 0.00000085)] == ["0.062 %", "under 0.001 %"]
