"""Tests of the dyer's own: a value with its spread and date takes the place of an assumed one, is seen on the shelf, and can be taken back."""

from __future__ import annotations

import io
import re
from threading import Event
from typing import Any

import pytest
from PIL import Image

from skeinwright.core.learn.own_tests import OWN_TESTS
from skeinwright.core.shelf.items import Base, Water
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio
from skeinwright.web.pages import own_tests

SOUR = {"water": "Tap", "volume": "4 l", "strength": "5 %", "vinegar": "15 ml", "ph": "5.15", "read_with": "meter"}
WEIGHED = {"vessel": "Steam pan", "lid": "off", "temp": "85 C", "time": "30 min", "before": "6.2 kg", "after": "5320 g"}


@pytest.fixture
def bases(filled: Studio) -> Studio:
    add_to_shelf(filled, "base", {"name": "Fen Super", "fibres": "wool", "skein_g": "100 g", "length_mm": "400 m", "superwash": "yes"})
    return filled


def water(studio: Studio) -> Water:
    thing = list_shelf(studio, "water")[0].thing
    assert isinstance(thing, Water)
    return thing


def test_one_ph_gives_the_water_its_alkalinity(filled: Studio, client: Any, post: Any) -> None:
    page = post("/tests/alkalinity", SOUR)
    assert page.status_code == 200
    found = water(filled)
    # the bath note's table (PHREEQC-checked): 15 ml of 5 % vinegar in 4 l at alkalinity 120 mg/L stands near pH 5.15
    assert found.alkalinity_mg_l == pytest.approx(120, abs=12)
    assert found.measured_on is not None
    assert "own test" in found.source
    (kept,) = (one.thing for one in list_calibrations(filled, "water", "tap", "alkalinity"))
    assert kept.low < kept.value < kept.high
    assert (kept.value, kept.made_on) == (pytest.approx(found.alkalinity_mg_l, abs=0.5), found.measured_on)
    assert "What this test found" in page.text
    for place in ("/tests", "/tests/alkalinity", f"/shelf/water/{list_shelf(filled, 'water')[0].id}"):
        shown = client.get(place).text
        assert f"{kept.value:.0f} mg/L" in shown
        assert f"{kept.low:.0f} to {kept.high:.0f}" in shown
        assert "2026-11-24" in shown
    assert "Measured by you" in shown


def test_undo_takes_figure_and_shelf_back_together(filled: Studio, client: Any, post: Any) -> None:
    page = post("/tests/alkalinity", SOUR).text
    changes = re.search(r'name="changes" value="([\d,]+)"', page)
    assert changes is not None
    assert changes[1].count(",") == 1
    post("/undo", {"changes": changes[1], "back": "/tests"})
    assert (list_calibrations(filled), water(filled).alkalinity_mg_l) == ([], 80)


def test_an_older_result_stays_listed_and_a_result_can_be_taken_back(filled: Studio, client: Any, post: Any) -> None:
    post("/tests/evaporation", WEIGHED)
    post("/tests/evaporation", WEIGHED | {"after": "5.4 kg"})
    page = client.get("/tests/evaporation").text
    assert page.count('class="older"') == 1
    assert "Older: it does not count any more." in page
    shown = post(f"/tests/results/{list_calibrations(filled)[0].id}/take-back", {"test": "evaporation"})
    assert "Took back what the test found" in shown.text
    assert list_calibrations(filled) == []  # this studio's clock stands still: both are of one moment, and go together


def test_a_strip_is_less_sure_than_a_meter(filled: Studio, post: Any) -> None:
    spans = {}
    for read_with in ("strip", "meter"):
        post("/tests/alkalinity", SOUR | {"read_with": read_with})
        newest = list_calibrations(filled)[0].thing
        spans[read_with] = newest.high - newest.low
    assert spans["strip"] > 2 * spans["meter"]


@pytest.mark.parametrize(
    ("key", "said", "field", "typed"),
    [
        ("alkalinity", SOUR, "ph", "sour"),
        ("alkalinity", SOUR, "ph", "11"),
        ("alkalinity", SOUR, "volume", "some"),
        ("alkalinity", SOUR, "vinegar", "-1 ml"),
        ("alkalinity", SOUR, "strength", ""),
        ("alkalinity", SOUR, "water", "Sea"),
        ("evaporation", WEIGHED, "after", "7 kg"),
        ("evaporation", WEIGHED, "temp", "100 C"),
        ("evaporation", WEIGHED, "time", "1 min"),
        ("superwash", {"base": "Fen Super", "untreated": "50 %", "superwash": "90 %"}, "superwash", "40 %"),
        ("superwash", {"base": "Fen Super", "untreated": "50 %", "superwash": "90 %"}, "untreated", "100 %"),
        ("nylon", {"base": "Quay Sock", "pale_ratio": "3 times", "deep_ratio": "0.6"}, "pale_ratio", "a lot"),
        ("nylon", {"base": "Quay Sock", "pale_ratio": "3 times", "deep_ratio": "0.6"}, "deep_depth", "0.1 %"),
        ("liquor", {"dye": "Kelp", "base": "Fen Super", "samples": "5 min 60 %\n60 min 8 %"}, "samples", "5 min 60 %\nlater 8 %"),
        ("liquor", {"dye": "Kelp", "base": "Fen Super", "samples": "5 min 60 %\n60 min 8 %"}, "samples", "5 min 60 %"),
        ("strike", {"base": "Fen Super", "strands": "30 s 30 %; 120 s 80 %"}, "strands", "30 s 30 %; 120 s 800 %"),
        ("footprint", {"dye": "Kelp", "widths": "0.7 mm"}, "widths", "0.7 mm, 80 mm"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field_and_nothing_is_lost_or_kept(
    bases: Studio, post: Any, key: str, said: dict[str, str], field: str, typed: str
) -> None:
    answer = post(f"/tests/{key}", said | {field: typed})
    assert answer.status_code == 422
    assert f'id="f-{field}-wrong"' in answer.text or (field in ("water",) and "There is no water" in answer.text)
    for value in said.values():
        assert value.splitlines()[0] in answer.text or value in typed or field in said
    assert list_calibrations(bases) == []
    assert water(bases).alkalinity_mg_l == 80


def test_a_superwash_pair_gives_the_base_its_strike(bases: Studio, post: Any) -> None:
    assert post("/tests/superwash", {"base": "Fen Super", "untreated": "50 %", "superwash": "90 %"}).status_code == 200
    base = next(kept.thing for kept in list_shelf(bases, "base") if kept.thing.name == "Fen Super")
    assert isinstance(base, Base)
    kept = list_calibrations(bases, "base", "Fen Super", "strike_factor")[0].thing
    assert kept.low < 5.77 < kept.high  # ln(1 - 0.81)/ln(1 - 0.25) by hand
    assert base.strike_factor == pytest.approx(kept.value, abs=0.01)


@pytest.mark.parametrize(
    ("key", "said", "of", "quantities"),
    [
        ("evaporation", WEIGHED | {"lid": "on", "after": "6.1 kg"}, "Steam pan", ["evaporation_factor_lid"]),
        ("nylon", {"base": "Quay Sock", "pale_ratio": "3 times"}, "Quay Sock", ["nylon_preference"]),
        ("nylon", {"base": "Quay Sock", "pale_ratio": "300 %", "deep_ratio": "0,6"}, "Quay Sock", ["nylon_full_g_kg", "nylon_preference"]),
        (
            "liquor",
            {"dye": "Kelp", "base": "Quay Sock", "samples": "5 min 60 %\n15 min: 35 %\n30 min = 20 %\n1 h 8 %"},
            "Kelp",
            ["partition_factor", "rate_factor"],
        ),
        ("strike", {"base": "Quay Sock", "strands": "30 s 30 %; 60 s 50 %; 120 s 78 %"}, "Quay Sock", ["strike_85_per_s"]),
        (
            "footprint",
            {"dye": "Kelp", "widths": "0.4 mm, 0.5 mm, 0.55 mm, 0.6 mm, 0.6 mm, 0.7 mm, 0.7 mm, 0.8 mm, 0.9 mm, 1 mm, 1,2 mm, 1.5 mm"},
            "Kelp",
            ["footprint_mm", "grain_mm", "grain_sd"],
        ),
    ],
)
def test_each_test_keeps_its_quantities_with_the_thing(
    bases: Studio, client: Any, post: Any, key: str, said: dict[str, str], of: str, quantities: list[str]
) -> None:
    page = post(f"/tests/{key}", said)
    assert page.status_code == 200, re.findall(r'class="wrong"[^>]*><span>(.*?)</span>', page.text)
    kept = [one.thing for one in list_calibrations(bases)]
    assert sorted(one.quantity for one in kept) == quantities
    assert {(one.of, one.test) for one in kept} == {(of, key)}
    assert all(one.low < one.value < one.high for one in kept)
    assert "Before the test" in page.text


def test_the_pages_are_reached_from_acids_and_water(bases: Studio, client: Any) -> None:
    assert 'href="/tests"' in client.get("/shelf/acids-and-water").text
    listed = client.get("/tests").text
    for key, test in OWN_TESTS.items():
        assert f'href="/tests/{key}"' in listed
        page = client.get(f"/tests/{key}").text
        assert test.title in listed.replace("&#39;", "'")
        assert "What it cannot tell" in page
        assert "licensed practice" in page
    assert client.get("/tests/tasting").status_code == 404


def test_a_test_without_its_thing_says_what_to_put_on_the_shelf(studio: Studio, client: Any) -> None:
    page = client.get("/tests/evaporation")
    assert page.status_code == 200
    assert 'href="/shelf/vessel/new"' in page.text
    assert "No base on the shelf has nylon in it." in client.get("/tests/nylon").text


def _grey_photo(studio: Studio) -> int:
    file = io.BytesIO()
    Image.new("RGB", (640, 480), (120, 120, 120)).save(file, "PNG")
    return keep_photo(studio, file.getvalue(), "grey.png").fact.id


def test_a_photo_without_the_sheet_is_told_before_anything_is_typed(filled: Studio, client: Any) -> None:
    photo = _grey_photo(filled)
    for address in (f"/tests/footprint?photo={photo}", f"/tests/footprint/read/{photo}"):
        page = client.get(address).text
        assert "This photo cannot be read" in page
        assert "/jobs/" not in page


def test_a_large_photo_is_read_with_a_line_that_fills_and_can_be_stopped(filled: Studio, client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The reading takes as long as the photo does: here until the page has been looked at."""
    go_on = Event()
    monkeypatch.setattr(own_tests, "open_test_photo", lambda *_: (go_on.wait(20), ("Soft light was not even.",))[1])
    photo = _grey_photo(filled)
    page = client.get(f"/tests/spread-length?photo={photo}").text
    assert 'role="progressbar"' in page
    assert "Looking for the sheet" in page
    assert "data-stop" in page
    go_on.set()
    assert "Soft light was not even." in client.get(f"/tests/spread-length/read/{photo}").text
    later = client.get(f"/tests/spread-length?photo={photo}").text
    assert "The photo is read" in later
    assert 'role="progressbar"' not in later
