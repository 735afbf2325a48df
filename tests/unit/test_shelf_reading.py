"""Shelf items out of typed words: every kind, several errors at once, and the words back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.items import KINDS, Base, Dye
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.reading import fields, read_item, read_twist, say_item, turns_per_m
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

SAID: dict[str, dict[str, str]] = {
    "dye": {
        "name": "Kelp",
        "dye_class": "Milling",
        "strength": "80 %",
        "jar_g": "2 oz",
        "price_minor": "12,50",
        "on_hand_g": "31.5 g",
        "safety_sheet": "https://example.org/kelp.pdf",
    },
    "solution": {"name": "Kelp 1 %", "parts": "Kelp", "strength": "1 in 100", "volume_ml": "1 l", "made_on": "2026-11-24", "keeps_days": "90"},
    "blend": {"name": "Tideline", "parts": "3 Kelp : 1 Ember", "grain_mm": "0.12 mm", "on_hand_g": "8 g"},
    "auxiliary": {"name": "Cooking salt", "does": "salt", "pack_g": "1 kg"},
    "leftover": {"name": "Green end", "volume_ml": "2 l", "dyes_g": "Kelp 0.2 g, Ember 0.05 g", "ph": "4,5", "kept_on": "2026-11-23"},
    "base": {
        "name": "Quay Sock",
        "fibres": "75 % wool, 25 % nylon",
        "skein_g": "100 g",
        "length_mm": "400 m",
        "superwash": "yes",
        "plies": "4",
        "twist": "high",
        "round_mm": "1.5 m",
        "undyed": "92, 0, 8",
    },
    "acid": {"name": "Kitchen vinegar", "acid": "vinegar", "strength": "5 %"},
    "water": {"name": "Tap", "alkalinity_mg_l": "5 dH", "ph": "7.6", "measured_on": "2026-01-31"},
    "vessel": {"name": "Long pan", "shape": "rectangle", "length_mm": "50 cm", "width_mm": "30 cm", "height_mm": "10 cm", "lid": "no"},
    "heat": {"name": "Left ring", "does": "burner", "energy": "gas", "power_w": "2,5 kW", "holds": "1"},
}


def problems(kind: str, said: dict[str, str]) -> dict[str | None, BadInput]:
    with pytest.raises(ManyBadInputs) as caught:
        read_item(kind, said)
    return {problem.where: problem for problem in caught.value.problems}


def test_every_kind_has_an_example_here() -> None:
    assert set(SAID) == set(KINDS)


@pytest.mark.parametrize("kind", list(SAID))
def test_reads_and_says_back(kind: str) -> None:
    item = read_item(kind, SAID[kind])
    assert item.kind == kind
    assert read_item(kind, say_item(item)) == item


def test_values_are_in_base_units() -> None:
    dye = read_item("dye", SAID["dye"])
    assert isinstance(dye, Dye)
    assert (dye.dye_class, dye.strength, dye.price_minor) == ("milling", 0.8, 1250)
    assert dye.jar_g == pytest.approx(56.69904625)
    base = read_item("base", SAID["base"])
    assert isinstance(base, Base)
    assert base.fibres == (("wool", 0.75), ("nylon", 0.25))
    assert (base.length_mm, base.round_mm, base.plies, base.superwash) == (400_000.0, 1500.0, 4, True)
    assert base.undyed == Lab(92, 0, 8, "D65", 10)
    assert read_item("solution", SAID["solution"]).made_on == date(2026, 11, 24)  # type: ignore[union-attr]


def test_only_what_must_be_given_is_needed() -> None:
    assert read_item("dye", {"name": "Kelp"}) == Dye(name="Kelp")
    assert set(problems("base", {})) == {"name", "fibres", "skein_g", "length_mm"}
    assert "Is there" not in problems("base", {})["name"].sentence


def test_all_problems_are_told_at_once_under_their_fields() -> None:
    found = problems("dye", {"name": "Kelp", "strengh": "1", "jar_g": "50", "strength": "0 %", "price_minor": "x", "dye_class": "miling"})
    assert set(found) == {"strengh", "jar_g", "strength", "price_minor", "dye_class"}
    assert "'strength'" in found["strengh"].sentence
    assert "50 g" in found["jar_g"].sentence
    assert found["jar_g"].position == 2
    assert "milling" in found["dye_class"].sentence


@pytest.mark.parametrize(
    ("kind", "change", "where", "said"),
    [
        ("base", {"plies": "4 ply"}, "plies", "Count the plies"),
        ("base", {"plies": "0"}, "plies", "1 or more"),
        ("base", {"fibres": "75 % wool, 20 % nylon"}, "fibres", "add up to 95"),
        ("base", {"twist": "tight"}, "twist", "soft, medium, high"),
        ("base", {"undyed": "92, 0"}, "undyed", "Three numbers"),
        ("base", {"undyed": "120, 0, 8"}, "undyed", "between 0"),
        ("base", {"round_mm": "500 m"}, "round_mm", "Once round"),
        ("base", {"skein_g": "0 g"}, "skein_g", "more than nothing"),
        ("water", {"ph": "15"}, "ph", "between 0 and 14"),
        ("solution", {"strength": "200 %"}, "strength", "100 %"),
        ("solution", {"strength": "1:100"}, "strength", "1 in 100 or 1 to 100"),
        ("solution", {"made_on": "24.11.2026"}, "made_on", "2026-11-24"),
        ("solution", {"made_on": "2026-02-30"}, "made_on", "2026-11-24"),
        ("vessel", {"width_mm": ""}, "width_mm", "needs its width"),
        ("vessel", {"shape": "round"}, "width_mm", "diameter"),
        ("vessel", {"lid": "maybe"}, "lid", "yes, no or not known"),
        ("dye", {"safety_sheet": "javascript:alert(1)"}, "safety_sheet", "https"),
        ("dye", {"name": "Kelp, dark"}, "name", "','"),
        ("dye", {"name": "x" * 81}, "name", "80"),
        ("dye", {"maker": "a\nb"}, "maker", "one line"),
        ("heat", {"holds": "2.5"}, "holds", "whole"),
    ],
)
def test_refused(kind: str, change: dict[str, str], where: str, said: str) -> None:
    found = problems(kind, SAID[kind] | change)
    assert list(found) == [where]
    assert said in found[where].sentence


def test_not_known_may_be_typed() -> None:
    item = read_item("vessel", SAID["vessel"] | {"lid": "not known", "mass_g": "not known"})
    assert (item.lid, item.mass_g) == (None, None)  # type: ignore[union-attr]


def test_what_is_kept_stays_and_what_is_emptied_goes() -> None:
    dye = replace(Dye(name="Kelp", jar_g=50.0, notes="n"), swatches=(Swatch(depth=0.01, lab=Lab(40, 0, 0), reading=Reading.TYPED),))
    changed = read_item("dye", {"name": "Kelp", "jar_g": ""}, keep=dye)
    assert changed == replace(dye, jar_g=None)


def test_kind_and_fields() -> None:
    with pytest.raises(BadInput, match="no kind"):
        fields("pony")
    assert [name for name, _ in fields("acid")][:2] == ["name", "acid"]


def test_twist_in_turns() -> None:
    assert read_twist("300 turns per metre") == "300 turns per metre"
    assert turns_per_m(read_twist("7 tpi")) == pytest.approx(7 / 0.0254)
    assert turns_per_m("high") is None


@pytest.mark.parametrize(
    ("text", "lab"),
    [
        ("41.2, -8, -20", Lab(41.2, -8, -20)),
        ("41,2; −8; -20,5", Lab(41.2, -8, -20.5)),
        ("41,2 -8 -20", Lab(41.2, -8, -20)),
        ("93,0,8", Lab(93, 0, 8)),
        ("41.2, -8, -20 D65/2", Lab(41.2, -8, -20, "D65", 2)),
        ("41.2, -8, -20 (A, 10)", Lab(41.2, -8, -20, "A", 10)),
        ("Lab 41.2, -8, -20", Lab(41.2, -8, -20)),
    ],
)
def test_lab(text: str, lab: Lab) -> None:
    assert parse_lab(text) == lab
    assert parse_lab(write_lab(lab)) == lab


def test_lab_in_polar_form() -> None:
    lab = parse_lab("LCh 41, 20, 90")  # a = 20 cos 90 = 0, b = 20 sin 90 = 20
    assert lab.values == pytest.approx((41, 0, 20), abs=1e-12)


@pytest.mark.parametrize("text", ["", "1, 2", "1, 2, 3, 4", "a, b, c", "101, 0, 0", "50, 200, 0", "41,2, -8x, 3", "LCh 41, -3, 10"])
def test_lab_refused(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_lab(text)
    assert caught.value.position is not None
    assert 0 <= caught.value.position <= len(text)
