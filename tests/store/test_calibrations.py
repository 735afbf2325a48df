"""What tests of the dyer's own found: the newest counts, older ones stay, a new name is carried along, and an addition can be taken back."""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta

import pytest

from skeinwright.core.foundations.errors import BadInput, Conflict, NotFound
from skeinwright.core.shelf.calibration import Calibration, newest
from skeinwright.core.shelf.items import Vessel
from skeinwright.store.store import Store
from store.things import NOW

POT = Vessel(name="Blue pot", shape="round", length_mm=240, height_mm=160)
FIRST = Calibration("Evaporation", "vessel", "Blue pot", "evaporation_factor", 1.2, 1.1, 1.3, "x", date(2026, 11, 20), note="lid off")
SECOND = dataclasses.replace(FIRST, value=0.9, low=0.8, high=1.0, made_on=date(2026, 11, 24))


@pytest.fixture
def pot(store: Store) -> int:
    with store.writing() as writing:
        return writing.add_item(POT, now=NOW).id


def keep(store: Store, *calibrations: Calibration) -> list[int]:
    with store.writing() as writing:
        return [writing.add_calibration(one, now=NOW + timedelta(minutes=number)).id for number, one in enumerate(calibrations)]


@pytest.mark.usefixtures("pot")
def test_every_field_comes_back_and_the_newest_day_is_first(store: Store) -> None:
    keep(store, SECOND, FIRST)  # entered late: an older test
    with store.reading() as reading:
        found = [kept.thing for kept in reading.calibrations(of_kind="vessel", of="BLUE POT")]
        assert found == [SECOND, FIRST]
        assert newest(found, "evaporation_factor") == SECOND
        assert newest(found, "strike_factor") is None
        assert reading.calibrations(quantity="strike_factor") == []
        assert reading.calibrations(of="Red pot") == []


@pytest.mark.usefixtures("pot")
def test_of_one_day_the_later_entry_counts(store: Store) -> None:
    keep(store, FIRST, dataclasses.replace(FIRST, value=1.25))
    with store.reading() as reading:
        assert [kept.thing.value for kept in reading.calibrations()] == [1.25, 1.2]


def test_a_new_name_is_carried_along_and_back(store: Store, pot: int) -> None:
    keep(store, dataclasses.replace(FIRST, of="blue POT"))
    with store.writing() as writing:
        assert writing.calibrations()[0].thing.of == "Blue pot"  # written as it stands on the shelf
        writing.replace_item("vessel", pot, dataclasses.replace(POT, name="Teal pot"), revision=None, now=NOW)
        renamed = writing.made[-1].id
    with store.writing() as writing:
        assert [kept.thing.of for kept in writing.calibrations(of="teal pot")] == ["Teal pot"]
        writing.undo(renamed, now=NOW)
        assert [kept.thing for kept in writing.calibrations(of="Blue pot")] == [FIRST]


def test_an_addition_is_taken_back_and_brought_again(store: Store, pot: int) -> None:
    keep(store, FIRST)
    with store.writing() as writing:
        added = next(change for change in writing.changes() if change.kind == "calibration")
        assert added.sentence == "Kept a test: evaporation_factor of Blue pot."
        with pytest.raises(Conflict, match="used in calibration"):  # the pot's own addition cannot go while a test speaks of it
            writing.undo(next(change.id for change in writing.changes() if change.kind == "vessel"), now=NOW)
        taken = writing.undo(added.id, now=NOW)
        assert writing.calibrations() == []
        writing.undo(taken.id, now=NOW)
        assert [kept.thing for kept in writing.calibrations()] == [FIRST]
    assert pot


def test_what_was_changed_in_one_act_is_found_together(store: Store, pot: int) -> None:
    with store.writing() as writing:
        now = NOW + timedelta(minutes=5)
        writing.replace_item("vessel", pot, dataclasses.replace(POT, notes="tested"), revision=None, now=now)
        made = writing.add_calibration(FIRST, now=now)
        assert [change.kind for change in writing.changes_with("calibration", made.id)] == ["vessel", "calibration"]
        writing.undo(writing.made[-1].id, now=now)
        assert writing.changes_with("calibration", made.id) == []


def test_of_nothing_on_the_shelf_or_outside_its_interval_is_refused(store: Store) -> None:
    with pytest.raises(NotFound):
        keep(store, FIRST)
    with pytest.raises(BadInput, match="inside its own interval"):
        dataclasses.replace(FIRST, low=1.3)
    assert keep(store, dataclasses.replace(FIRST, of_kind="", of="", quantity="hand"))
