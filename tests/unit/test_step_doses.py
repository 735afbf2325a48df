"""What the steps of a colourway add, as depths of shade."""

from __future__ import annotations

import pytest

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.reading import read_step
from skeinwright.core.forecast.colourway_forecast import StepDoses, step_doses
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Dye, Solution

DYES = (Dye(name="Kelp", strength=0.8), Dye(name="Ember"))
SOLUTIONS = (Solution(name="Shore", parts=(("Kelp", 0.75), ("Ember", 0.25)), strength=0.01),)


def _doses(said: dict[str, str], *, skeins: float | None = 2) -> StepDoses:
    return step_doses([read_step(Step("add dye", said))], fibre_g=200, skeins=skeins, dyes=DYES, solutions=SOLUTIONS)[0]


@pytest.mark.parametrize(
    ("said", "doses"),
    [
        ({"dye": "Kelp", "depth": "0.8 %"}, {"Kelp": 0.008}),
        ({"dye": "kelp", "amount": "1 g"}, {"Kelp": 0.004}),  # the shelf's name and the jar's 80 %
        ({"dye": "Ember", "amount": "1 g"}, {"Ember": 0.005}),  # 1 g on 200 g
        ({"dye": "Kelp", "amount": "1 g"}, {"Kelp": 0.004}),  # a jar of 80 %
        ({"dye": "Ember", "amount": "0.5 g per skein"}, {"Ember": 0.005}),  # 2 skeins
        ({"recipe": "Kelp 0.5 %, Ember 0.2 %"}, {"Kelp": 0.005, "Ember": 0.002}),
        ({"recipe": "3 Kelp : 1 Ember", "depth": "1 %"}, {"Kelp": 0.0075, "Ember": 0.0025}),
        ({"solution": "Shore", "amount": "100 ml"}, {"Kelp": 0.003, "Ember": 0.00125}),  # 1 g powder: .75 g x .8 / 200, .25 g / 200
    ],
)
def test_a_dose_as_a_depth(said: dict[str, str], doses: dict[str, float]) -> None:
    word, found = _doses(said)
    assert word == "add dye"
    assert dict(found) == pytest.approx(doses)


def test_other_steps_add_nothing() -> None:
    steps = [read_step(Step("fill", {"volume": "4 l"})), read_step(Step("hold", {"time": "30 min"}))]
    assert step_doses(steps, fibre_g=100, skeins=None, dyes=(), solutions=()) == [("fill", {}), ("hold", {})]


@pytest.mark.parametrize(
    ("said", "skeins", "says"),
    [
        ({"dye": "Kelp", "amount": "10 ml"}, 2, "no amount of powder"),
        ({"solution": "Nowhere", "amount": "10 ml"}, 2, "no solution Nowhere"),
        ({"dye": "Kelp", "amount": "1 g per skein"}, None, "number of skeins"),
    ],
)
def test_what_cannot_be_a_depth_is_said(said: dict[str, str], skeins: float | None, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        _doses(said, skeins=skeins)
