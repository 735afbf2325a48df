"""Readings of photos that are kept: the newest first, names carried along, additions and removals taken back."""

from __future__ import annotations

import dataclasses
from datetime import timedelta

import pytest

from skeinwright.core.foundations.errors import BadInput, Conflict, NotFound
from skeinwright.core.measure.kept_reading import KeptReading, measured_colour
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.swatch import Lab
from skeinwright.store.facts import PhotoFact
from skeinwright.store.store import Store
from store.things import LOT, NOW

QUAY = Base(name="Quay Sock", fibres=(("wool", 1.0),), skein_g=100, length_mm=400_000)


@pytest.fixture
def reading(store: Store) -> KeptReading:
    """One that uses every field; what it speaks of is in the store."""
    with store.writing() as writing:
        writing.add_item(QUAY, now=NOW)
        writing.add_item(Dye(name="Kelp"), now=NOW)
        writing.add_lot(LOT)
        fact = PhotoFact(id=0, file="a" * 32 + ".jpg", preview="a" * 32 + "-small.jpg", width_px=4, height_px=3, size_bytes=9, added_at=NOW)
        photo = writing.add_photo(fact).id
    lab = Lab(41.25, -8.5, -20.0, "D65", 2)
    return KeptReading(
        made_at=NOW, photo=photo, lot=LOT.code, base="Quay Sock", dye="Kelp", label="by the window", lab=lab, spread_de00=2.5, document='{"form": "dyed"}'
    )


def keep(store: Store, *readings: KeptReading) -> list[int]:
    with store.writing() as writing:
        return [writing.add_reading(one, now=NOW).id for one in readings]


def test_every_field_comes_back_the_newest_first(store: Store, reading: KeptReading) -> None:
    later = dataclasses.replace(reading, made_at=NOW + timedelta(hours=1), state="wet", lot="", label="")
    keep(store, later, reading)
    with store.reading() as found:
        assert [kept.thing for kept in found.readings()] == [later, reading]
        assert [kept.thing for kept in found.readings(lot=LOT.code)] == [reading]
        assert [kept.thing for kept in found.readings(photo=reading.photo, limit=1)] == [later]
        assert found.readings(lot="2020-01-01-A") == []
        assert reading.details == {"form": "dyed"}


@pytest.mark.parametrize("what", ["photo", "lot", "base", "dye"])
def test_what_it_speaks_of_must_be_there(store: Store, reading: KeptReading, what: str) -> None:
    with pytest.raises(NotFound):
        keep(store, dataclasses.replace(reading, **{what: 99 if what == "photo" else "nowhere"}))


def test_a_new_name_is_carried_along_and_the_thing_cannot_go(store: Store, reading: KeptReading) -> None:
    keep(store, dataclasses.replace(reading, base="quay sock"))
    with store.writing() as writing:
        base = writing.item("base", "Quay Sock")
        writing.replace_item("base", base.id, dataclasses.replace(QUAY, name="Pier Sock"), revision=None, now=NOW)
        assert writing.readings()[0].thing.base == "Pier Sock"
        with pytest.raises(Conflict, match="used in reading"):
            writing.undo(next(change.id for change in writing.changes() if change.kind == "dye"), now=NOW)


def test_an_addition_and_a_removal_are_taken_back(store: Store, reading: KeptReading) -> None:
    (number,) = keep(store, reading)
    with store.writing() as writing:
        assert writing.changes()[0].sentence == "Kept the colour of by the window."
        writing.forget_reading(number, now=NOW)
        removed = writing.made[-1]
        assert writing.readings() == []
        writing.undo(removed.id, now=NOW)
        assert [(kept.id, kept.thing) for kept in writing.readings()] == [(number, reading)]
        with pytest.raises(NotFound, match="reading 77"):
            writing.forget_reading(77, now=NOW)


def test_the_newest_dry_skein_is_the_lot_s_colour(reading: KeptReading) -> None:
    wet, knitted = dataclasses.replace(reading, state="wet"), dataclasses.replace(reading, what="knitted")
    assert measured_colour([wet, knitted, reading, dataclasses.replace(reading, label="older")]) == reading
    assert measured_colour([wet, knitted]) is None
    with pytest.raises(BadInput):
        dataclasses.replace(reading, state="damp")
    with pytest.raises(BadInput):
        dataclasses.replace(reading, spread_de00=float("nan"))
