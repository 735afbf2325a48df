"""What one quantity may look like, and what is refused with which sentence at which place."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import Habits, parse, parse_dose, parse_fibre, parse_size, parse_water, say, write

TSP = 3785.411784 / 768


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("volume", "3 tbsp", 9 * TSP),
        ("volume", "1/8 tsp", TSP / 8),
        ("volume", "1/64 tsp", TSP / 64),
        ("volume", "1 1/2 tbsp", 4.5 * TSP),
        ("volume", "1½ tbsp", 4.5 * TSP),
        ("volume", "½ cup", 24 * TSP),
        ("volume", "1⁄4 Tsp.", TSP / 4),
        ("volume", "3 drops", 0.15),
        ("volume", "1 cup + 2 tbsp", 54 * TSP),
        ("volume", "4L", 4000.0),
        ("mass", "1,5 kg", 1500.0),
        ("mass", ".5 g", 0.5),
        ("mass", "0,500 g", 0.5),
        ("mass", "1.500 g", 1.5),
        ("mass", "1234,500 g", 1234.5),
        ("mass", "2 lb 3 oz", 2.1875 * 453.59237),
        ("length", "5 ft 3 in", 1600.2),
        ("time", "10 min", 600.0),
        ("time", "1 h 30", 5400.0),
        ("time", "1h30min", 5400.0),
        ("time", "1 h and 5 min", 3900.0),
        ("time", "2 min 30", 150.0),
        ("time", "90 s", 90.0),
        ("time", "1:30 h", 5400.0),
        ("time", "1:30 min", 90.0),
        ("time", "1:02:03", 3723.0),
        ("temperature", "-5 C", -5.0),
        ("temperature", "−5 °C", -5.0),
        ("fraction", "2 % owf", 0.02),
        ("fraction", "2%WOF", 0.02),
        ("fraction", "1/2 %", 0.005),
        ("fraction", "3 per cent", 0.03),
        ("strength", "1 in 100", 0.01),
        ("strength", "1 to 99", 0.01),
        ("alkalinity", "120 mg / l", 120.0),
        ("ratio", "30:1", 30.0),
        ("ratio", "12,5 : 1", 12.5),
        ("ratio", "30 to 1", 30.0),
        ("power", "2 kW", 2000.0),
        ("money", "12.50", 1250.0),
        ("money", "€12,50", 1250.0),
        ("money", "12.50 EUR", 1250.0),
        ("money", "$3", 300.0),
        ("count", "3 times", 3.0),
        ("ph", "pH 4,5", 4.5),
        ("per_skein", "2 g per skein", 2.0),
        ("cover", "to cover by 2 cm", 20.0),
        ("twist", "10 tpi", 10 / 0.0254),
    ],
)
def test_reads(kind: str, text: str, value: float) -> None:
    assert parse(kind, text).value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "text", "position", "said"),
    [
        ("mass", "1,500 g", 0, "could be 1.5 or 1500: write 1500 or 1.5"),
        ("mass", "12,000 g", 0, "could be 12 or 12000"),
        ("mass", "1,500,000 g", 0, "1500000"),
        ("mass", "1.500.000 g", 0, "1500000"),
        ("mass", "1,500.5 g", 0, "write 1500.5"),
        ("mass", "1 000 g", 0, "write 1000"),
        ("mass", "1'000,5 g", 0, "write 1000"),
        ("temperature", "88°", 2, "in C or in F"),
        ("mass", "5", 1, "'5 g'"),
        ("mass", "", 0, "nothing was written"),
        ("mass", "some", 0, "'some' was read"),
        ("mass", "5 ml", 2, "unit of volume"),
        ("mass", "5 gr", 2, "grains"),
        ("mass", "-5 g", 0, "less than nothing"),
        ("mass", "1/0 g", 2, "below the line"),
        ("mass", "1 5/4 g", 2, "less than one"),
        ("mass", "1.5 1/2 g", 4, ""),
        ("mass", "2 oz 3 lb", 5, "smaller unit"),
        ("mass", "1e5 g", 1, "not known"),
        ("volume", "3 tblsp", 2, "Did you mean 'tbsp'"),
        ("volume", "2 T", 2, "tbsp or tsp"),
        ("volume", "8 oz", 2, "fl oz"),
        ("volume", "2-3 tbsp", 1, "range"),
        ("temperature", "88", 2, "in C or in F"),
        ("temperature", "880 C", 0, "no temperature of a dye room"),
        ("temperature", "88 K", 3, "C or F"),
        ("fraction", "0.75", 4, "'75 %' or '0.75 %'"),
        ("time", "1:30", 4, "1 h 30 min or 1 min 30 s"),
        ("time", "1:75 h", 2, "60 minutes"),
        ("ratio", "1:100", 0, "1 in 100 or 1 to 100"),
        ("strength", "1:100", 1, "1 in 100 or 1 to 100"),
        ("rate", "0 C/min", 0, "more than nothing"),
        ("ratio", "30", 2, "'30:1'"),
        ("ratio", "3:2", 2, "not a liquor ratio"),
        ("money", "12.345", 0, "two decimals"),
        ("money", "12.50x", 5, "cannot be read"),
        ("count", "2.5", 0, "whole number"),
        ("ph", "15", 0, "between 0 and 14"),
        ("cover", "to cover", 8, "By how much"),
    ],
)
def test_refuses_and_says_where(kind: str, text: str, position: int, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse(kind, text, where="here")
    assert caught.value.position == position
    assert said in caught.value.sentence
    assert caught.value.where == "here"


def test_without_us_spoons_a_bare_pint_is_not_guessed() -> None:
    with pytest.raises(BadInput):
        parse("volume", "1 pint", habits=Habits(spoons="metric"))
    assert parse("volume", "1 UK pint", habits=Habits(spoons="metric")).value == pytest.approx(568.26125)


def test_a_drop_is_as_large_as_the_dyer_says() -> None:
    assert parse("volume", "10 drops", habits=Habits(drop_ml=0.04)).value == pytest.approx(0.4)


def test_another_currency_is_refused() -> None:
    with pytest.raises(BadInput, match="not the currency"):
        parse("money", "12 USD", habits=Habits(currency="EUR"))


@pytest.mark.parametrize(
    ("kind", "text", "echo"),
    [
        ("volume", "3 tbsp", "3 tbsp = 44.4 ml"),
        ("mass", "1500 g", "1500 g"),
        ("strength", "10 g/l", "10 g/l = 1 %"),
        ("temperature", "190 F", "190 F = 87.8 C"),
        ("alkalinity", "5 dH", "5 dH = 89.2 mg/L"),
        ("time", "1 h 30", "1 h 30"),
    ],
)
def test_echo(kind: str, text: str, echo: str) -> None:
    assert parse(kind, text).echo == echo


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        ("mass", 11.25, "11.3 g"),
        ("mass", 1.5, "1.5 g"),
        ("mass", 0.15, "0.15 g"),
        ("mass", 0.004, "4 mg"),
        ("mass", 1125.0, "1.13 kg"),
        ("mass", 9.996, "10 g"),
        ("mass", 0.0, "0 g"),
        ("volume", 44.36, "44.4 ml"),
        ("volume", 4000.0, "4 l"),
        ("length", 120.0, "12 cm"),
        ("length", 0.12, "0.12 mm"),
        ("length", 400000.0, "400 m"),
        ("time", 90.0, "90 s"),
        ("time", 600.0, "10 min"),
        ("time", 5400.0, "90 min"),
        ("time", 9000.0, "2 h 30 min"),
        ("time", 3600.0, "1 h"),
        ("fraction", 0.015, "1.5 %"),
        ("ratio", 30.0, "30:1"),
        ("money", 1250, "12.50"),
        ("ph", 4.5, "pH 4.5"),
        ("temperature", -5.0, "-5 C"),
        ("cover", 20.0, "to cover by 2 cm"),
    ],
)
def test_say(kind: str, value: float, said: str) -> None:
    assert say(kind, value) == said


def test_say_pads_only_when_asked_and_never_says_more_digits() -> None:
    assert say("mass", 1.5, pad=True) == "1.50 g"
    assert say("volume", 1126, "ml", digits=2) == "1100 ml"
    assert say("temperature", 20.0, "F") == "68 F"


def test_write_is_exact_even_where_a_unit_has_no_decimal() -> None:
    assert write("length", 400000.0, "m") == "400 m"
    assert write("time", 100.0) == "100 s"
    assert write("temperature", 20.0, "F") == "68 F"
    assert parse("mass", write("mass", 28.349523125, "oz")).value == 28.349523125


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("0.8 %", "fraction", 0.008),
        ("2 g", "mass", 2.0),
        ("30 ml", "volume", 30.0),
        ("2 g per skein", "per_skein", 2.0),
        ("30 ml a skein", "volume_per_skein", 30.0),
        ("to pH 4.5", "ph", 4.5),
        ("pH4,5", "ph", 4.5),
    ],
)
def test_dose(text: str, kind: str, value: float) -> None:
    dose = parse_dose(text)
    assert (dose.kind, dose.value) == (kind, pytest.approx(value))


@pytest.mark.parametrize(("text", "position"), [("2", 1), ("2 F", 2), ("", 0), ("to pH", 5), ("2 g per skien", 2), ("1-2 g", 1), ("3 tblsp", 2)])
def test_dose_refuses(text: str, position: int) -> None:
    with pytest.raises(BadInput) as caught:
        parse_dose(text)
    assert caught.value.position == position


def test_fibre() -> None:
    two = parse_fibre("2 skeins of 115 g")
    assert (two.total_g, two.skeins, two.skein_g, two.echo) == (230.0, 2, 115.0, "2 skeins of 115 g = 230 g")
    assert parse_fibre("2 x 4 oz").total_g == pytest.approx(226.796185)
    assert parse_fibre("200 g").skeins is None
    assert parse_fibre("3 skeins", skein_g=100.0).total_g == 300.0


@pytest.mark.parametrize(("text", "position"), [("3 skeins", 8), ("2 skeins of 115", 15), ("0 g", 0), ("1.5 skeins of 100 g", 0), ("", 0), ("two", 0)])
def test_fibre_refuses(text: str, position: int) -> None:
    with pytest.raises(BadInput) as caught:
        parse_fibre(text)
    assert caught.value.position == position


def test_water() -> None:
    assert [(q.kind, q.value) for q in map(parse_water, ("4 l", "to cover by 2 cm", "30:1"))] == [("volume", 4000.0), ("cover", 20.0), ("ratio", 30.0)]
    with pytest.raises(BadInput, match="'4 l' or '4 ml'"):
        parse_water("4")


def test_size() -> None:
    assert parse_size("50 x 30 x 10 cm") == (500.0, 300.0, 100.0)
    assert parse_size("50 × 30 cm x 4 in") == (500.0, 300.0, pytest.approx(101.6))
    for bad in ("28 cm", "50 x 30", "50 x y cm", "0 x 20 cm"):
        with pytest.raises(BadInput):
            parse_size(bad)


@pytest.mark.parametrize("text", ["14", " 1,5", "-3", "1 1/2", "½", "0.5"])
def test_a_bare_number_takes_the_unit_of_its_field(text: str) -> None:
    assert with_unit(text, "g") == f"{text} g"
    assert with_unit(text, "") == text


@pytest.mark.parametrize("text", ["14 ml", "1 tbsp", "", " ", "-", "to pH 4.5", "2 x 3"])
def test_what_says_its_unit_keeps_it(text: str) -> None:
    assert with_unit(text, "g") == text
