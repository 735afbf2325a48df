"""The walk of a lot through real SQLite: start, tick, deviate, correct, undo, finish, keep, copy, old notebooks."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from lot_studio import START, TIDEWRACK, Clock, step, studio_in
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.lot.lot import Entered, Lot
from skeinwright.services.check_extra import check_extra
from skeinwright.services.copy_lot import copy_lot
from skeinwright.services.correct_entry import CorrectEntry, correct_entry
from skeinwright.services.draft_lot import draft_lot
from skeinwright.services.enter_old_lots import OldLot, enter_old_lots, first_day
from skeinwright.services.finish_lot import finish_lot
from skeinwright.services.get_lot import get_lot
from skeinwright.services.keep_as_colourway import keep_as_colourway
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_lots import ListLots, list_lots
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.record_extra import RecordExtra, record_extra
from skeinwright.services.record_instead import RecordInstead, record_instead
from skeinwright.services.reopen_lot import reopen_lot
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.start_unplanned_pot import StartUnplannedPot, start_unplanned_pot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step
from skeinwright.services.untick_step import untick_step

ROWS = (
    RowWanted(base="Quay Sock", skeins=3, vessel="Big pot", mark="2 ties"),
    RowWanted(base="Quay Sock", skeins=1, skein_g=115, vessel="Old pan", mark="tag 14"),
)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Studio, Clock]]:
    with studio_in(tmp_path) as found:
        yield found


@pytest.fixture
def studio(opened: tuple[Studio, Clock]) -> Studio:
    return opened[0]


@pytest.fixture
def lot(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS))


def booked(studio: Studio, code: str) -> dict[str, float]:
    sums: dict[str, float] = {}
    for use in get_lot(studio, code).uses:
        sums[use.name] = sums.get(use.name, 0.0) + use.amount
    return sums


def test_the_lot_that_is_read_is_the_lot_that_was_started(studio: Studio, lot: Lot) -> None:
    assert lot.code == "2026-11-24-A"
    assert get_lot(studio, lot.code).lot == lot
    assert start_lot(studio, StartLot(colourway="Tidewrack")).code == "2026-11-24-B"


def test_without_rows_the_colourways_own_fibre_base_and_vessel(studio: Studio) -> None:
    (row,) = start_lot(studio, StartLot(colourway="Tidewrack")).rows
    assert (row.base, row.skeins, row.skein_g, row.vessel) == ("Quay Sock", 1, 100, "Big pot")


def test_the_plan_does_not_change_when_the_shelf_does(studio: Studio, lot: Lot) -> None:
    with studio.store.writing() as writing:
        kept = writing.colourway("Tidewrack")
        writing.replace_colourway(kept.id, Colourway(name="Tidewrack", steps=()), revision=None, now=START)
    assert get_lot(studio, lot.code).lot == lot


def test_one_tap_ticks_all_vessels_and_a_second_tap_adds_nothing(studio: Studio, lot: Lot) -> None:
    assert len(tick_step(studio, TickStep(lot=lot.code, steps=(1, 2, 3)))) == 6
    assert tick_step(studio, TickStep(lot=lot.code, steps=(1, 2, 3))) == ()
    view = get_lot(studio, lot.code)
    assert view.state.next_step == {"Big pot": 4, "Old pan": 4}
    assert booked(studio, lot.code) == {"water": pytest.approx(9000 + 3450), "Kelp 1 %": pytest.approx(187.5 + 71.875)}


def test_ten_minutes_ago(opened: tuple[Studio, Clock]) -> None:
    studio, clock = opened
    lot = start_lot(studio, StartLot(colourway="Tidewrack"))
    clock.wait(30)
    (entry,) = tick_step(studio, TickStep(lot=lot.code, steps=(1,), minutes_ago=10))
    assert (entry.at, entry.entered_at) == (START + timedelta(minutes=20), START + timedelta(minutes=30))
    assert get_lot(studio, lot.code).entries == (entry,)


def test_a_deviation_is_a_number_and_the_plan_stays(studio: Studio, lot: Lot) -> None:
    record_instead(studio, RecordInstead(lot=lot.code, step=6, vessel="Big pot", about="acid White vinegar", said="45"))
    record_instead(studio, RecordInstead(lot=lot.code, step=6, vessel="Old pan", about="acid White vinegar", said="2 tbsp"))
    record_instead(studio, RecordInstead(lot=lot.code, step=8, vessel="Old pan", about="time", said="40"))
    doing = get_lot(studio, lot.code).state.doing(6, "Big pot")
    assert (doing.planned[0].amount, doing.actual[0].amount) == (90, 45)
    assert booked(studio, lot.code) == {"White vinegar": pytest.approx(45 + 29.57, abs=0.01)}
    (longer,) = get_lot(studio, lot.code).state.doing(8, "Old pan").instead
    assert (longer.value, longer.unit) == (40, "min")
    with pytest.raises(BadInput):
        record_instead(studio, RecordInstead(lot=lot.code, step=6, vessel="Big pot", about="acid White vinegar", said="45 g"))


def test_an_undo_gives_back_and_the_record_keeps_both_lines(studio: Studio, lot: Lot) -> None:
    tick_step(studio, TickStep(lot=lot.code, steps=(3,)))
    untick_step(studio, lot.code, 3, vessels=("Big pot",))
    assert booked(studio, lot.code) == {"Kelp 1 %": pytest.approx(71.875)}
    assert [entry.what for entry in get_lot(studio, lot.code).entries] == [Entered.TICK, Entered.TICK, Entered.UNTICK]
    with pytest.raises(Conflict):
        untick_step(studio, lot.code, 3, vessels=("Big pot",))


def test_weights_marks_readings_and_corrections(studio: Studio, lot: Lot) -> None:
    weight = record_entry(studio, RecordEntry(lot=lot.code, what=Entered.WEIGHT, row=1, about="1", said="98"))
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.PH, vessel="Old pan", said="4.5"))
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.TEMPERATURE, vessel="Old pan", said="185 F"))
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.MARK, row=2, said="tag 14"))
    correct_entry(studio, CorrectEntry(lot=lot.code, entry=weight.id or 0, value=89))
    state = get_lot(studio, lot.code).state
    assert [entry.value for entry in state.weights] == [89]
    assert [pytest.approx(entry.value) for entry in state.readings] == [4.5, 85.0]
    assert state.marks[2].text == "tag 14"
    with pytest.raises(Conflict):
        correct_entry(studio, CorrectEntry(lot=lot.code, entry=weight.id or 0, value=90))
    with pytest.raises(BadInput):
        record_entry(studio, RecordEntry(lot=lot.code, what=Entered.WEIGHT, said="98"))
    with pytest.raises(NotFound):
        record_entry(studio, RecordEntry(lot=lot.code, what=Entered.PHOTO, photo=99))


def test_photos_belong_to_a_lot_and_a_notebook_page_to_an_old_one(studio: Studio, lot: Lot) -> None:
    from PIL import Image

    picture = io.BytesIO()
    Image.new("RGB", (8, 8), (90, 90, 90)).save(picture, "PNG")
    photo = keep_photo(studio, picture.getvalue()).fact.id
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.PHOTO, row=1, photo=photo, said="dry, by the window"))
    assert [(entry.photo, entry.text, entry.row) for entry in get_lot(studio, lot.code).state.photos] == [(photo, "dry, by the window", 1)]
    (old,) = enter_old_lots(studio, (OldLot(when="2018", title="Brown page", photo=photo),))
    assert [entry.photo for entry in get_lot(studio, old.code).state.photos] == [photo]
    assert {line.code: line.photo for line in list_lots(studio)} == {lot.code: photo, old.code: photo}


def test_a_refused_entry_leaves_nothing_behind(studio: Studio, lot: Lot) -> None:
    with pytest.raises(BadInput):
        tick_step(studio, TickStep(lot=lot.code, steps=(1, 99)))
    assert get_lot(studio, lot.code).entries == ()


def test_an_extra_takes_what_it_says_unscaled(studio: Studio, lot: Lot) -> None:
    entry = record_extra(studio, RecordExtra(lot=lot.code, do="add dye", said={"dye": "Ember", "amount": "0.5 g"}, vessel="Old pan"))
    assert entry.text == "Add 0.5 g of Ember"
    assert booked(studio, lot.code) == {"Ember": pytest.approx(0.5)}
    correct_entry(studio, CorrectEntry(lot=lot.code, entry=entry.id or 0, withdraw=True))
    assert booked(studio, lot.code) == {"Ember": pytest.approx(0)}
    with pytest.raises(BadInput, match="which vessel"):
        record_extra(studio, RecordExtra(lot=lot.code, do="turn"))


def test_finish_and_reopen(studio: Studio, lot: Lot) -> None:
    tick_step(studio, TickStep(lot=lot.code, steps=(1,)))
    finish_lot(studio, lot.code)
    assert [line.status for line in list_lots(studio)] == ["finished"]
    assert get_lot(studio, lot.code).state.status == "finished"
    with pytest.raises(Conflict):
        finish_lot(studio, lot.code)
    with pytest.raises(Conflict):
        tick_step(studio, TickStep(lot=lot.code, steps=(2,)))
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.NOTE, said="dried overnight"))
    reopen_lot(studio, lot.code)
    assert [line.status for line in list_lots(studio)] == ["under way"]
    tick_step(studio, TickStep(lot=lot.code, steps=(2,)))


def test_skipping_says_why_and_books_nothing(studio: Studio, lot: Lot) -> None:
    tick_step(studio, TickStep(lot=lot.code, steps=(6,), skip=True, why="bath was clear"))
    assert booked(studio, lot.code) == {}
    assert get_lot(studio, lot.code).state.doing(6, "Big pot").how == "skipped"


def test_what_must_not_be_done_is_refused_and_can_be_looked_at(studio: Studio) -> None:
    steps = (step("add acid", acid="White vinegar", amount="30 ml"), step("heat", to="88 C"), step("sprinkle", dye="Kelp", amount="0.2 g"))
    with studio.store.writing() as writing:
        writing.add_colourway(Colourway(name="Squall", bases=("Quay Sock",), steps=steps), now=START)
    request = StartLot(colourway="Squall")
    assert any("particle filter" in sentence for sentence in draft_lot(studio, request).refused)
    with pytest.raises(BadInput, match="Let it cool first"):
        start_lot(studio, request)
    assert list_lots(studio) == ()


def test_two_taps_and_later_a_colourway(opened: tuple[Studio, Clock]) -> None:
    studio, clock = opened
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Old pan", base="Quay Sock", skeins=2))
    record_extra(studio, RecordExtra(lot=pot.code, do="fill", said={"volume": "3 l"}))
    record_extra(studio, RecordExtra(lot=pot.code, do="add dye", said={"dye": "Ember", "depth": "0.5 %"}))
    clock.wait(25)
    record_extra(studio, RecordExtra(lot=pot.code, do="rinse"))
    assert booked(studio, pot.code) == {"water": 3000, "Ember": pytest.approx(1.0)}
    kept = keep_as_colourway(studio, pot.code, "Squall")[0].thing
    assert [one.do for one in kept.steps] == ["fill", "add dye", "wait", "rinse"]
    assert (kept.fibre, kept.bases, kept.vessel) == ("200 g", ("Quay Sock",), "Old pan")
    again = start_lot(studio, StartLot(colourway="Squall"))
    assert {dose.name: pytest.approx(dose.amount) for planned in again.plan for dose in planned.doses} == {"water": 3000, "Ember": 1.0}
    with pytest.raises(Conflict):
        keep_as_colourway(studio, pot.code, "squall")


def test_an_unplanned_step_is_looked_at_before_and_recorded_in_any_case(studio: Studio) -> None:
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Old pan", base="Quay Sock", skeins=2))
    record_extra(studio, RecordExtra(lot=pot.code, do="add acid", said={"acid": "White vinegar", "amount": "30 ml"}))
    powder = RecordExtra(lot=pot.code, do="sprinkle", said={"dye": "Kelp", "amount": "0.2 g"})
    assert check_extra(studio, powder).never == ()
    record_extra(studio, RecordExtra(lot=pot.code, do="heat", said={"to": "88 C"}))
    mind = check_extra(studio, powder)
    assert any("particle filter" in sentence for sentence in mind.never)
    assert "OPEN POWDER" in [caution.head for caution in mind.cautions]
    citric = check_extra(studio, RecordExtra(lot=pot.code, do="add acid", said={"acid": "Citric", "amount": "2 g"}))
    assert any("aluminium" in sentence for sentence in citric.warnings)
    assert len(get_lot(studio, pot.code).entries) == 2
    assert record_extra(studio, powder).id == 3


def test_a_pot_of_unknown_fibre_takes_grams_and_refuses_a_depth(studio: Studio) -> None:
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Old pan"))
    record_extra(studio, RecordExtra(lot=pot.code, do="add dye", said={"dye": "Ember", "amount": "0.5 g"}))
    assert booked(studio, pot.code) == {"Ember": 0.5}
    with pytest.raises(BadInput, match="needs to know the fibre"):
        record_extra(studio, RecordExtra(lot=pot.code, do="add dye", said={"dye": "Ember", "depth": "1 %"}))


def test_what_was_done_kept_and_dyed_again_takes_the_same(studio: Studio, lot: Lot) -> None:
    tick_step(studio, TickStep(lot=lot.code, steps=tuple(range(1, 11)), vessels=("Big pot",)))
    record_instead(studio, RecordInstead(lot=lot.code, step=4, vessel="Big pot", about="dye Ember", said="0.9 g"))
    kept, _ = keep_as_colourway(studio, lot.code, "Tidewrack as done")
    again = start_lot(studio, StartLot(colourway=kept.id, rows=(RowWanted(base="Quay Sock", skeins=3, vessel="Big pot"),)))
    taken = {dose.name: dose.amount for planned in again.plan for dose in planned.doses}
    assert taken == {"water": pytest.approx(9000), "Kelp 1 %": pytest.approx(188, rel=0.005), "Ember": pytest.approx(0.9), "White vinegar": pytest.approx(90)}


def test_overdye_needs_a_lot_that_exists(studio: Studio, lot: Lot) -> None:
    over = start_lot(studio, StartLot(colourway="Tidewrack", rows=(RowWanted(base="Quay Sock", skeins=1, vessel="Old pan", over=lot.code),)))
    assert over.rows[0].over == lot.code
    with pytest.raises(NotFound):
        start_lot(studio, StartLot(colourway="Tidewrack", rows=(RowWanted(base="Quay Sock", skeins=1, over="2020-01-01-A"),)))


def test_a_copy_has_the_same_plan_an_empty_record_and_says_what_changed(studio: Studio, lot: Lot) -> None:
    tick_step(studio, TickStep(lot=lot.code, steps=(1,)))
    with studio.store.writing() as writing:
        kelp = writing.item("dye", "Kelp")
        writing.replace_item("dye", kelp.id, type(kelp.thing)(name="Kelp", strength=1.0, batch="K8"), revision=None, now=START)
    copied = copy_lot(studio, lot.code)
    assert (copied.code, copied.copied_from, copied.plan, copied.rows) == ("2026-11-24-B", lot.code, lot.plan, lot.rows)
    assert get_lot(studio, copied.code).entries == ()
    assert any("'batch K7, 80 %' and is now 'batch K8, 100 %'" in warning for warning in copied.warnings)


def test_old_notebook_lots_need_only_a_year_and_a_title(studio: Studio) -> None:
    lots = enter_old_lots(
        studio,
        (
            OldLot(when="2019", title="Grey-green, too dark"),
            OldLot(when="spring 2021", title="Tidewrack first try", colourway="tidewrack", base="Quay Sock", skeins=4),
            OldLot(when="2021-03-14", title="Another"),
        ),
    )
    assert [(lot.code, lot.when_said, lot.old) for lot in lots] == [
        ("2019-01-01-A", "2019", True),
        ("2021-03-01-A", "spring 2021", True),
        ("2021-03-14-A", "2021-03-14", True),
    ]
    assert lots[1].colourway == TIDEWRACK
    assert {line.status for line in list_lots(studio)} == {"from the notebook"}
    assert get_lot(studio, "2019-01-01-A").state.status == "from the notebook"
    assert [line.code for line in list_lots(studio, ListLots(search="too dark"))] == ["2019-01-01-A"]


def test_old_lots_are_kept_all_or_none(studio: Studio) -> None:
    wrong = (
        OldLot(when="2019", title="Good"),
        OldLot(when="some day", title="Bad"),
        OldLot(when="2031", title="To come"),
        OldLot(when="2020", title=" "),
        OldLot(when="", title="When?"),
    )
    with pytest.raises(ManyBadInputs) as caught:
        enter_old_lots(studio, wrong)
    assert [problem.where for problem in caught.value.problems] == ["line 2: when", "line 3: when", "line 4: title", "line 5: when"]
    assert caught.value.problems[3].sentence.startswith("Say when it was; a year is enough")
    assert list_lots(studio) == ()
    with pytest.raises(NotFound):
        enter_old_lots(studio, (OldLot(when="2019", title="Page lost", photo=7),))
    assert list_lots(studio) == ()


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("2019", date(2019, 1, 1)),
        ("2019-05", date(2019, 5, 1)),
        ("14 May 2019", date(2019, 5, 14)),
        ("sept 2020", date(2020, 9, 1)),
        ("Autumn 2020", date(2020, 9, 1)),
    ],
)
def test_days_of_a_notebook(said: str, day: date) -> None:
    assert first_day(said, today=date(2026, 11, 24)) == day
    with pytest.raises(BadInput):
        first_day("30 february 2020", today=date(2026, 11, 24))
