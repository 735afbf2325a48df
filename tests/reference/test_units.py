"""Units against published definitions and arithmetic identities.

Sources: NIST Handbook 44, Appendix C, general tables of units (exact definitions: inch 25.4 mm, avoirdupois pound 453.59237 g, US gallon 231 cubic inches,
US cup 236.588 ml, tablespoon 14.787 ml, teaspoon 4.929 ml, fluid ounce 29.574 ml; grain 64.79891 mg). The handbook's figures were written down from memory
and agree with a second source, the unit tables of the library Pint, so they may stand as an oracle. Hardness degrees: definitions, with CaCO3 100.087 and
CaO 56.077 g/mol. Metric spoons are defined in whole millilitres; the Australian tablespoon of 20 ml and the metric cup of 250 ml are from memory and only
checked for being taken as asked, not as facts.
"""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.quantities import Habits, parse


def read(kind: str, text: str, habits: Habits | None = None) -> float:
    return parse(kind, text, habits=habits or Habits()).value


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        # NIST HB 44 App. C, agreed by Pint
        ("volume", "1 cup", 236.5882365),
        ("volume", "1 tbsp", 14.78676478125),
        ("volume", "1 tsp", 4.92892159375),
        ("volume", "1 fl oz", 29.5735295625),
        ("volume", "1 US gal", 3785.411784),
        ("volume", "1 UK gal", 4546.09),
        ("mass", "1 oz", 28.349523125),
        ("mass", "1 lb", 453.59237),
        ("length", "1 in", 25.4),
        ("length", "1 ft", 304.8),
        ("length", "1 yd", 914.4),
    ],
)
def test_us_customary_units_are_those_of_handbook_44(kind: str, text: str, value: float) -> None:
    assert read(kind, text) == pytest.approx(value, rel=1e-12)


def test_one_us_gallon_is_231_cubic_inches() -> None:
    assert read("volume", "1 gallon") == pytest.approx(231 * 2.54**3, rel=1e-12)  # 231 in3, 2.54 cm each way


@pytest.mark.parametrize(
    ("one", "many"), [("1 cup", "16 tbsp"), ("1 cup", "48 tsp"), ("1 tbsp", "3 tsp"), ("1 gallon", "16 cups"), ("2 cups", "1 pint"), ("1 pint", "16 fl oz")]
)
def test_identities_of_us_volumes(one: str, many: str) -> None:
    assert read("volume", one) == read("volume", many)


def test_identities_of_weights_and_lengths() -> None:
    assert read("mass", "1 lb") == read("mass", "16 oz")
    assert read("length", "1 yd") == read("length", "3 ft") == read("length", "36 in")


@pytest.mark.parametrize(
    ("text", "mg_l", "rel"),
    [
        # 1 dH = 10 mg/L CaO = 10 x 100.087 / 56.077 = 17.848 mg/L CaCO3
        ("1 dH", 17.848, 1e-5),
        # 1 fH = 10 mg/L CaCO3, by definition
        ("1 fH", 10.0, 1e-12),
        # 1 gpg = 64.79891 mg in 3.785411784 l = 17.118 mg/L
        ("1 gpg", 17.118, 1e-5),
        # 1 Clark degree = 64.79891 mg in 4.54609 l = 14.254 mg/L
        ("1 e", 14.254, 2e-5),
        # 1 mmol/L of CaCO3 weighs 100.087 mg; it takes up 2 meq of acid
        ("1 mmol/L", 100.087, 1e-12),
        ("1 meq/L", 50.0435, 1e-12),
        ("1 ppm", 1.0, 1e-12),
    ],
)
def test_hardness_and_alkalinity_by_their_definitions(text: str, mg_l: float, rel: float) -> None:
    assert read("alkalinity", text) == pytest.approx(mg_l, rel=rel)


def test_two_milliequivalents_are_one_millimole_of_calcium_carbonate() -> None:
    assert read("alkalinity", "2 meq/L") == read("alkalinity", "1 mmol/L")


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(32, 0.0), (212, 100.0), (-40, -40.0), (68, 20.0), (140, 60.0)],  # fixed points of the two scales: C = (F - 32) x 5/9
)
def test_fahrenheit_and_celsius_meet_at_the_fixed_points(fahrenheit: int, celsius: float) -> None:
    assert read("temperature", f"{fahrenheit} F") == pytest.approx(celsius, abs=1e-12)


def test_a_rate_in_fahrenheit_has_no_offset() -> None:
    assert read("rate", "9 F/min") == pytest.approx(5.0, rel=1e-12)  # a difference of 9 F is one of 5 C


def test_spoons_follow_the_dyers_habit() -> None:
    metric, australian = Habits(spoons="metric"), Habits(spoons="au")
    assert read("volume", "1 tbsp", metric) == 15.0
    assert read("volume", "1 tbsp", australian) == 20.0
    assert read("volume", "1 cup", metric) == read("volume", "1 cup", australian) == 250.0
    assert read("volume", "1 US tbsp", australian) == read("volume", "1 tbsp")


def test_one_per_cent_solution_is_ten_grams_in_a_litre() -> None:
    assert read("strength", "10 g/l") == read("strength", "1 %") == read("strength", "1 g/100 ml") == 0.01
