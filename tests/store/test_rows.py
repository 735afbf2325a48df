"""What is kept comes back as the same object, every kind and every field."""

import dataclasses
import itertools
from datetime import timedelta

import pytest
from hypothesis import given, settings

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.lot.lot import Dose, Entered
from skeinwright.core.shelf.items import KINDS
from skeinwright.core.shelf.settings import Settings
from skeinwright.store import tables
from skeinwright.store.facts import PhotoFact
from skeinwright.store.plain import dumps, loads
from skeinwright.store.store import Store
from store.things import KEYED, LOT, NOW, OWN, TIDEWRACK, USE, items, tick


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    opened = Store.open(tmp_path_factory.mktemp("rows") / "studio.skeinwright")
    yield opened
    opened.close()


counter = itertools.count()


@pytest.mark.parametrize("kind", KINDS)
def test_item_comes_back(kind: str, shared: Store) -> None:
    @settings(max_examples=12, deadline=None, database=None)
    @given(items(kind))
    def comes_back(item) -> None:
        item = dataclasses.replace(item, name=f"{item.name}{next(counter)}")
        with shared.writing() as writing:
            made = writing.add_item(item, now=NOW)
        with shared.reading() as reading:
            kept = reading.item(kind, made.id)
        assert kept.thing == item
        assert (kept.archived, kept.revision, kept.changed_at) == (False, 1, NOW)
        assert loads(KINDS[kind], dumps(item)) == item

    comes_back()


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_has_a_place(kind: str) -> None:
    columns = set(tables.ITEMS[kind].c.keys())
    children = {"swatches"} if kind == "dye" else {tables.PARTS[kind][0]} if kind in tables.PARTS else set()
    spelled_out = {"undyed"} if kind == "base" else set()
    assert {field.name for field in dataclasses.fields(KINDS[kind])} <= columns | children | spelled_out


@pytest.mark.parametrize("colourway", [TIDEWRACK, OWN], ids=lambda each: each.name)
def test_colourway_comes_back(colourway, store: Store) -> None:
    with store.writing() as writing:
        writing.add_colourway(colourway, now=NOW)
    with store.reading() as reading:
        assert reading.colourway(colourway.name.upper()).thing == colourway
        assert [kept.thing for kept in reading.colourways()] == [colourway]


def test_the_examples_use_every_field() -> None:
    """An example that leaves a field at its default would not notice that the field is lost."""
    for things in ((TIDEWRACK, OWN), (LOT, KEYED), LOT.rows, LOT.plan, LOT.plan[0].doses):
        for field in dataclasses.fields(things[0]):
            if field.default is not dataclasses.MISSING and field.name != "old":
                assert any(getattr(thing, field.name) != field.default for thing in things), field.name


def test_lot_and_record_come_back(store: Store) -> None:
    photo = PhotoFact(id=0, file="a.jpg", preview="b.jpg", width_px=3, height_px=2, size_bytes=9, added_at=NOW, said_name="IMG.jpg")
    with store.writing() as writing:
        assert (writing.add_lot(LOT), writing.add_lot(KEYED)) == (LOT, KEYED)
        first = writing.add_entry(tick(), (USE,))
        photo_id = writing.add_photo(photo).id
        told = tick(what=Entered.EXTRA, about="add salt", value=1.5, unit="g", text="Add 1.5 g of salt", photo=photo_id, row=2, replaces=first.id, key="a-1")
        told = dataclasses.replace(
            told, said=(("what", "salt"),), doses=(Dose(vessel="Pan", kind="auxiliary", name="salt", amount=1.5, unit="g", said="1.5 g"),)
        )
        writing.add_entry(told)
    for field in dataclasses.fields(told):
        assert field.default is dataclasses.MISSING or field.name == "id" or getattr(told, field.name) != field.default, field.name
    with store.reading() as reading:
        assert (reading.lot(LOT.code), reading.lot(KEYED.code)) == (LOT, KEYED)
        assert (reading.lots_by_key("form-1"), reading.lots_by_key("form"), reading.lots_by_key("")) == ([KEYED], [], [])
        assert reading.entries(LOT.code) == [dataclasses.replace(tick(), id=1), dataclasses.replace(told, id=2)]
        assert reading.uses(LOT.code) == [dataclasses.replace(USE, entry=1)]
        assert reading.photo(photo_id) == dataclasses.replace(photo, id=photo_id)


def test_same_photo_is_one(store: Store) -> None:
    photo = PhotoFact(id=0, file="a.jpg", preview="b.jpg", width_px=3, height_px=2, size_bytes=9, added_at=NOW)
    with store.writing() as writing:
        assert writing.add_photo(photo).id == writing.add_photo(dataclasses.replace(photo, added_at=NOW + timedelta(days=1))).id


def test_settings_come_back_and_begin_as_assumed(store: Store) -> None:
    changed = Settings(
        studio="Ebb",
        spoons="metric",
        drop_ml=0.04,
        currency="kr",
        altitude_m=300.0,
        energy_price_minor=31,
        drain_low_ph=6.5,
        drain_high_ph=8.5,
        drain_source="letter",
        demo=True,
    )
    with store.reading() as reading:
        assert reading.settings() == Settings()
    with store.writing() as writing:
        writing.set_settings(changed)
    with store.reading() as reading:
        assert reading.settings() == changed


def test_sets_come_back(store: Store) -> None:
    fade = ColourwaySet(name="Fade", colourways=("B", "A", "C"), notes="pale to deep")
    with store.writing() as writing:
        writing.add_set(fade, now=NOW)
    with store.reading() as reading:
        assert [kept.thing for kept in reading.sets()] == [fade]
        assert reading.set_("fade").thing == fade


def test_what_is_not_there_is_said(store: Store) -> None:
    with store.reading() as reading:
        for ask in (
            lambda: reading.item("dye", "Kelp"),
            lambda: reading.item("dye", 7),
            lambda: reading.items("spoon"),
            lambda: reading.lot("2026-01-01-A"),
            lambda: reading.photo(1),
            lambda: reading.change(1),
        ):
            with pytest.raises(NotFound):
                ask()
