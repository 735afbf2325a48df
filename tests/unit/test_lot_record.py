"""What the record of a lot says: struck lines, deviations, corrections, what was used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from lot_studio import START, step
from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.lot import record
from skeinwright.core.lot.keep import keep
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned, Row
from skeinwright.core.lot.sheet import sheet_of
from skeinwright.core.lot.state import state_of
from skeinwright.core.lot.uses import used, uses_of


def dose(vessel: str, amount: float, kind: str = "acid", name: str = "vinegar") -> Dose:
    return Dose(vessel=vessel, kind=kind, name=name, amount=amount, unit="ml")


LOT = Lot(
    code="2026-11-24-A",
    day=date(2026, 11, 24),
    title="Tidewrack",
    colourway=None,
    rows=(Row(number=1, base="Quay Sock", skeins=2, skein_g=100, vessel="A"), Row(number=2, base="Quay Sock", skeins=1, skein_g=100, vessel="B")),
    plan=(
        Planned(number=1, step=step("add acid", acid="vinegar", amount="30 ml"), sentence="", doses=(dose("A", 60), dose("B", 30))),
        Planned(number=2, step=step("hold", to="88 C", time="30 min"), sentence=""),
    ),
)


def written(*entries: Entry) -> list[Entry]:
    """The entries as the store would number them, each checked against those before."""
    kept: list[Entry] = []
    for entry in entries:
        record.check(LOT, kept, entry)
        kept.append(replace(entry, id=len(kept) + 1))
    return kept


def entry(what: Entered, step: int | None = None, vessel: str = "", **more: object) -> Entry:
    return record.entry_of(LOT, what, START, step=step, vessel=vessel, **more)  # type: ignore[arg-type]


def total(entries: Sequence[Entry]) -> dict[str, float]:
    """All use events added up, by thing."""
    sums: dict[str, float] = {}
    for place, one in enumerate(entries):
        for use in uses_of(LOT, entries[:place], one):
            sums[use.name] = sums.get(use.name, 0.0) + use.amount
    return sums


def test_a_tick_books_the_planned_amount_of_its_vessel() -> None:
    entries = written(entry(Entered.TICK, 1, "A"))
    assert total(entries) == {"vinegar": 60}
    state = state_of(LOT, entries)
    assert state.status == "under way"
    assert state.next_step == {"A": 2, "B": 1}
    assert state.doing(1, "A").actual == (dose("A", 60),)


def test_a_deviation_after_a_tick_books_the_difference_and_leaves_the_plan_legible() -> None:
    ticked = written(entry(Entered.TICK, 1, "A"))
    entries = [*ticked, replace(record.instead_of_dose(LOT, 1, "A", "acid vinegar", 45, "ml", START), id=2)]
    assert total(entries) == {"vinegar": 45}
    doing = state_of(LOT, entries).doing(1, "A")
    assert (doing.planned[0].amount, doing.actual[0].amount) == (60, 45)


def test_a_deviation_alone_counts_as_done() -> None:
    entries = written(record.instead_of_dose(LOT, 1, "B", "acid vinegar", 0, "ml", START))
    assert state_of(LOT, entries).doing(1, "B").how == "done"
    assert total(entries) == {}


def test_an_undo_gives_back_and_the_tick_stays_as_a_struck_line() -> None:
    entries = written(entry(Entered.TICK, 1, "A"), entry(Entered.UNTICK, 1, "A"))
    assert total(entries) == {"vinegar": 0}
    assert used(LOT, entries) == {}
    state = state_of(LOT, entries)
    assert [(line.entry.what, line.struck_by) for line in state.lines] == [(Entered.TICK, 2), (Entered.UNTICK, None)]
    assert state.doing(1, "A").how == "planned"


def test_a_correction_takes_the_place_and_can_itself_be_corrected() -> None:
    weighed = written(entry(Entered.WEIGHT, row=1, about="1", value=99.0, unit="g"))
    first = [*weighed, replace(record.correction_of(LOT, weighed, 1, START, value=97.0), id=2)]
    second = [*first, replace(record.correction_of(LOT, first, 2, START, value=98.0), id=3)]
    state = state_of(LOT, second)
    assert [line.entry.value for line in state.lines] == [99, 97, 98]
    assert [line.struck_by for line in state.lines] == [2, 3, None]
    assert [(one.value, one.row, one.about) for one in state.weights] == [(98, 1, "1")]
    with pytest.raises(Conflict, match="already struck through"):
        record.correction_of(LOT, second, 1, START, value=90.0)
    with pytest.raises(BadInput, match="no entry 9"):
        record.correction_of(LOT, second, 9, START, value=90.0)


def test_correcting_a_deviation_books_the_difference() -> None:
    before = written(record.instead_of_dose(LOT, 1, "A", "acid vinegar", 450, "ml", START))
    after = [*before, replace(record.correction_of(LOT, before, 1, START, value=45.0), id=2)]
    assert [use.amount for use in uses_of(LOT, before, after[1])] == [-405]
    assert total(after) == {"vinegar": 45}


def test_a_correction_has_the_place_of_what_it_corrects() -> None:
    before = written(record.instead_of_dose(LOT, 1, "A", "acid vinegar", 45, "ml", START), record.instead_of_dose(LOT, 1, "A", "acid vinegar", 50, "ml", START))
    after = [*before, replace(record.correction_of(LOT, before, 1, START, value=47.0), id=3)]
    assert [one.amount for one in state_of(LOT, after).doing(1, "A").actual] == [50]


def test_withdrawing_a_note_leaves_it_struck_and_a_tick_is_withdrawn_by_an_undo() -> None:
    entries = written(entry(Entered.NOTE, text="smells of wool"), entry(Entered.TICK, 2, "B"))
    entries = [*entries, replace(record.withdrawal_of(LOT, entries, 1, START), id=3)]
    undo = record.withdrawal_of(LOT, entries, 2, START)
    assert undo.what is Entered.UNTICK
    state = state_of(LOT, [*entries, replace(undo, id=4)])
    assert state.notes == ()
    assert state.lines[0].entry.text == "smells of wool"
    assert state.doing(2, "B").how == "planned"


def test_ten_minutes_ago() -> None:
    then = record.entry_of(LOT, Entered.TICK, START, minutes_ago=10, step=1, vessel="A")
    assert (then.at, then.entered_at) == (START - timedelta(minutes=10), START)
    for wrong in (-1, 8 * 24 * 60):
        with pytest.raises(BadInput):
            record.ago(START, wrong)


@pytest.mark.parametrize(
    "wrong",
    [
        entry(Entered.TICK, 3, "A"),
        entry(Entered.TICK, 1, "C"),
        entry(Entered.TICK, 1),
        entry(Entered.WEIGHT, row=1, value=0.0),
        entry(Entered.WEIGHT, row=7, value=99.0),
        entry(Entered.PH, value=15.0),
        entry(Entered.PH, value=float("nan")),
        entry(Entered.TEMPERATURE),
        entry(Entered.NOTE, text="  "),
        entry(Entered.PHOTO),
        entry(Entered.CORRECTION),
        entry(Entered.INSTEAD, 2, "A", about="acid vinegar", value=1.0),
        entry(Entered.INSTEAD, 1, "A", about="acid vinegar", value=1.0),
        replace(entry(Entered.NOTE, text="x"), lot="2026-11-24-B"),
    ],
)
def test_what_cannot_be_right_is_refused(wrong: Entry) -> None:
    with pytest.raises(BadInput):
        record.check(LOT, [], wrong)


def test_what_somebody_else_did_first_is_a_conflict() -> None:
    ticked = written(entry(Entered.TICK, 1, "A"))
    with pytest.raises(Conflict, match="already ticked"):
        record.check(LOT, ticked, entry(Entered.TICK, 1, "A"))
    with pytest.raises(Conflict, match="nothing to undo"):
        record.check(LOT, ticked, entry(Entered.UNTICK, 1, "B"))
    finished = [*ticked, replace(entry(Entered.FINISH), id=2)]
    with pytest.raises(Conflict, match="finished"):
        record.check(LOT, finished, entry(Entered.TICK, 2, "A"))
    record.check(LOT, finished, entry(Entered.NOTE, text="dried well"))
    reopened = [*finished, replace(entry(Entered.UNTICK), id=3)]
    assert state_of(LOT, finished).status == "finished"
    assert state_of(LOT, reopened).status == "under way"


def test_wrong_unit_is_refused() -> None:
    with pytest.raises(BadInput, match="planned in ml"):
        record.instead_of_dose(LOT, 1, "A", "acid vinegar", 3, "g", START)


def test_keep_takes_what_was_done_not_what_was_planned() -> None:
    entries = written(
        record.instead_of_dose(LOT, 1, "A", "acid vinegar", 45, "ml", START),
        entry(Entered.INSTEAD, 2, "A", about="time", value=40.0, unit="min", text="40 min"),
        entry(Entered.TICK, 1, "B"),
    )
    kept = keep(LOT, entries, "Kept")
    assert [(one.do, dict(one.said)) for one in kept.steps] == [
        ("add acid", {"acid": "vinegar", "amount": "45 ml"}),
        ("hold", {"to": "88 C", "time": "40 min"}),
    ]
    assert kept.fibre == "200 g"
    with pytest.raises(BadInput, match="Nothing was done"):
        keep(LOT, [], "Kept")


def test_keep_of_an_unplanned_pot_keeps_pauses() -> None:
    pot = replace(LOT, plan=(), unplanned=True)
    extras = [
        Entry(id=1, lot=LOT.code, what=Entered.EXTRA, at=START, entered_at=START, vessel="A", about="add dye", said=(("dye", "Ember"), ("amount", "0.5 g"))),
        Entry(id=2, lot=LOT.code, what=Entered.EXTRA, at=START + timedelta(minutes=20), entered_at=START, vessel="A", about="turn"),
        Entry(id=3, lot=LOT.code, what=Entered.EXTRA, at=START + timedelta(minutes=21), entered_at=START, vessel="A", about="rinse"),
    ]
    assert [(one.do, one.get("time")) for one in keep(pot, extras, "Squall").steps] == [("add dye", ""), ("wait", "20 min"), ("turn", ""), ("rinse", "")]


def test_a_struck_deviation_reads_as_an_amount_and_a_name() -> None:
    ticked = [replace(entry(Entered.TICK, step=1, vessel="A"), id=1)]
    deviation = [*ticked, replace(record.instead_of_dose(LOT, 1, "A", "acid vinegar", 45, "ml", START), id=2)]
    corrected = [*deviation, replace(record.correction_of(LOT, deviation, 2, START, value=44.0), id=3)]
    (struck,) = sheet_of(LOT, corrected)["steps"][0]["record"]
    assert struck["struck"]
    assert struck["text"].removeprefix("A: ") == "45 ml vinegar"
    withdrawn = [*corrected, replace(record.withdrawal_of(LOT, corrected, 3, START), id=4)]
    texts = [piece["text"].removeprefix("A: ") for piece in sheet_of(LOT, withdrawn)["steps"][0]["record"] if piece["struck"]]
    assert texts == ["45 ml vinegar", "44 ml vinegar"]
