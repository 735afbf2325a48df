"""Laws of quantities: there and back, scaling, comma and point alike, and nothing typed is ever answered with a crash."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import (
    Habits,
    parse,
    parse_amounts,
    parse_dose,
    parse_doses,
    parse_fibre,
    parse_parts,
    parse_size,
    parse_water,
    say,
    say_number,
    shares_of,
    write,
    write_amounts,
    write_number,
    write_parts,
)
from skeinwright.core.foundations.units import units_of

MEASURED = [
    "mass",
    "volume",
    "length",
    "time",
    "temperature",
    "fraction",
    "strength",
    "rate",
    "alkalinity",
    "power",
    "energy",
    "per_skein",
    "volume_per_skein",
    "twist",
]
HABITS = [Habits(), Habits(spoons="metric"), Habits(spoons="au", drop_ml=0.04)]
NAMES = st.text(alphabet="abcdefghij KLMNé-", min_size=1, max_size=12).map(lambda s: " ".join(s.split())).filter(lambda s: s and s[0].isalpha())
GARBAGE = st.one_of(
    st.text(max_size=30),
    st.text(alphabet="0123456789.,/:½⅛ -+%gmlxhCF", max_size=14),
    st.lists(
        st.sampled_from(
            [
                "1",
                "1/2",
                "0",
                "1,5",
                "½",
                "-",
                "g",
                "kg",
                "ml",
                "tbsp",
                "skeins",
                "of",
                "per skein",
                "%",
                ":",
                "x",
                "to",
                "cover",
                "by",
                "pH",
                "in",
                "h",
                "min",
                "C",
                "Kelp",
                ",",
                ";",
                " ",
                "/",
            ]
        ),
        max_size=8,
    ).map(" ".join),
)
READERS: list[Callable[[str], object]] = [parse_dose, parse_doses, parse_amounts, parse_fibre, parse_water, parse_parts, parse_size]

quick = settings(deadline=None, max_examples=150)


def within(kind: str, value: float) -> float:
    """The value, brought into what the kind can be."""
    return min(value, {"ph": 14.0, "temperature": 350.0}.get(kind, value))


@quick
@given(st.sampled_from(MEASURED), st.floats(1e-6, 1e9))
def test_what_is_written_reads_back_exactly(kind: str, value: float) -> None:
    value = within(kind, value)
    assert parse(kind, write(kind, value)).value == value


@quick
@given(st.sampled_from(["mass", "volume", "length", "time", "fraction", "temperature"]), st.data(), st.floats(1e-3, 1e6))
def test_every_unit_leads_there_and_back(kind: str, data: st.DataObject, value: float) -> None:
    habits, value = data.draw(st.sampled_from(HABITS)), within(kind, value)
    unit = data.draw(st.sampled_from(units_of(kind, habits)))
    assert parse(kind, write(kind, value, unit.name, habits=habits), habits=habits).value == pytest.approx(value, rel=1e-12)


@quick
@given(st.sampled_from([*MEASURED, "ratio", "ph"]), st.floats(0.02, 9e5), st.integers(2, 7))
def test_what_is_said_reads_back_within_its_rounding(kind: str, value: float, digits: int) -> None:
    value = within(kind, value)
    value = max(value, 1.5) if kind == "ratio" else value
    back = parse(kind, say(kind, value, digits=digits)).value
    assert abs(back - value) <= value * 0.5000001 * 10 ** (1 - digits) + (30 if kind == "time" and value >= 7200 else 0)


@quick
@given(st.floats(1e-9, 1e9), st.integers(1, 8))
def test_no_number_is_said_finer_than_asked(value: float, digits: int) -> None:
    said = say_number(value, digits)
    assert len(said.replace(".", "").strip("0")) <= digits
    assert float(said) == pytest.approx(value, rel=0.51 * 10 ** (1 - digits))


@quick
@given(st.integers(0, 99999), st.integers(0, 99), st.sampled_from(["g", "kg", "oz"]))
def test_comma_and_point_are_alike(whole: int, hundredths: int, unit: str) -> None:
    assert parse("mass", f"{whole},{hundredths:02d} {unit}").value == parse("mass", f"{whole}.{hundredths:02d} {unit}").value


@quick
@given(st.integers(1, 999), st.integers(0, 999))
def test_a_comma_before_three_digits_is_never_guessed(whole: int, thousandths: int) -> None:
    with pytest.raises(BadInput, match="could be"):
        parse("mass", f"{whole},{thousandths:03d} g")


@quick
@given(st.integers(1, 400), st.integers(2, 50), st.sampled_from([kind for kind in MEASURED if kind != "temperature"]), st.data())
def test_twice_the_number_is_twice_the_quantity(number: int, times: int, kind: str, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(units_of(kind, Habits())))
    one, many = parse(kind, f"{number} {unit.name}").value, parse(kind, f"{number * times} {unit.name}").value
    assert many == pytest.approx(times * one, rel=1e-12)


@quick
@given(st.integers(0, 20), st.integers(0, 63), st.sampled_from([2, 3, 4, 8, 16, 64]))
def test_mixed_numbers_add_up(whole: int, top: int, bottom: int) -> None:
    top %= bottom
    said = f"{whole} {top}/{bottom} tsp" if whole else f"{top}/{bottom} tsp"
    assert parse("volume", said).value == pytest.approx((whole + top / bottom) * parse("volume", "1 tsp").value, rel=1e-12)


@quick
@given(st.integers(1, 40), st.floats(1, 500))
def test_skeins_add_up(skeins: int, skein_g: float) -> None:
    fibre = parse_fibre(f"{skeins} skeins of {write_number(skein_g)} g")
    assert (fibre.skeins, fibre.skein_g) == (skeins, skein_g)
    assert fibre.total_g == pytest.approx(skeins * skein_g, rel=1e-12)


@quick
@given(st.lists(st.integers(1, 60), min_size=1, max_size=5), st.integers(1, 9), st.data())
def test_parts_add_up_and_do_not_change_when_all_are_scaled(numbers: list[int], times: int, data: st.DataObject) -> None:
    names = data.draw(st.lists(NAMES, min_size=len(numbers), max_size=len(numbers), unique_by=str.casefold))
    parts = shares_of(dict(zip(names, numbers, strict=True)))
    assert sum(share for _, share in parts) == pytest.approx(1.0)
    assert shares_of({name: number * times for name, number in zip(names, numbers, strict=True)}) == parts
    assert parse_parts(write_parts(parts)) == parts
    assert dict(parse_parts(write_parts(parts, percent=True))) == pytest.approx(dict(parts), rel=1e-12)


@quick
@given(st.lists(st.tuples(NAMES, st.floats(1e-4, 1e4)), min_size=1, max_size=5, unique_by=lambda pair: pair[0].casefold()))
def test_amounts_read_back(amounts: list[tuple[str, float]]) -> None:
    assert parse_amounts(write_amounts(tuple(amounts))) == tuple(amounts)


@settings(deadline=None, max_examples=500)
@given(st.sampled_from([*MEASURED, "money", "count", "ratio", "ph", "cover"]), GARBAGE, st.sampled_from(HABITS))
def test_nothing_typed_crashes_and_errors_point_into_the_text(kind: str, text: str, habits: Habits) -> None:
    try:
        quantity = parse(kind, text, habits=habits)
    except BadInput as problem:
        _points_into(problem, text)
    else:
        assert quantity.kind == kind
        assert quantity.value >= 0 or kind == "temperature"
        assert quantity.echo


@settings(deadline=None, max_examples=500)
@given(st.sampled_from(READERS), GARBAGE)
def test_no_reader_crashes(read: Callable[[str], object], text: str) -> None:
    try:
        read(text)
    except BadInput as problem:
        _points_into(problem, text)


def _points_into(problem: BadInput, text: str) -> None:
    assert problem.position is not None
    assert 0 <= problem.position <= len(text)
    assert problem.sentence.strip().endswith((".", "?"))
