"""Amounts, sentences and times of a lot's plan, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from lot_studio import ITEMS, TIDEWRACK, step
from skeinwright.core.bath.acids import AcidAsBought, AcidDose
from skeinwright.core.bath.fibre import sponges_of
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.uptake_of_acid import acid_uptake
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput, SkeinwrightError
from skeinwright.core.lot.code import next_code, read_code
from skeinwright.core.lot.lot import Dose, Row
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.plan import Draft, draft_of
from skeinwright.core.lot.said_doses import sentence_in
from skeinwright.core.shelf.items import Blend, Solution, Water

DAY = date(2026, 11, 24)
WATER = next(item for item in ITEMS if isinstance(item, Water))
SHELF = on_shelf(ITEMS, water=WATER)
ROWS = (
    Row(number=1, base="Quay Sock", skeins=3, skein_g=100, vessel="Big pot", mark="2 ties"),
    Row(number=2, base="Quay Sock", skeins=1, skein_g=115, vessel="Old pan"),
)


def draft(*steps: Step, rows: tuple[Row, ...] = ROWS, fibre: str = "100 g", shelf=SHELF) -> Draft:
    return draft_of(Colourway(name="Trial", fibre=fibre, bases=("Quay Sock",), steps=steps), rows, shelf, today=DAY)


def doses(plan: Draft, number: int = 1) -> dict[tuple[str, str], tuple[float, str]]:
    return {(dose.vessel, dose.name): (pytest.approx(dose.amount), dose.unit) for dose in plan.plan[number - 1].doses}


def test_depth_is_scaled_to_each_vessel_and_the_powder_strength() -> None:
    # 300 g x 0.5 % / 0.8 = 1.875 g of Kelp = 187.5 ml of a 1 % solution; 115 g: 71.875 ml
    found = doses(draft(step("add dye", solution="Kelp 1 %", depth="0.5 %")))
    assert found == {("Big pot", "Kelp 1 %"): (187.5, "ml"), ("Old pan", "Kelp 1 %"): (71.875, "ml")}


def test_depth_of_a_mixed_solution_counts_the_strength_of_each_powder_in_it() -> None:
    # 1 g of powder is 0.5 g Kelp of 80 % and 0.5 g Ember of 100 %: it dyes like 0.9 g. 300 g x 0.9 % / 0.9 = 3 g = 150 ml of 2 %
    mix = Solution(name="Shore 2 %", parts=(("Kelp", 0.5), ("Ember", 0.5)), strength=0.02)
    found = doses(draft(step("add dye", solution="Shore 2 %", depth="0.9 %"), rows=ROWS[:1], shelf=on_shelf([*ITEMS, mix], water=WATER)))
    assert found == {("Big pot", "Shore 2 %"): (150, "ml")}


def test_amounts_follow_the_fibre_that_the_colourway_is_written_for() -> None:
    # written for 200 g: 0.4 g becomes 0.6 g on 300 g and 0.23 g on 115 g
    found = doses(draft(step("add dye", dye="Ember", amount="0.4 g"), fibre="2 skeins of 100 g"))
    assert found == {("Big pot", "Ember"): (0.6, "g"), ("Old pan", "Ember"): (0.23, "g")}


def test_grams_per_skein_count_skeins_not_grams() -> None:
    found = doses(draft(step("add dye", dye="Ember", amount="0.5 g per skein")))
    assert found == {("Big pot", "Ember"): (1.5, "g"), ("Old pan", "Ember"): (0.5, "g")}


def test_a_recipe_in_parts_shares_out_one_depth() -> None:
    # 300 g x 1.5 % = 4.5 g in strength 100 %; 3 of 4 parts Kelp at 80 %: 3.375/0.8 = 4.21875 g
    found = doses(draft(step("add dye", recipe="3 Kelp : 1 Ember", depth="1.5 %"), rows=ROWS[:1]))
    assert found == {("Big pot", "Kelp"): (4.21875, "g"), ("Big pot", "Ember"): (1.125, "g")}


def test_a_liquor_ratio_is_all_the_liquid_less_what_solutions_and_acid_bring() -> None:
    # 300 g x 20:1 = 6000 ml; 187.5 ml of solution and 90 ml of vinegar come later
    plan = draft(
        step("fill", volume="20:1"), step("add dye", solution="Kelp 1 %", depth="0.5 %"), step("add acid", acid="White vinegar", amount="30 ml"), rows=ROWS[:1]
    )
    assert doses(plan, 1) == {("Big pot", "water"): (6000 - 187.5 - 90, "ml")}


def test_acid_to_a_ph_needs_water_first_and_gives_more_acid_for_more_water() -> None:
    with pytest.raises(BadInput, match="put a 'fill' before it"):
        draft(step("add acid", acid="White vinegar", amount="to pH 4.5"))
    small = draft(step("fill", volume="3 l"), step("add acid", acid="White vinegar", amount="to pH 4.5"), rows=ROWS[:1])
    ((amount, unit),) = [(dose.amount, dose.unit) for dose in small.plan[1].doses]
    # the bath note's table (PHREEQC-checked): 30 ml of 5 % vinegar in 4 l at alkalinity 120 gives 4.53, 60 ml gives 4.12;
    # 9 l here, so pH 4.5 needs a little more than 30 ml x 9/4
    assert unit == "ml"
    assert 67.5 < amount < 80


def test_acid_to_a_ph_counts_what_the_yarn_drinks_once_it_is_in_the_pot() -> None:
    acid = step("add acid", acid="White vinegar", amount="to pH 4.5")
    before = draft(step("fill", volume="3 l"), acid, step("lay in"), rows=ROWS[:1])
    after = draft(step("fill", volume="3 l"), step("lay in"), acid, rows=ROWS[:1])
    (dry,), (wet,) = before.plan[1].doses, after.plan[2].doses
    assert wet.amount > 1.05 * dry.amount
    assert "before the wool takes its share" in before.plan[1].notes[0]
    assert "after the wool has taken its share" in after.plan[2].notes[0]
    # the bath of that much acid, with the yarn in it, is at the pH that was asked for
    bath = Bath(volume_ml=9000 + wet.amount, alkalinity=stated_alkalinity(120), doses=(AcidDose(AcidAsBought("vinegar", 0.05), wet.amount),))
    assert acid_uptake(bath, sponges_of(300, {"wool": 0.75, "nylon": 0.25})).after.ph.value == pytest.approx(4.5, abs=0.01)


def test_a_vessel_that_would_run_over_is_refused_with_the_step() -> None:
    with pytest.raises(BadInput, match="over the brim") as caught:
        draft(step("fill", volume="12 l"), rows=ROWS[:1])  # 36 l into a pot of 21 l
    assert caught.value.where == "step 1, fill"


def test_mixed_solution_strengths_and_tenfold_depths_are_refused() -> None:
    shelf = on_shelf([*ITEMS, Solution(name="Ember 10 %", parts=(("Ember", 1.0),), strength=0.10)], water=WATER)
    mixed = draft(step("add dye", solution="Kelp 1 %", depth="0.5 %"), step("add dye", solution="Ember 10 %", depth="0.5 %"), shelf=shelf)
    assert any("mixes a 10 % solution" in sentence for sentence in mixed.refused)
    assert any("deeper than any shade" in sentence for sentence in draft(step("add dye", dye="Ember", depth="20 %")).refused)
    assert not draft(step("add dye", dye="Ember", depth="2 %")).refused


def test_a_sentence_on_a_slip_has_the_amounts_of_its_own_vessel() -> None:
    plan = draft(step("add acid", acid="White vinegar", amount="30 ml"))
    assert sentence_in(plan.plan[0], "Big pot") == "Add 90 ml of White vinegar"
    assert sentence_in(plan.plan[0], "Old pan") == "Add 34.5 ml of White vinegar"
    assert plan.plan[0].sentence == "Add acid: Big pot 90 ml White vinegar; Old pan 34.5 ml White vinegar"


def test_the_dyers_own_measure_stands_where_nothing_was_scaled() -> None:
    one = (Row(number=1, base="Quay Sock", skeins=1, skein_g=100, vessel="Big pot"),)
    (dose,) = draft(step("add acid", acid="White vinegar", amount="2 tbsp"), rows=one).plan[0].doses
    assert dose.said == "2 tbsp (29.6 ml)"
    (scaled,) = draft(step("add acid", acid="White vinegar", amount="2 tbsp"), rows=ROWS[:1]).plan[0].doses
    assert scaled.said == "88.7 ml"


def test_times_add_up() -> None:
    plan = draft(*TIDEWRACK.steps)
    for one, after in zip(plan.plan, plan.plan[1:], strict=False):
        assert one.start_min is not None
        assert one.minutes is not None
        assert after.start_min == pytest.approx(one.start_min + one.minutes)
    heat = next(planned for planned in plan.plan if planned.step.do == "heat")
    assert heat.minutes == pytest.approx(68)  # 20 to 88 C at 1 C/min


def test_a_dry_blend_named_by_its_parts_and_one_on_the_shelf() -> None:
    parts = draft(step("sprinkle", blend="3 Kelp : 1 Ember", amount="0.4 g"), rows=ROWS[:1])
    assert doses(parts) == {("Big pot", "Kelp"): (0.9, "g"), ("Big pot", "Ember"): (0.3, "g")}
    assert sentence_in(parts.plan[0], "Big pot").startswith("Sprinkle 1.2 g of 3 Kelp : 1 Ember")
    shelf = on_shelf([*ITEMS, Blend(name="Squall", parts=(("Kelp", 0.75), ("Ember", 0.25)))])
    assert doses(draft(step("sprinkle", blend="Squall", amount="0.4 g"), rows=ROWS[:1], shelf=shelf)) == {("Big pot", "Squall"): (pytest.approx(1.2), "g")}


def test_an_old_solution_is_warned_of_and_facts_are_kept() -> None:
    old = replace(next(item for item in ITEMS if isinstance(item, Solution)), made_on=date(2026, 1, 1))
    plan = draft(step("add dye", solution="Kelp 1 %", depth="0.5 %"), shelf=on_shelf([*ITEMS, old], water=WATER))
    assert any("327 days old" in warning for warning in plan.warnings)
    facts = {(fact.kind, fact.name): fact.said for fact in plan.shelf}
    assert facts[("dye", "Kelp")] == "batch K7, 80 %"
    assert facts[("water", "Tap")] == "alkalinity 120 mg/L, report"


def test_steps_that_cannot_be_read_are_named() -> None:
    with pytest.raises(SkeinwrightError, match="step 1"):
        draft(step("add dye", dye="Ember"))
    with pytest.raises(BadInput, match="at least one row"):
        draft_of(TIDEWRACK, (), SHELF, today=DAY)


def test_codes() -> None:
    taken = [f"2026-11-24-{letter}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
    assert next_code(DAY, taken[:1]) == "2026-11-24-B"
    assert next_code(DAY, taken[1:]) == "2026-11-24-A"
    assert next_code(DAY, taken) == "2026-11-24-AA"
    assert next_code(DAY, [*taken, "2026-11-24-AA"]) == "2026-11-24-AB"
    assert read_code(" 2026-11-24-b ") == "2026-11-24-B"
    for wrong in ("2026-11-24", "24-11-2026-A", "2026-02-30-A"):
        with pytest.raises(BadInput):
            read_code(wrong)


def test_doses_of_one_step_never_share_a_key() -> None:
    plan = draft(step("add dye", recipe="Kelp 0.5 %, Kelp 1 % 0.2 %"), rows=ROWS[:1])
    keys = [(dose.vessel, dose.kind, dose.name) for dose in plan.plan[0].doses]
    assert len(keys) == len(set(keys))
    assert isinstance(plan.plan[0].doses[0], Dose)
