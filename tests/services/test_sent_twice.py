"""A double tap, or a request sent again because the network lost its answer: one line in the record, one use of the shelf, the same answer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from lot_studio import studio_in
from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.lot.lot import Entered, Entry, Lot
from skeinwright.services.correct_entry import CorrectEntry, correct_entry
from skeinwright.services.correct_line import CorrectLine, correct_line
from skeinwright.services.finish_lot import finish_lot
from skeinwright.services.get_lot import get_lot
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.record_extra import RecordExtra, record_extra
from skeinwright.services.record_instead import RecordInstead, record_instead
from skeinwright.services.reopen_lot import reopen_lot
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step
from skeinwright.services.untick_step import untick_step

ROWS = (RowWanted(base="Quay Sock", skeins=3, vessel="Big pot"), RowWanted(base="Quay Sock", skeins=1, vessel="Old pan"))
PAN = "Big pot"


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (found, _):
        yield found


@pytest.fixture
def lot(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS))


def _noted(studio: Studio, code: str) -> int:
    entry = record_entry(studio, RecordEntry(lot=code, what=Entered.PH, said="5.1", vessel=PAN))
    assert entry.id is not None
    return entry.id


ACTS: dict[str, tuple[Callable[[Studio, str], object], Callable[[Studio, str, object, str], Entry | tuple[Entry, ...]], int]] = {
    "tick": (lambda s, c: None, lambda s, c, was, key: tick_step(s, TickStep(lot=c, steps=(3, 4), vessels=(PAN,), key=key)), 2),
    "tick in all": (lambda s, c: None, lambda s, c, was, key: tick_step(s, TickStep(lot=c, steps=(3,), key=key)), 2),
    "skip": (lambda s, c: None, lambda s, c, was, key: tick_step(s, TickStep(lot=c, steps=(3,), vessels=(PAN,), skip=True, key=key)), 1),
    "untick": (
        lambda s, c: tick_step(s, TickStep(lot=c, steps=(3,), vessels=(PAN,))),
        lambda s, c, was, key: untick_step(s, c, 3, vessels=(PAN,), key=key),
        1,
    ),
    "measured": (lambda s, c: None, lambda s, c, was, key: record_entry(s, RecordEntry(lot=c, what=Entered.PH, said="4.5", vessel=PAN, key=key)), 1),
    "extra": (
        lambda s, c: None,
        lambda s, c, was, key: record_extra(s, RecordExtra(lot=c, do="add dye", said={"dye": "Ember", "amount": "1 g"}, vessel=PAN, key=key)),
        1,
    ),
    "instead": (
        lambda s, c: None,
        lambda s, c, was, key: record_instead(s, RecordInstead(lot=c, step=6, about="acid White vinegar", said="40 ml", vessel=PAN, key=key)),
        1,
    ),
    "correct": (_noted, lambda s, c, was, key: correct_entry(s, CorrectEntry(lot=c, entry=int(str(was)), value=4.9, key=key)), 1),
    "withdraw": (_noted, lambda s, c, was, key: correct_entry(s, CorrectEntry(lot=c, entry=int(str(was)), withdraw=True, key=key)), 1),
    "correct the line": (_noted, lambda s, c, was, key: correct_line(s, CorrectLine(lot=c, entry=int(str(was)), said="4.9", key=key)), 1),
    "finish": (lambda s, c: None, lambda s, c, was, key: finish_lot(s, c, key=key), 1),
    "reopen": (lambda s, c: finish_lot(s, c), lambda s, c, was, key: reopen_lot(s, c, key=key), 1),
}


@pytest.mark.parametrize("act", ACTS)
def test_the_second_one_writes_nothing_and_answers_the_same(studio: Studio, lot: Lot, act: str) -> None:
    prepare, do, lines = ACTS[act]
    was = prepare(studio, lot.code)
    before = len(get_lot(studio, lot.code).entries)
    first = do(studio, lot.code, was, "form-7")
    once = get_lot(studio, lot.code)
    assert len(once.entries) == before + lines
    assert do(studio, lot.code, was, "form-7") == first
    again = get_lot(studio, lot.code)
    assert (again.entries, again.uses) == (once.entries, once.uses)


def test_without_a_key_two_notes_are_two_and_other_keys_are_others(studio: Studio, lot: Lot) -> None:
    for key in ("", "", "a", "ab", "a", "ab"):
        record_entry(studio, RecordEntry(lot=lot.code, what=Entered.NOTE, said="Stirred.", key=key))
    assert [entry.key for entry in get_lot(studio, lot.code).entries] == ["", "", "a", "ab"]


def test_a_tick_that_was_taken_back_does_not_return_with_a_late_request(studio: Studio, lot: Lot) -> None:
    request = TickStep(lot=lot.code, steps=(3,), vessels=(PAN,), key="slow")
    tick_step(studio, request)
    untick_step(studio, lot.code, 3, vessels=(PAN,))
    tick_step(studio, request)
    assert get_lot(studio, lot.code).state.doing(3, PAN).how == "planned"


def test_a_request_that_was_refused_wrote_nothing_and_may_come_again(studio: Studio, lot: Lot) -> None:
    finish_lot(studio, lot.code)
    with pytest.raises(Conflict):
        tick_step(studio, TickStep(lot=lot.code, steps=(3,), vessels=(PAN,), key="early"))
    reopen_lot(studio, lot.code)
    assert len(tick_step(studio, TickStep(lot=lot.code, steps=(3,), vessels=(PAN,), key="early"))) == 1


@pytest.mark.parametrize("key", ["with space", "a/2", "x" * 65, "\u00e9"])
def test_a_key_that_no_form_makes_is_refused(studio: Studio, lot: Lot, key: str) -> None:
    with pytest.raises(BadInput, match="key"):
        record_entry(studio, RecordEntry(lot=lot.code, what=Entered.NOTE, said="Stirred.", key=key))
    assert get_lot(studio, lot.code).entries == ()
