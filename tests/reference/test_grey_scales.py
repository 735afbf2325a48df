"""Grey scales. ISO 105-A02's steps are seen in two public copies; A05, A03 and A04 rest on memory, so what is checked of them is consistency.

A formula that returns the printed grade of each neutral step has the right constants for neutral steps; its terms for chroma and hue are not shown by that.
"""

from __future__ import annotations

import math

import pytest

from skeinwright.core.colour.grey_scale import (
    CHANGE_STEPS,
    CHANGE_TOLERANCES,
    GRADES,
    STAINING_STEPS,
    change_difference,
    change_grade,
    change_rating,
    staining_rating,
)  # fmt: skip
from skeinwright.core.shelf.swatch import Lab

NUMBERS = (5.0, 4.5, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5, 1.0)


def test_steps_as_printed() -> None:
    """EN 20105-A02:1994 (preview) and GOST R ISO 105-A02-99, table 1."""
    assert CHANGE_STEPS == (0.0, 0.8, 1.7, 2.5, 3.4, 4.8, 6.8, 9.6, 13.6)
    assert CHANGE_TOLERANCES == (0.2, 0.2, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 1.0)


@pytest.mark.parametrize(("step", "grade", "number"), list(zip(CHANGE_STEPS, GRADES, NUMBERS, strict=True)))
def test_neutral_steps_have_their_grade(step: float, grade: str, number: float) -> None:
    difference = change_difference(Lab(60, 0, 0), Lab(60 - step, 0, 0))
    assert difference == pytest.approx(step)
    assert change_rating(difference) == pytest.approx(number, abs=0.03)
    assert change_grade(difference) == grade


@pytest.mark.parametrize(
    ("before", "after", "difference", "rating"),
    [
        (Lab(40, 30, 10), Lab(43, 26, 12), 4.8075, 2.5002),
        (Lab(60, -40, 30), Lab(63, -33, 28), 5.2147, 2.3830),
        (Lab(30, 10, -40), Lab(33, 8, -34), 4.2175, 2.6892),
    ],
)
def test_a_second_coding_of_the_same_memory_agrees(before: Lab, after: Lab, difference: float, rating: float) -> None:
    assert change_difference(before, after) == pytest.approx(difference, abs=1e-4)
    assert change_rating(difference) == pytest.approx(rating, abs=1e-4)


def test_hues_on_either_side_of_zero() -> None:
    small = change_difference(Lab(50, 30, 0.5), Lab(50, 30, -0.5))
    assert small < 1.1
    assert small == pytest.approx(change_difference(Lab(50, 30, -0.5), Lab(50, 30, 0.5)), rel=0.05)


@pytest.mark.parametrize(("step", "number"), list(zip(STAINING_STEPS, NUMBERS, strict=True)))
def test_consistency_of_the_staining_formula_with_the_staining_steps(step: float, number: float) -> None:
    assert staining_rating(Lab(95, 0, 0), Lab(95 - step, 0, 0)) == pytest.approx(number, abs=0.02)


def test_colour_stains_less_than_grey() -> None:
    assert staining_rating(Lab(95, 0, 0), Lab(95, 6, 0)) > staining_rating(Lab(95, 0, 0), Lab(89, 0, 0))
    assert math.isclose(staining_rating(Lab(95, 0, 0), Lab(95, 0, 0)), 5.0)
