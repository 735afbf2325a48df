"""The PDFs of a lot: opened with pypdf and read as a person would."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from lot_studio import START, step, studio_in
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Entered, Lot
from skeinwright.services.correct_entry import CorrectEntry, correct_entry
from skeinwright.services.make_lot_sheet import make_lot_sheet
from skeinwright.services.make_slip import make_slip
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.record_extra import RecordExtra, record_extra
from skeinwright.services.record_instead import RecordInstead, record_instead
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.start_unplanned_pot import StartUnplannedPot, start_unplanned_pot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step

HOSTILE = '#panic("no") *bold* _it_ $x$ "quotes" \\ <tag> @ref'
ROWS = (
    RowWanted(base="Quay Sock", skeins=3, vessel="Big pot", mark="2 ties"),
    RowWanted(base="Quay Sock", skeins=1, skein_g=115, vessel="Old pan", mark="tag 14"),
)


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (opened, _):
        yield opened


@pytest.fixture
def lot(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS))


def pages(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def is_tagged(pdf: bytes) -> bool:
    root = PdfReader(io.BytesIO(pdf)).trailer["/Root"]
    return bool(root["/MarkInfo"]["/Marked"]) and "/StructTreeRoot" in root and root["/Lang"] == "en-GB"


def test_a_tagged_page_for_each_vessel_with_its_own_doses(studio: Studio, lot: Lot) -> None:
    pdf = make_slip(studio, lot.code)
    assert is_tagged(pdf)
    pot, pan = pages(pdf)
    for page, vessel, dose, other, mark in ((pot, "Big pot", "188 ml", "71.9 ml", "2 ties"), (pan, "Old pan", "71.9 ml", "188 ml", "tag 14")):
        assert lot.code in page.replace(" ", "")
        assert vessel in page
        assert dose in page
        assert other not in page
        assert mark in page
        assert f"Planned {mark}, seen" in page
        assert "VINEGAR VAPOUR" in page
    assert len(pages(make_slip(studio, lot.code, vessel="Old pan"))) == 1
    with pytest.raises(BadInput, match="not a vessel"):
        make_slip(studio, lot.code, vessel="Bathtub")


def test_a_caution_is_said_in_full_once_and_by_its_word_each_time(studio: Studio) -> None:
    steps = (step("sprinkle", dye="Kelp", amount="0.2 g"), step("sprinkle", dye="Ember", amount="0.2 g"), step("turn"))
    with studio.store.writing() as writing:
        writing.add_colourway(Colourway(name="Squall", bases=("Quay Sock",), steps=steps), now=START)
    (page,) = pages(make_slip(studio, start_lot(studio, StartLot(colourway="Squall")).code))
    assert (page.count("OPEN POWDER"), page.count("Respirator on and fitted"), page.count("JARS SHUT")) == (2, 1, 1)


def test_all_steps_are_on_the_slip_in_order(studio: Studio, lot: Lot) -> None:
    (pot, _) = pages(make_slip(studio, lot.code))
    places = [pot.index(words) for words in ("Soak", "Fill with 9 l", "Lay the yarn in", "Heat to 88 C", "Let it cool", "Rinse 2 times")]
    assert places == sorted(places)


def test_a_long_colourway_still_has_one_page_for_each_vessel(studio: Studio) -> None:
    more = tuple(step("note", text=f"Look at the bath, time {number}") for number in range(22))
    with studio.store.writing() as writing:
        writing.add_colourway(Colourway(name="Long", bases=("Quay Sock",), steps=more), now=START)
    pdf = make_slip(studio, start_lot(studio, StartLot(colourway="Long", rows=ROWS)).code)
    assert len(pages(pdf)) == 2
    assert all("time 21" in page for page in pages(pdf))


def test_names_print_as_they_are_written(studio: Studio) -> None:
    with studio.store.writing() as writing:
        writing.add_colourway(Colourway(name=HOSTILE, bases=("Quay Sock",), steps=(step("note", text=HOSTILE),)), now=START)
    lot = start_lot(studio, StartLot(colourway=HOSTILE, rows=(RowWanted(base="Quay Sock", skeins=1, vessel=HOSTILE, mark=HOSTILE),)))
    record_entry(studio, RecordEntry(lot=lot.code, what=Entered.NOTE, said=HOSTILE))
    for pdf, least in ((make_slip(studio, lot.code), 3), (make_lot_sheet(studio, lot.code), 4)):
        text = "".join("".join(pages(pdf)).split())
        assert text.count("".join(HOSTILE.split())) >= least


def test_the_lot_sheet_shows_plan_deviation_and_struck_lines(studio: Studio, lot: Lot) -> None:
    empty = make_lot_sheet(studio, lot.code)
    tick_step(studio, TickStep(lot=lot.code, steps=(1, 2)))
    record_instead(studio, RecordInstead(lot=lot.code, step=6, vessel="Big pot", about="acid White vinegar", said="45 ml"))
    weight = record_entry(studio, RecordEntry(lot=lot.code, what=Entered.WEIGHT, row=1, about="2", said="98 g"))
    correct_entry(studio, CorrectEntry(lot=lot.code, entry=weight.id or 0, value=89))
    record_extra(studio, RecordExtra(lot=lot.code, do="add dye", said={"dye": "Ember", "amount": "0.3 g"}, vessel="Old pan"))
    pdf = make_lot_sheet(studio, lot.code)
    text = " ".join(pages(pdf))
    assert is_tagged(pdf)
    for words in ("2026-11-24-A", "Tidewrack", "90 ml White vinegar", "45 ml White vinegar", "98", "89", "Add 0.3 g of Ember", "09:30"):
        assert words in text
    assert "45 ml" not in " ".join(pages(empty))


def test_the_same_lot_gives_the_same_bytes(studio: Studio, lot: Lot) -> None:
    assert make_slip(studio, lot.code) == make_slip(studio, lot.code)


def test_an_unplanned_pot_has_lines_to_write_on(studio: Studio) -> None:
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Old pan"))
    (page,) = pages(make_slip(studio, pot.code))
    assert "not weighed" in page
    assert len(pages(make_lot_sheet(studio, pot.code))) == 1
