"""Presoaked yarn in the plan and on the lot sheet, worked by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from lot_studio import ITEMS, step
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.lot.liquor import baths, with_liquor
from skeinwright.core.lot.lot import Entered, Entry, Lot, Row
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.plan import draft_of, pots_of
from skeinwright.core.lot.scaling import taken_by
from skeinwright.core.lot.sheet import sheet_of
from skeinwright.core.shelf.items import Water

NOW = datetime(2026, 11, 24, 10, 0, tzinfo=UTC)
SHELF = on_shelf(ITEMS, water=next(item for item in ITEMS if isinstance(item, Water)))
ONE = (Row(number=1, base="Quay Sock", skeins=1, skein_g=100, vessel="Big pot"),)
TWO = (Row(number=1, base="Quay Sock", skeins=1, skein_g=100, vessel="Big pot"), Row(number=2, base="Quay Sock", skeins=2, skein_g=100, vessel="Big pot"))
SOAK, DYE, VINEGAR = step("soak", time="30 min"), step("add dye", solution="Kelp 1 %", depth="0.8 %"), step("add acid", acid="White vinegar", amount="30 ml")


def lot_of(*steps: Step, rows: tuple[Row, ...] = ONE) -> Lot:
    drafted = draft_of(Colourway(name="Trial", fibre="100 g", bases=("Quay Sock",), steps=steps), rows, SHELF, today=date(2026, 11, 24))
    return Lot(code="2026-11-24-A", day=date(2026, 11, 24), title="Trial", colourway=None, rows=rows, plan=drafted.plan)


def run_in(lot: Lot, number: int) -> float:
    (water,) = [dose.amount for dose in lot.plan[number - 1].doses if dose.kind == "water"]
    return water


def wet(grams: float, id: int = 1, **more: object) -> Entry:
    return Entry(id=id, lot="2026-11-24-A", what=Entered.WET_WEIGHT, at=NOW, entered_at=NOW, value=grams, unit="g", **more)  # type: ignore[arg-type]


def test_wet_yarn_solution_and_vinegar_are_taken_off_the_liquor() -> None:
    # 100 g at 50:1 = 5000 ml; wet yarn 150 ml, 0.8 g of Kelp at 80 % = 1 g in 100 ml of solution, 30 ml of vinegar: 4720 ml
    lot = lot_of(SOAK, step("fill", volume="50:1"), DYE, VINEGAR)
    assert run_in(lot, 2) == pytest.approx(4720)
    (note,) = [note for note in lot.plan[1].notes if "assumed" in note]
    assert "150 ml (100 ml to 220 ml, assumed)" in note


@pytest.mark.parametrize(
    ("before", "water"),
    [
        ((), 3000),  # dry yarn brings nothing
        ((SOAK,), 2850),
        ((SOAK, step("spin")), 2940),
        ((SOAK, step("hang")), 3000),
        ((step("rinse", times="1"),), 2850),
    ],
)
def test_how_wet_the_yarn_comes(before: tuple[Step, ...], water: float) -> None:
    assert run_in(lot_of(*before, step("fill", volume="30:1")), len(before) + 1) == pytest.approx(water)


def test_a_volume_is_the_water_as_said() -> None:
    lot = lot_of(SOAK, step("fill", volume="3 l"))
    assert run_in(lot, 2) == 3000
    assert sheet_of(lot, [wet(262)])["steps"][1]["corrected"] == []


def test_wet_yarn_that_brings_more_than_the_bath_is_warned_of() -> None:
    lot = lot_of(SOAK, step("fill", volume="1:1"))
    assert run_in(lot, 2) == 0
    assert any("50 ml more than the bath was to have" in note for note in lot.plan[1].notes)


@pytest.mark.parametrize(
    "soak",
    [
        (step("soak", water="2 l", amount="40 ml", what="White vinegar"),),
        (step("soak", water="2 l"), VINEGAR),
    ],
)
def test_acid_of_the_soak_comes_along(soak: tuple[Step, ...]) -> None:
    # 150 ml of wet yarn out of 2000 ml of soak with 40 (30) ml of vinegar brings 3 (2.25) ml of it
    steps = (*soak, step("fill", volume="30:1"))
    colourway = Colourway(name="Trial", fibre="100 g", bases=("Quay Sock",), steps=steps)
    (pot,) = pots_of(colourway, ONE, SHELF)
    taken = with_liquor(steps, [taken_by(one, pot, SHELF) for one in steps], pot, SHELF)
    bath = baths(steps, taken, pot, SHELF)[-1]
    assert bath is not None
    assert bath.volume_ml == pytest.approx(3000)
    (dose,) = bath.doses
    assert (dose.acid.kind, dose.amount) == ("vinegar", pytest.approx(3.0 if len(soak) == 1 else 2.25))
    assert any("of the soak's acid" in note for note in taken[-1].notes)


def test_the_sheet_puts_the_water_right_once_the_yarn_was_weighed() -> None:
    # 262 g wet less 100 g dry is 162 ml in the place of the 150 ml assumed: 4720 + 150 - 162 = 4708 ml
    lot = lot_of(SOAK, step("fill", volume="50:1"), DYE, VINEGAR)
    sheet = sheet_of(lot, [wet(262)])
    said = "weighed wet 262 g: brings 162 ml; run in 4.71 l"
    assert sheet["steps"][1]["corrected"] == [said]
    assert [line["text"] for line in sheet["loose"]] == [said]
    assert sheet_of(lot, [])["steps"][1]["corrected"] == []


def test_the_newest_weight_counts_and_a_row_speaks_for_the_pot() -> None:
    lot = lot_of(SOAK, step("fill", volume="50:1"), rows=TWO)  # 300 g: 15000 ml, 450 ml assumed
    assert sheet_of(lot, [wet(800), wet(780, 2)])["steps"][1]["corrected"] == ["weighed wet 780 g: brings 480 ml; run in 14.5 l"]
    # row 1 alone, 100 g: 250 g wet is 1.5 ml/g, so the whole pot brings 450 ml
    assert sheet_of(lot, [wet(250, 1, row=1)])["steps"][1]["corrected"] == ["weighed wet 250 g: brings 450 ml; run in 14.6 l"]


def test_a_corrected_weight_counts_and_a_struck_one_does_not() -> None:
    lot = lot_of(SOAK, step("fill", volume="50:1"))
    new = Entry(id=2, lot=lot.code, what=Entered.CORRECTION, at=NOW, entered_at=NOW, value=260.0, unit="g", replaces=1)
    assert sheet_of(lot, [wet(620), new])["steps"][1]["corrected"] == ["weighed wet 260 g: brings 160 ml; run in 4.84 l"]
    gone = Entry(id=2, lot=lot.code, what=Entered.CORRECTION, at=NOW, entered_at=NOW, about="withdrawn", replaces=1)
    assert sheet_of(lot, [wet(620), gone])["steps"][1]["corrected"] == []


def test_wet_yarn_lighter_than_dry_is_said() -> None:
    sheet = sheet_of(lot_of(SOAK, step("fill", volume="50:1")), [wet(90)])
    assert "cannot weigh less" in sheet["loose"][0]["text"]
    assert sheet["steps"][1]["corrected"] == []


def test_the_drain_note_has_the_dyers_own_limits() -> None:
    from skeinwright.core.safety.drain import DrainLimits

    steps = (step("fill", volume="3 l"), step("rinse", times="1"))
    trial = Colourway(name="Trial", fibre="100 g", bases=("Quay Sock",), steps=steps)

    def notes(limits: DrainLimits) -> tuple[str, ...]:
        shelf = on_shelf(ITEMS, drain=limits)
        return draft_of(trial, ONE, shelf, today=date(2026, 11, 24)).plan[1].notes

    (usual,) = notes(DrainLimits())
    assert "pH 5 to 10" in usual
    assert "not verified" in usual
    (own,) = notes(DrainLimits(6.5, 9.0, "letter of the works, 2026"))
    assert "pH 6.5 to 9 (letter of the works, 2026)" in own
    (unsourced,) = notes(DrainLimits(6.5, 9.0))
    assert "not verified" in unsourced
    assert all("defer to your local code" in note for note in (usual, own, unsourced))
