"""What the steps of a plan add, as depths of shade; and a plan of steps that are half written."""

from __future__ import annotations

from datetime import date
from types import MappingProxyType

import pytest

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.lot.depths import of_no_known_weight, step_depths
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.sketch import Sketch, sketch_of
from skeinwright.core.shelf.items import Blend, Dye, Solution, Vessel

SHELF = on_shelf(
    (
        Dye(name="Kelp", strength=0.8),
        Dye(name="Ember"),
        Solution(name="Shore", parts=(("Kelp", 0.75), ("Ember", 0.25)), strength=0.01),
        Blend(name="Shingle", parts=(("Kelp", 0.5), ("Ember", 0.5))),
        Vessel(name="Pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100),
    )
)


def sketch(*steps: tuple[str, dict[str, str]], fibre: str = "2 skeins of 100 g", vessel: str = "") -> Sketch:
    written = tuple(Step(do, MappingProxyType(said)) for do, said in steps)
    return sketch_of(Colourway(name="Inlet", fibre=fibre, vessel=vessel, steps=written), SHELF, today=date(2026, 11, 24))


@pytest.mark.parametrize(
    ("said", "depths"),
    [
        ({"dye": "Kelp", "depth": "0.8 %"}, {"Kelp": 0.008}),
        ({"dye": "kelp", "amount": "1 g"}, {"Kelp": 0.004}),  # the shelf's name; 1 g of an 80 % powder on 200 g
        ({"dye": "Ember", "amount": "1 g"}, {"Ember": 0.005}),
        ({"dye": "Ember", "amount": "0.5 g per skein"}, {"Ember": 0.005}),  # 2 skeins
        ({"recipe": "Kelp 0.5 %, Ember 0.2 %"}, {"Kelp": 0.005, "Ember": 0.002}),
        ({"recipe": "3 Kelp : 1 Ember", "depth": "1 %"}, {"Kelp": 0.0075, "Ember": 0.0025}),
        ({"solution": "Shore", "amount": "100 ml"}, {"Kelp": 0.003, "Ember": 0.00125}),  # 1 g of powder: .75 g x .8 / 200, .25 g / 200
        ({"dye": "Nowhere", "depth": "1 %"}, {"Nowhere": 0.01}),
    ],
)
def test_a_dose_as_a_depth(said: dict[str, str], depths: dict[str, float]) -> None:
    made = sketch(("add dye", said))
    assert made.problems == ()
    ((word, found),) = step_depths(made.draft.plan, made.fibre.total_g, SHELF)
    assert word == "add dye"
    assert found == pytest.approx(depths)


def test_a_blend_adds_its_powders_and_other_steps_add_nothing() -> None:
    made = sketch(("fill", {"volume": "4 l"}), ("sprinkle", {"blend": "Shingle", "amount": "0.4 g"}), ("hold", {"time": "30 min"}))
    fill, sprinkle, hold = step_depths(made.draft.plan, 200, SHELF)
    assert (fill, hold) == (("fill", {}), ("hold", {}))
    assert sprinkle[1] == pytest.approx({"Kelp": 0.2 * 0.8 / 200, "Ember": 0.2 / 200})


def test_millilitres_of_no_known_strength_are_named() -> None:
    made = sketch(("add dye", {"dye": "Kelp", "amount": "10 ml"}))
    assert of_no_known_weight(made.draft.plan[0]) == ("Kelp",)
    assert step_depths(made.draft.plan, 200, SHELF) == (("add dye", {}),)


def test_a_step_that_cannot_be_read_is_left_out_and_keeps_its_number() -> None:
    made = sketch(("fill", {"volume": "4 l"}), ("heat", {"to": "hot"}), ("add dye", {"dye": "Kelp", "depth": "1 %"}))
    assert made.left_out == {2}
    assert [(one.step, one.slot) for one in made.problems] == [(2, "to")]
    assert [planned.number for planned in made.draft.plan] == [1, 2, 3]
    assert made.draft.plan[2].doses[0].amount == pytest.approx(2.5)


def test_a_bath_that_would_run_over_is_told_once_and_worked_out_all_the_same() -> None:
    made = sketch(("fill", {"volume": "20 l"}), ("add acid", {"acid": "citric", "amount": "to pH 4.5"}), vessel="Pan")
    assert [(one.step, one.slot) for one in made.problems] == [(1, "volume")]
    assert made.left_out == set()
    assert made.draft.plan[0].doses[0].amount == pytest.approx(20_000)
    assert made.draft.plan[1].doses


def test_what_only_fails_because_of_another_problem_is_not_told_twice() -> None:
    made = sketch(("fill", {"volume": "lots"}), ("add acid", {"acid": "citric", "amount": "to pH 4.5"}))
    assert [(one.step, one.slot) for one in made.problems] == [(1, "volume")]
    assert made.left_out == {1, 2}


def test_fibre_that_cannot_be_read_is_told_and_100_g_stand_in() -> None:
    made = sketch(("add dye", {"dye": "Ember", "depth": "1 %"}), fibre="a lot")
    assert [(one.step, one.slot) for one in made.problems] == [(0, "fibre")]
    assert made.fibre.total_g == 100
    assert made.draft.plan[0].doses[0].amount == pytest.approx(1)
