"""Dye and solution: worked examples from hand-dyeing guidance, and hand calculations."""

from __future__ import annotations

import pytest

from skeinwright.core.bath.amounts import depth_of, dye_g, parts_g, powder_in_solution_g, solution_ml
from skeinwright.services.work_out_amounts import AmountsRequest, work_out_amounts


@pytest.mark.parametrize(("depth", "strength"), [(0.01, 0.01), (0.001, 0.001)])
def test_a_pound_at_the_strength_of_its_solution(depth: float, strength: float) -> None:
    """Published worked example: 454 g at 1 % with a 1 % solution takes 454 ml; so does 0.1 % with 0.1 %."""
    assert solution_ml(dye_g(454, depth), strength) == pytest.approx(454, rel=1e-12)


@pytest.mark.parametrize(("fibre_g", "depth", "grams"), [(125, 0.02, 2.5), (300, 0.03, 9.0)])
def test_published_examples(fibre_g: float, depth: float, grams: float) -> None:
    """125 g at 2 % = 2.5 g; 300 g at 3 % = 9 g."""
    assert dye_g(fibre_g, depth) == pytest.approx(grams, rel=1e-12)


def test_weak_powder_by_hand() -> None:
    """300 g x 3 % / 80 % = 11.25 g; / 1 % = 1125 ml."""
    found = work_out_amounts(AmountsRequest(fibre="300 g", depth="3 %", strength="80 %", solution="1 %"))
    assert (found.dye_g, found.solution_ml) == (pytest.approx(11.25), pytest.approx(1125))


def test_parts_by_hand() -> None:
    """200 g x 1.5 % = 3 g over 3 : 1 : 1/2 = 4.5 parts: 2 g, 0.667 g, 0.333 g."""
    found = work_out_amounts(AmountsRequest(fibre="200 g", depth="1.5 %", parts="3 Kelp : 1 Ember : 1/2 Rosehip"))
    assert found.dyes == {"Kelp": pytest.approx(2), "Ember": pytest.approx(2 / 3), "Rosehip": pytest.approx(1 / 3)}


def test_parts_with_a_weak_dye_by_hand() -> None:
    """100 g x 2 %, 1 : 1, one at 50 %: 1 g and 2 g."""
    assert parts_g(100, 0.02, (("Kelp", 1), ("Ember", 1)), {"Ember": 0.5}) == {"Kelp": pytest.approx(1), "Ember": pytest.approx(2)}


def test_back_again() -> None:
    """125 ml of 2 % hold 2.5 g; on 125 g that is 2 %, and 1.6 % if the powder is only 80 %."""
    grams = powder_in_solution_g(125, 0.02)
    assert grams == pytest.approx(2.5)
    assert depth_of(grams, 125) == pytest.approx(0.02)
    assert depth_of(grams, 125, 0.8) == pytest.approx(0.016)
