"""The place in the charge balance that the fibre will take: its sign, what it is given, and that doses are solved with it."""

from __future__ import annotations

import pytest

from skeinwright.core.bath.acids import CITRIC, VINEGAR, AcidAsBought, AcidDose
from skeinwright.core.bath.charge_balance import Composition, solve_ph
from skeinwright.core.bath.ph import Bath, forecast_ph
from skeinwright.core.bath.target import acid_for_ph
from skeinwright.core.bath.waters import stated_alkalinity


def sites(h_mol_l: float, anions_eq_l: float) -> float:
    """25 g of something with 0.8 mmol/g of sites of pK 4.2 in a litre; more anions, more bound."""
    return 0.02 * h_mol_l / (h_mol_l + 10**-4.2) * anions_eq_l / (anions_eq_l + 0.01)


def test_a_constant_charge_acts_like_a_strong_cation() -> None:
    """But for the ionic strength, which it does not raise."""
    with_fibre = solve_ph(Composition(acetate=0.01), 25, fibre=lambda h, a: 0.002).ph
    assert with_fibre == pytest.approx(solve_ph(Composition(acetate=0.01, strong_cation=0.002), 25).ph, abs=0.01)
    assert with_fibre > solve_ph(Composition(acetate=0.01), 25).ph + 0.5


def test_it_is_given_protons_and_anions() -> None:
    seen: list[tuple[float, float]] = []

    def watch(h_mol_l: float, anions_eq_l: float) -> float:
        seen.append((h_mol_l, anions_eq_l))
        return 0.0

    solved = solve_ph(Composition(acetate=0.02, strong_cation=0.01), 25, fibre=watch)
    h, anions = seen[-1]
    assert anions == pytest.approx(0.01 + h, rel=0.02), "acetate balances sodium and protons"
    assert solved.anions_eq_l == pytest.approx(0.01 + h, rel=0.02)


@pytest.mark.parametrize("acid", [VINEGAR, CITRIC])
def test_a_target_with_fibre_is_reached_and_takes_more_acid(acid: AcidAsBought) -> None:
    bath = Bath(volume_ml=4000, alkalinity=stated_alkalinity(120))
    plain, fibre = acid_for_ph(bath, acid, 4.5).amount.value, acid_for_ph(bath, acid, 4.5, fibre=sites).amount.value
    assert fibre > 1.1 * plain
    filled = Bath(volume_ml=4000, alkalinity=stated_alkalinity(120), doses=(AcidDose(acid, fibre),))
    assert forecast_ph(filled, fibre=sites).ph.value == pytest.approx(4.5, abs=1e-3)
