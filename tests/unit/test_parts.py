"""Parts, shares, amounts and doses of several things."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse_amounts, parse_doses, parse_parts, shares_of, write_amounts, write_parts


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("3 Kelp : 1 Ember", {"Kelp": 0.75, "Ember": 0.25}),
        ("3 Kelp : 1 Ember : 1/2 Rosehip", {"Kelp": 6 / 9, "Ember": 2 / 9, "Rosehip": 1 / 9}),
        ("75 % wool, 25 % nylon", {"wool": 0.75, "nylon": 0.25}),
        ("75% wool,25% nylon", {"wool": 0.75, "nylon": 0.25}),
        ("wool 75 %; nylon 25 %", {"wool": 0.75, "nylon": 0.25}),
        ("1,5 Kelp, 0,5 Ember", {"Kelp": 0.75, "Ember": 0.25}),
        ("2 parts Kelp : 1 part of Ember", {"Kelp": 2 / 3, "Ember": 1 / 3}),
        ("75/25 wool nylon", {"wool": 0.75, "nylon": 0.25}),
        ("75 / 25 % wool/nylon", {"wool": 0.75, "nylon": 0.25}),
        ("wool/nylon 75/25", {"wool": 0.75, "nylon": 0.25}),
        ("50/30/20 merino wool/silk/nylon", {"merino wool": 0.5, "silk": 0.3, "nylon": 0.2}),
        ("1/2 Rosehip", {"Rosehip": 1.0}),
        ("Kelp 50/50", {"Kelp 50/50": 1.0}),
        ("Kelp", {"Kelp": 1.0}),
        ("33.3 % a, 33.3 % b, 33.3 % c", {"a": 1 / 3, "b": 1 / 3, "c": 1 / 3}),
    ],
)
def test_parts(text: str, parts: dict[str, float]) -> None:
    assert dict(parse_parts(text)) == pytest.approx(parts)


@pytest.mark.parametrize(
    ("text", "position", "said"),
    [
        ("60 % wool, 25 % nylon", 0, "add up to 85"),
        ("80/20 merino wool nylon", 0, "says 2 shares; name each"),
        ("75/25 wool", 0, "says 2 shares; name each"),
        ("3 Kelp : Ember", 9, "How many parts of 'Ember'"),
        ("3 Kelp : 25 % Ember", 0, "mixed"),
        ("1 Kelp : 2 kelp", 11, "named twice"),
        ("1 Kelp : ", 9, "missing"),
        ("0 Kelp", 0, "more than nothing"),
        ("3", 1, "names nothing"),
        ("", 0, "name"),
    ],
)
def test_parts_refused(text: str, position: int, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_parts(text)
    assert caught.value.position == position
    assert said in caught.value.sentence


def test_parts_are_written_as_small_whole_numbers_or_per_cents() -> None:
    assert write_parts((("Kelp", 0.75), ("Ember", 0.25))) == "3 Kelp : 1 Ember"
    assert write_parts((("wool", 0.75), ("nylon", 0.25)), percent=True) == "75 % wool, 25 % nylon"
    assert write_parts(parse_parts("1 a : 1 b : 1 c"), percent=True) == "1 a : 1 b : 1 c"


def test_shares_of_a_table() -> None:
    assert dict(shares_of({"Kelp": 3, "Ember": 1})) == {"Kelp": 0.75, "Ember": 0.25}
    for bad in ({"Kelp": -1, "Ember": 2}, {"Kelp": float("nan")}, {"Kelp": True}):
        with pytest.raises(BadInput):
            shares_of(bad)


def test_amounts_and_doses() -> None:
    amounts = parse_amounts("Kelp 0.2 g, Ember 0,05 g")
    assert amounts == (("Kelp", 0.2), ("Ember", 0.05))
    assert write_amounts(amounts) == "Kelp 0.2 g, Ember 0.05 g"
    assert [(name, dose.kind, dose.value) for name, dose in parse_doses("Kelp 2 0.5 %, 1 g of Ember")] == [
        ("Kelp 2", "fraction", 0.005),
        ("Ember", "mass", 1.0),
    ]


@pytest.mark.parametrize(("text", "position"), [("Kelp", 0), ("Kelp 0.2 g, Ember 3 kgs", 20), ("Kelp 1 g, Kelp 2 g", 10), ("Kelp 2 ml", 7)])
def test_amounts_refused_at_their_place(text: str, position: int) -> None:
    with pytest.raises(BadInput) as caught:
        parse_amounts(text)
    assert caught.value.position == position
