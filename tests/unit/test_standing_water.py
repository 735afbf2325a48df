"""Water that a colourway's file says stands in the vessel: planned, in the pH, in the vessel, and kept; worked by hand and against a written fill."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from lot_studio import step
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.reading import read_colourway_document
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.figures import BathSheet, amounts_of, bath_of
from skeinwright.core.lot.keep import keep
from skeinwright.core.lot.lot import Entered, Entry, Lot, Row
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.plan import draft_of, with_own
from skeinwright.core.lot.said_doses import STANDING, sentence_in
from skeinwright.core.lot.sketch import Sketch, sketch_of
from skeinwright.core.lot.slip import slips_of

DAY = date(2026, 11, 24)
SHELF = on_shelf(())
DOCUMENT: dict[str, Any] = {
    "name": "Tidewrack",
    "fibre": {"mass": "200 g"},
    "base": {"wool": 0.75, "nylon": 0.25, "superwash": True, "skein": "100 g", "length": "400 m", "round": "1.5 m", "plies": 4},
    "water": {"volume": "1.9 L", "alkalinity": "80 mg/L"},
    "vessel": {"shape": "rectangle", "size": "50 x 30 x 10 cm", "lid": False},
    "dye": [{"name": "Kelp", "class": "not known"}],
    "step": [
        {"do": "soak", "time": "30 min"},
        {"do": "add acid", "acid": "vinegar 5 %", "amount": "44 ml"},
        {"do": "lay in", "width": "12 cm"},
        {"do": "heat", "to": "88 C"},
        {"do": "sprinkle", "dye": "Kelp", "amount": "0.15 g", "over": "all", "grain": "0.12 mm"},
        {"do": "wait", "time": "10 min"},
        {"do": "turn"},
        {"do": "hold", "to": "92 C", "time": "10 min"},
    ],
}
PAN = read_colourway_document(DOCUMENT)


def sketch(colourway: Colourway) -> Sketch:
    return sketch_of(colourway, SHELF, today=DAY)


def bath(made: Sketch, colourway: Colourway = PAN) -> BathSheet:
    found = bath_of(made, with_own(colourway, SHELF), None)
    assert found is not None
    return found


def test_it_is_a_dose_of_the_first_step_that_needs_it_and_no_value_of_that_step() -> None:
    made = sketch(PAN)
    assert made.problems == ()
    soak, acid, lay_in = made.draft.plan[:3]
    assert soak.doses == lay_in.doses == ()
    assert [(dose.kind, dose.name, dose.amount, dose.unit) for dose in acid.doses] == [("water", STANDING, 1900, "ml"), ("acid", "vinegar 5 %", 44, "ml")]
    assert "44 ml" in sentence_in(acid, made.row.vessel)
    assert "1.9 l" not in sentence_in(acid, made.row.vessel)
    assert any("1.9 l of water stands in the vessel" in note for note in acid.notes)
    first = amounts_of(made.draft.plan)[0]
    assert (first.name, first.said) == (STANDING, "1.9 l")


def test_the_bath_is_the_water_the_wet_yarn_and_the_acid() -> None:
    # 1900 ml + 200 g x 1.5 ml/g of the soak (assumed) + 44 ml; 44 ml of 50 g/L acetic acid (60.05 g/mol) = 36.6 mmol in 2.24 l = 16.3 mmol/l.
    # 80 mg/l of alkalinity = 1.6 mmol/l of base: pH = 4.76 + log10(1.6 / (16.3 - 1.6)) = 3.8 without the carbonic acid
    found = bath(sketch(PAN))
    assert found.volume_ml == pytest.approx(2244)
    assert found.ph.value == pytest.approx(3.8, abs=0.1)
    assert found.head_room_mm is not None
    # 2.244 l and 200 g of yarn (1.31 g/cm3 at most) in 50 cm x 30 cm stand 15 to 16 mm high in 100 mm
    assert found.head_room_mm == pytest.approx(84.5, abs=1.5)


def test_it_comes_to_the_same_as_a_written_fill() -> None:
    written = replace(PAN, water_volume="", steps=(PAN.steps[0], step("fill", volume="1.9 L"), *PAN.steps[1:]))
    ours, theirs = bath(sketch(PAN)), bath(sketch(written), written)
    assert (ours.volume_ml, ours.ph, ours.head_room_mm) == (theirs.volume_ml, theirs.ph, theirs.head_room_mm)
    both = replace(written, water_volume="9 L")  # a fill takes its place
    assert bath(sketch(both), both).volume_ml == theirs.volume_ml


@pytest.mark.parametrize(("volume", "ml"), [("1.9 L", 1900), ("8 cups", 8 * 236.588), ("10:1", 2000 - 300 - 44)])
def test_it_is_read_as_a_fill_is(volume: str, ml: float) -> None:
    # a ratio is all the liquor: the wet yarn brings 300 ml of it and the vinegar 44
    made = sketch(replace(PAN, water_volume=volume))
    assert made.draft.plan[1].doses[0].amount == pytest.approx(ml, abs=0.1)


def test_acid_to_a_ph_knows_how_much_water_there_is() -> None:
    steps = (PAN.steps[0], step("add acid", acid="vinegar 5 %", amount="to pH 4.5"), *PAN.steps[2:])
    made = sketch(replace(PAN, steps=steps))
    assert made.problems == ()
    assert bath(made).ph.value == pytest.approx(4.5, abs=0.01)
    assert sketch(replace(PAN, steps=steps, water_volume="")).problems != ()


def _rows(*skeins: int) -> tuple[Row, ...]:
    return tuple(Row(number=number, base="this base", skeins=count, skein_g=100, vessel=f"Pan {number}") for number, count in enumerate(skeins, start=1))


def test_each_vessel_has_its_share_and_the_slip_measures_it_out() -> None:
    rows = _rows(2, 4)
    draft = draft_of(PAN, rows, SHELF, today=DAY)
    assert [dose.amount for dose in draft.plan[1].doses if dose.name == STANDING] == [1900, 3800]
    lot = Lot(code="2026-11-24-A", day=DAY, title="T", colourway=PAN, rows=rows, plan=draft.plan)
    (slip,) = slips_of(lot, vessel="Pan 2")["slips"]
    assert any(STANDING in str(dose) and "3.8 l" in str(dose) for dose in slip["doses"])


def test_what_was_done_is_kept_with_the_water_of_that_lot() -> None:
    rows = _rows(2, 4)
    lot = Lot(code="2026-11-24-A", day=DAY, title="T", colourway=PAN, rows=rows, plan=draft_of(PAN, rows, SHELF, today=DAY).plan)
    at = datetime(2026, 11, 24, 9, tzinfo=UTC)
    ticks = [Entry(id=number, lot=lot.code, what=Entered.TICK, at=at, entered_at=at, step=number, vessel="Pan 2") for number in range(1, 9)]
    kept = keep(lot, ticks, "Kept", vessel="Pan 2")
    assert (kept.fibre, kept.water_volume) == ("400 g", "3.8 l")
    assert kept.steps[1].get("amount") == "88 ml"
    again = draft_of(kept, _rows(4), SHELF, today=DAY)
    assert [dose.amount for dose in again.plan[1].doses] == pytest.approx([3800, 88])


def test_a_vessel_that_would_run_over_is_refused_and_said_at_the_vessel() -> None:
    full = replace(PAN, water_volume="16 L")  # 50 x 30 x 10 cm hold 15 l
    vessel = "this vessel"
    with pytest.raises(BadInput, match="brim") as caught:
        draft_of(full, (replace(_rows(2)[0], vessel=vessel),), SHELF, today=DAY)
    assert caught.value.where == "vessel"
    made = sketch(full)
    assert [(problem.step, problem.slot) for problem in made.problems] == [(0, "vessel")]
    assert made.draft.plan[1].doses[0].amount == 16_000


def test_water_that_cannot_be_read_is_said_and_left_out() -> None:
    made = sketch(replace(PAN, water_volume="a lot"))
    assert [(problem.step, problem.slot) for problem in made.problems] == [(0, "water")]
    assert [dose.name for dose in made.draft.plan[1].doses] == ["vinegar 5 %"]


@pytest.mark.parametrize("steps", [(), (step("soak", time="30 min"), step("note", text="rest"))])
def test_where_no_step_needs_it_nothing_is_run_in(steps: tuple[Step, ...]) -> None:
    made = sketch(replace(PAN, steps=steps))
    assert made.problems == ()
    assert all(not planned.doses for planned in made.draft.plan)
