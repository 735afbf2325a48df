"""What a colourway can be tried with: found in its steps, with values near its own that its steps can have."""

from __future__ import annotations

import pytest

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.factors import check_value, factor_named, factors_of, with_value
from skeinwright.core.foundations.errors import BadInput
from what_if_studio import STEPS, step

POOL = Colourway(name="Rock pool", steps=STEPS)


def test_the_five_words_are_found_in_the_steps() -> None:
    found = {one.key: one.said for one in factors_of(POOL)}
    assert found == {
        "water": "450 ml", "acid": "8 ml", "temperature 4": "85 C", "temperature 7": "88 C", "grain": "", "wait": "4 min", "wait 6": "4 min", "wait 7": "4 min",
    }  # fmt: skip


def test_steps_that_say_the_same_are_tried_together_or_alone() -> None:
    factors = factors_of(POOL)
    both = with_value(POOL, factor_named(factors, "wait", where="down"), "9 min")
    assert [one.get("time") for one in both.steps[5:]] == ["9 min", "9 min"]
    first = with_value(POOL, factor_named(factors, " Wait 6 ", where="down"), "9 min")
    assert [one.get("time") for one in first.steps[5:]] == ["9 min", "4 min"]


def test_water_that_stands_in_the_vessel_can_be_tried() -> None:
    standing = Colourway(name="Pool", steps=STEPS[1:], water_volume="400 ml")
    factor = factor_named(factors_of(standing), "water", where="down")
    assert with_value(standing, factor, "1 l").water_volume == "1 l"
    with pytest.raises(BadInput):
        check_value(standing, factor, "12 C", where="down 1")


@pytest.mark.parametrize(
    ("said", "proposed"),
    [
        ("1.9 l", ("1.1 l", "1.9 l", "2.8 l")),
        ("25:1", ("15:1", "25:1", "38:1")),
        ("to cover by 2 cm", ("to cover by 1.2 cm", "to cover by 2 cm", "to cover by 3 cm")),
    ],
)
def test_values_near_its_own_are_proposed_as_it_is_written(said: str, proposed: tuple[str, ...]) -> None:
    pool = Colourway(name="Pool", steps=(step("fill", volume=said), *STEPS[1:]))
    factor = factor_named(factors_of(pool), "water", where="down")
    assert factor.proposed == proposed
    for value in proposed:
        check_value(pool, factor, value, where="down 1")


def test_every_proposal_is_one_that_its_step_can_have() -> None:
    acid_to_ph = step("add acid", acid="Vinegar 5 %", amount="to pH 4.5")
    pool = Colourway(name="Pool", steps=(STEPS[0], acid_to_ph, *STEPS[2:6], step("hold", to="205 F", time="1 h 30 min"), step("steam", time="30 min")))
    for factor in factors_of(pool):
        assert factor.said in factor.proposed or not factor.said
        for value in factor.proposed:
            check_value(pool, factor, value, where="down 1")
    assert "to pH 4" in factor_named(factors_of(pool), "acid", where="down").proposed
