"""Guards: what is refused, what is warned of, what is let through."""

from __future__ import annotations

import pytest

from skeinwright.core.bath.acids import CITRIC, AcidAsBought
from skeinwright.core.bath.guards import (
    Guards,
    acid_guards,
    depth_guards,
    drain_guards,
    liquor_guards,
    mixed_strength_guards,
    ph_guards,
    pot_guards,
    recipe_guards,
    refusals,
    solution_guards,
    spoon_guards,
    strength_guards,
    warnings,
    weighing_guards,
)
from skeinwright.core.bath.liquor import Brought, fit_in, liquor_for_ratio, water_to_add
from skeinwright.core.shelf.items import Vessel

PAN = Vessel(name="Long pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100)


def says(guards: Guards) -> str:
    """'refuse', 'warn' or ''."""
    return "refuse" if refusals(guards) else "warn" if warnings(guards) else ""


@pytest.mark.parametrize(("depth", "expected"), [(0.0, ""), (0.00004, "refuse"), (0.00005, ""), (0.005, ""), (0.06, ""), (0.061, "refuse"), (0.3, "refuse")])
def test_depth(depth: float, expected: str) -> None:
    assert says(depth_guards(depth)) == expected


def test_a_tenfold_slip_is_answered_with_what_was_likely_meant() -> None:
    assert "Did you mean 3 %?" in depth_guards(0.3)[0].sentence
    assert "Did you mean 0.02 %?" in depth_guards(0.00002)[0].sentence
    assert "Did you mean 80 %?" in strength_guards(0.08)[0].sentence
    assert "Did you mean 5 %?" in acid_guards(AcidAsBought("vinegar", 0.005))[0].sentence


def test_dyes_that_are_fine_alone_may_be_too_much_together() -> None:
    assert says(recipe_guards((("Kelp", 0.03), ("Ember", 0.03)))) == ""
    assert says(recipe_guards((("Kelp", 0.04), ("Ember", 0.04)))) == "refuse"
    assert "Ember" in recipe_guards((("Kelp", 0.01), ("Ember", 0.08)))[0].sentence


@pytest.mark.parametrize(("strength", "expected"), [(0.05, "refuse"), (0.1, ""), (0.8, ""), (1.5, ""), (4.0, ""), (8.0, "refuse")])
def test_powder_strength(strength: float, expected: str) -> None:
    assert says(strength_guards(strength)) == expected


@pytest.mark.parametrize(("strength", "expected"), [(0.00005, "refuse"), (0.001, ""), (0.01, ""), (0.04, ""), (0.05, "warn"), (0.10, "warn"), (0.5, "refuse")])
def test_solution_strength(strength: float, expected: str) -> None:
    assert says(solution_guards(strength)) == expected


def test_one_per_cent_beside_ten_is_refused_and_beside_two_is_not() -> None:
    assert says(mixed_strength_guards((("Kelp", 0.01), ("Ember", 0.10)))) == "refuse"
    assert says(mixed_strength_guards((("Kelp", 0.01), ("Ember", 0.001)))) == "refuse"
    assert says(mixed_strength_guards((("Kelp", 0.01), ("Ember", 0.02)))) == ""
    assert says(mixed_strength_guards((("Kelp", 0.01),))) == ""


def test_powder_that_no_scale_tells_is_warned_of() -> None:
    assert says(weighing_guards(0.03)) == "warn"
    assert says(weighing_guards(0.3)) == ""


def test_a_spoon_of_powder_is_warned_of_and_a_gram_is_not() -> None:
    assert "30 %" in spoon_guards("tsp", "citric", "citric")[0].sentence
    assert spoon_guards("g", "citric", "citric") == ()


def test_a_pan_that_runs_over_is_refused() -> None:
    assert says(pot_guards(fit_in(PAN, 20000, 200))) == "refuse"


def test_little_head_room_is_warned_of() -> None:
    assert says(pot_guards(fit_in(PAN, 13000, 200))) == "warn"
    assert says(pot_guards(fit_in(PAN, 3000, 200))) == ""


def test_more_yarn_than_the_pan_takes_is_warned_of() -> None:
    assert "above the brim" in pot_guards(fit_in(PAN, 3000, 6000))[0].sentence


def test_wet_yarn_that_brings_more_than_the_bath_is_warned_of() -> None:
    liquor = water_to_add(liquor_for_ratio(100, 1), 100, (Brought(what="wet yarn", volume_ml=180),))
    assert "80 ml more" in warnings(liquor_guards(liquor))[0]


def test_a_ratio_that_nobody_dyes_at_is_refused() -> None:
    assert says(liquor_guards(water_to_add(liquor_for_ratio(10, 400), 10))) == "refuse"
    assert says(liquor_guards(water_to_add(liquor_for_ratio(100, 30), 100))) == ""


@pytest.mark.parametrize(("strength", "expected"), [(0.005, "refuse"), (0.05, ""), (0.10, ""), (0.20, "warn"), (0.56, "warn"), (1.2, "refuse")])
def test_vinegar(strength: float, expected: str) -> None:
    assert says(acid_guards(AcidAsBought("vinegar", strength))) == expected


def test_strong_vinegar_asks_for_goggles() -> None:
    assert "goggles" in acid_guards(AcidAsBought("vinegar", 0.56))[0].sentence
    assert acid_guards(CITRIC) == ()


def test_ph_and_drain() -> None:
    assert ph_guards(4.5) == ()
    assert "40 CFR 261.22" in ph_guards(1.8)[0].sentence
    assert says(ph_guards(2.6)) == "warn"
    assert "local code" in drain_guards(4.2)[0].sentence
    assert "403.5" in drain_guards(4.2)[0].sentence
    assert drain_guards(5.0) == drain_guards(10.0) == ()
    assert "6.5 to 9" in drain_guards(6.0, 6.5, 9)[0].sentence  # the dyer's own limit is tighter than the law
    assert "403.5" not in drain_guards(6.0, 6.5, 9)[0].sentence
    assert says(drain_guards(10.4)) == "warn"
