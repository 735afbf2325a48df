"""Starting a lot is done once, however often its form is sent."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from lot_studio import studio_in
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Lot
from skeinwright.services.copy_lot import copy_lot
from skeinwright.services.enter_old_lots import OldLot, enter_old_lots
from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.start_unplanned_pot import StartUnplannedPot, start_unplanned_pot
from skeinwright.services.studio import Studio

ROWS = (RowWanted(base="Quay Sock", skeins=2, vessel="Big pot"),)
OLD = (OldLot(when="2019", title="Sea fret"), OldLot(when="2019", title="Lamp oil"), OldLot(when="spring 2021", title="Pier"))
STARTS: dict[str, Callable[[Studio, str], Lot | tuple[Lot, ...]]] = {
    "planned": lambda studio, key: start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS, key=key)),
    "unplanned": lambda studio, key: start_unplanned_pot(studio, StartUnplannedPot(vessel="Old pan", key=key)),
    "copied": lambda studio, key: copy_lot(studio, "2026-11-24-A", key=key),
    "old": lambda studio, key: enter_old_lots(studio, OLD, key=key),
}


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (found, _):
        start_lot(found, StartLot(colourway="Tidewrack", rows=ROWS, key="the-first"))
        yield found


@pytest.mark.parametrize("how", STARTS)
def test_the_second_one_starts_nothing_and_answers_the_same(studio: Studio, how: str) -> None:
    first = STARTS[how](studio, "form-7")
    made = first if isinstance(first, tuple) else (first,)
    assert len(list_lots(studio)) == 1 + len(made)
    assert STARTS[how](studio, "form-7") == first
    assert len(list_lots(studio)) == 1 + len(made)
    assert [get_lot(studio, lot.code).lot for lot in made] == list(made)


@pytest.mark.parametrize("how", STARTS)
def test_without_a_key_or_with_another_one_each_is_a_lot(studio: Studio, how: str) -> None:
    made = [STARTS[how](studio, key) for key in ("", "", "form", "form-7")]
    lots = [lot for one in made for lot in (one if isinstance(one, tuple) else (one,))]
    assert len({lot.code for lot in lots}) == len(lots)
    assert len(list_lots(studio)) == 1 + len(lots)


def test_a_copy_does_not_carry_the_key_of_what_it_copies(studio: Studio) -> None:
    assert get_lot(studio, "2026-11-24-A").lot.key == "the-first"
    assert copy_lot(studio, "2026-11-24-A").key == ""


def test_a_key_that_no_form_makes_is_refused(studio: Studio) -> None:
    for key in ("a/2", "with space", "x" * 65):
        with pytest.raises(BadInput, match="key"):
            start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS, key=key))
    assert len(list_lots(studio)) == 1
