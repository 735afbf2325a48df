"""pH of acids and dyebaths against figures from outside.

Oracle: PHREEQC (USGS, phreeqc.dat with acetate and citrate defined), values as computed once and written down here to 3 decimals; `test_phreeqc` runs it live.
Handbook: pH of 0.1 mol/L acetic acid 2.9 (as a page on pH scales prints it), of 0.1 mol/L citric acid 2.08 (as printed on a page of pH values).
"""

from __future__ import annotations

import pytest

from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC, VINEGAR, AcidAsBought, AcidDose
from skeinwright.core.bath.charge_balance import Composition, solve_ph
from skeinwright.core.bath.constants import ACETIC
from skeinwright.core.bath.ph import Bath, forecast_ph
from skeinwright.core.bath.waters import stated_alkalinity, tap_water


@pytest.mark.parametrize(
    ("what", "composition", "expected", "tolerance"),
    [
        ("0.1 M acetic: PHREEQC 2.880, handbook 2.9", Composition(acetate=0.1), 2.88, 0.02),
        ("1 M acetic: PHREEQC 2.377", Composition(acetate=1.0), 2.38, 0.02),
        ("0.01 M acetic: PHREEQC 3.387", Composition(acetate=0.01), 3.39, 0.02),
        ("0.1 M citric: PHREEQC 2.080, printed 2.08", Composition(citrate=0.1), 2.08, 0.02),
        ("0.1 N citric: PHREEQC 2.334", Composition(citrate=0.1 / 3), 2.33, 0.02),
        ("0.1 M acetic + 0.1 M acetate: PHREEQC 4.639", Composition(acetate=0.2, strong_cation=0.1), 4.65, 0.02),
        ("0.01 M acetic + 0.01 M acetate: PHREEQC 4.712", Composition(acetate=0.02, strong_cation=0.01), 4.712, 0.02),
        ("5 % vinegar: PHREEQC 2.417", Composition(acetate=0.8326), 2.42, 0.03),
    ],
)
def test_acids_alone(what: str, composition: Composition, expected: float, tolerance: float) -> None:
    assert solve_ph(composition, 25.0).ph == pytest.approx(expected, abs=tolerance), what


def test_vinegar_as_the_shop_sells_it_lies_between_2_4_and_3_4() -> None:
    """Range printed for vinegars of trade; 5 % is 50 g/l (US FDA compliance guide 525.825: grams in 100 ml at 20 C)."""
    assert VINEGAR.in_bath(1000, 1000).acetate == pytest.approx(0.8326, abs=1e-4)
    assert 2.4 <= solve_ph(VINEGAR.in_bath(1000, 1000), 25.0).ph <= 3.4


def test_vinegar_in_tap_water_closed() -> None:
    """15 ml of 5 % in 4 l, alkalinity 120 mg/L, closed: PHREEQC 5.147."""
    forecast = forecast_ph(Bath(volume_ml=4000, alkalinity=stated_alkalinity(120), doses=(AcidDose(VINEGAR, 15),)))
    assert forecast.ph.value == pytest.approx(5.147, abs=0.02)
    assert forecast.ph.low < 5.147 < forecast.ph.high


@pytest.mark.parametrize(("temp_c", "low", "high"), [(25, 5.39, 5.39), (60, 5.05, 5.11), (90, 4.87, 4.98)])
def test_ammonium_sulphate_through_heat(temp_c: float, low: float, high: float) -> None:
    """0.1 mol/L: PHREEQC 5.393, 5.051, 4.872; a second set of bisulphate data gives 5.397, 5.113, 4.975. Within 0.06 of that band."""
    found = solve_ph(Composition(ammonium=0.2, sulphate=0.1), temp_c).ph
    assert low - 0.06 <= found <= high + 0.06


def test_pk_of_acetic_acid_at_60_c() -> None:
    """Harned and Ehlers' K = 1.542e-5 at 60 C, pK 4.812 (from memory), and Goldberg's equation agree to 0.01."""
    assert ACETIC[0].pk(60) == pytest.approx(4.81, abs=0.01)


@pytest.mark.parametrize(("vinegar_ml", "expected"), [(5, 6.44), (15, 5.15), (30, 4.53), (60, 4.12)])
def test_table_of_vinegar_in_4_l_of_water_of_120_closed(vinegar_ml: float, expected: float) -> None:
    """The row of alkalinity 120 that was held against PHREEQC to 0.01."""
    found = solve_ph(tap_water(120).plus(VINEGAR.in_bath(vinegar_ml, 4000)), 25.0).ph
    assert found == pytest.approx(expected, abs=0.015)


def test_citric_by_hand() -> None:
    """1 g in 4 l of pure water, by hand: c = 1.301e-3 mol/L, K1 = 7.45e-4; h^2/(c - h) = K1 gives h = 6.80e-4, pH 3.168 without activities.

    With K2 = 1.73e-5 a little more is given off (h + 1.7e-5): 3.16 after rounding.
    """
    assert solve_ph(CITRIC.in_bath(1.0, 4000), 25.0).ph == pytest.approx(3.16, abs=0.01)


def test_molar_amounts_as_bought_by_hand() -> None:
    """1 g of anhydrous citric acid is 5.205 mmol, of the monohydrate 4.759; 8 g of ammonium sulphate in 4 l is 15.14 mmol/L of sulphate.

    8.93 ml of 56 % acetic hold what 100 ml of 5 % do.
    """
    assert CITRIC.mol_per_unit * 1000 == pytest.approx(5.205, abs=0.001)
    assert AcidAsBought("citric", monohydrate=True).mol_per_unit * 1000 == pytest.approx(4.759, abs=0.001)
    bath = AMMONIUM_SULPHATE.in_bath(8, 4000)
    assert bath.sulphate * 1000 == pytest.approx(15.136, abs=0.001)
    assert bath.ammonium == 2 * bath.sulphate
    assert AcidAsBought("vinegar", 0.56).mol_per_unit * 8.92857 == pytest.approx(VINEGAR.mol_per_unit * 100, rel=1e-6)


def test_alkalinity_by_hand() -> None:
    """120 mg/L as CaCO3 over 50.043 mg/meq is 2.398 meq/L."""
    assert tap_water(120).strong_cation * 1000 == pytest.approx(2.398, abs=0.001)
