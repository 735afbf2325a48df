"""Tests of the dyer's own: a value with its spread and date takes the place of an assumed one, and can be taken back."""

from __future__ import annotations

from typing import Any

import pytest

from skeinwright.core.shelf.items import Base, Water
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio


def water(studio: Studio) -> Water:
    thing = list_shelf(studio, "water")[0].thing
    assert isinstance(thing, Water)
    return thing


def test_one_ph_gives_the_water_its_alkalinity(filled: Studio, client: Any, post: Any) -> None:
    said = {"water": "Tap", "volume": "4 l", "strength": "5 %", "vinegar": "15 ml", "ph": "5.15", "read_with": "meter"}
    assert post("/tests/alkalinity", said).status_code == 200
    found = water(filled)
    # the bath note's table (PHREEQC-checked): 15 ml of 5 % vinegar in 4 l at alkalinity 120 mg/L stands near pH 5.15
    assert found.alkalinity_mg_l == pytest.approx(120, abs=12)
    assert found.measured_on is not None
    assert "own test" in found.source
    assert "by meter" in found.source
    assert "own test" in client.get("/tests").text


def test_a_strip_is_less_sure_than_a_meter(filled: Studio, post: Any) -> None:
    spans = []
    for read_with in ("strip", "meter"):
        post("/tests/alkalinity", {"water": "Tap", "volume": "4 l", "strength": "5 %", "vinegar": "15 ml", "ph": "5.1", "read_with": read_with})
        low, high = water(filled).source.split("(")[1].split(")")[0].split(" to ")
        spans.append(float(high) - float(low))
    assert spans[0] > 2 * spans[1]


@pytest.mark.parametrize(("field", "typed"), [("ph", "sour"), ("ph", "11"), ("volume", "some"), ("vinegar", "-1 ml"), ("strength", "")])
def test_what_cannot_be_read_is_told_at_its_field_and_keeps_nothing(filled: Studio, post: Any, field: str, typed: str) -> None:
    said = {"water": "Tap", "volume": "4 l", "strength": "5 %", "vinegar": "15 ml", "ph": "5.1", "read_with": "strip"} | {field: typed}
    answer = post("/tests/alkalinity", said)
    assert answer.status_code == 422
    assert f'id="f-{field}-wrong"' in answer.text
    assert water(filled).alkalinity_mg_l == 80


def test_a_superwash_pair_gives_the_base_its_strike(filled: Studio, post: Any) -> None:
    add_to_shelf(filled, "base", {"name": "Fen Super", "fibres": "wool", "skein_g": "100 g", "length_mm": "400 m", "superwash": "yes"})
    assert post("/tests/superwash", {"base": "Fen Super", "untreated": "50 %", "superwash": "90 %"}).status_code == 200
    base = next(kept.thing for kept in list_shelf(filled, "base") if kept.thing.name == "Fen Super")
    assert isinstance(base, Base)
    assert base.strike_factor == pytest.approx(5.77, abs=0.01)  # ln(1 - 0.81)/ln(1 - 0.25) by hand
    assert "Own test on 2026-11-24" in base.notes
    assert post("/tests/superwash", {"base": "Fen Super", "untreated": "90 %", "superwash": "50 %"}).status_code == 422


def test_the_pages_are_reached_from_acids_and_water(filled: Studio, client: Any) -> None:
    assert 'href="/tests"' in client.get("/shelf/acids-and-water").text
    for path in ("/tests", "/tests/alkalinity", "/tests/superwash"):
        assert client.get(path).status_code == 200
