"""Acid in the dyer's own spoons.

Sizes are those of NIST Handbook 44, appendix C (US), and of common practice (metric 5 and 15 ml, Australian tablespoon 20 ml).
"""

from __future__ import annotations

import pytest

from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC
from skeinwright.core.bath.guards import donor_guards
from skeinwright.core.bath.spoons import in_spoons
from skeinwright.core.foundations.quantities import Habits
from skeinwright.services.work_out_bath import BathRequest, work_out_bath


@pytest.mark.parametrize(
    ("ml", "spoons", "said"),
    [
        (14.78676, "us", "about 1 tbsp"),
        (22.18, "us", "about 1½ tbsp"),
        (22.18, "metric", "about 1½ tbsp"),
        (22.18, "au", "about 1 tbsp"),
        (4.93, "us", "about 1 tsp"),
        (0.7, "metric", "about ⅛ tsp"),
        (1.2, "us", "about ¼ tsp"),
        (0.3, "us", ""),
        (236.59, "us", "about 1 cup"),
        (473.2, "us", "about 2 cups"),
        (250.0, "au", "about 1 cup"),
        (5000.0, "us", ""),
    ],
)
def test_an_amount_in_spoons(ml: float, spoons: str, said: str) -> None:
    assert in_spoons(ml, "ml", "vinegar", Habits(spoons=spoons)) == said


def test_crystals_by_the_spoon_are_unsure() -> None:
    """Granular citric acid weighs 0.8 to 0.95 g/ml heaped (from memory): 4.2 g are 4.4 to 5.3 ml."""
    assert in_spoons(4.2, "g", "citric", Habits(spoons="metric")) == "about 1 tsp, within 30 %"


def test_the_answer_is_said_in_spoons_too() -> None:
    found = work_out_bath(BathRequest(water="4 l", target_ph="4.5", acid="vinegar", vinegar_strength="5 %", habits=Habits(spoons="au")))
    assert found.acid is not None
    tablespoons = found.acid.amount.value / 20
    assert f"about {round(4 * tablespoons) // 4}" in found.spoons
    assert found.to_plain()["acid_in_spoons"] == found.spoons


def test_far_too_much_of_a_weak_donor_is_told() -> None:
    """A trade sheet for blends has 4 % of the fibre's weight, 2 g/l at 20:1."""
    assert donor_guards(AMMONIUM_SULPHATE, 8, 4000) == donor_guards(CITRIC, 200, 4000) == ()
    assert "far more than is used" in donor_guards(AMMONIUM_SULPHATE, 160, 4000)[0].sentence
