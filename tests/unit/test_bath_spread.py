"""The interval of a pH and of a dose: each unknown widens it by what it does alone."""

from __future__ import annotations

from math import hypot

import pytest

from skeinwright.core.bath.acids import CITRIC, VINEGAR, AcidDose
from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.ph import MODEL_HALF_WIDTH_PH, Bath, Guess, composition, forecast_ph, spread_over
from skeinwright.core.bath.target import acid_for_ph
from skeinwright.core.foundations.estimate import Estimate, Origin

EXACT = Estimate.exact(120.0, "mg/L", Origin.MEASURED)


def test_moves_add_as_squares_upward_and_downward_apart() -> None:
    """3 up and 4 up make 5 up; 1 down alone makes 1 down."""
    pairs = [(Guess(3), Guess(0)), (Guess(4), Guess(-1))]
    assert spread_over(0.0, iter(pairs), lambda guess: guess.alkalinity_mg_l) == (-1.0, 5.0)


def test_where_all_is_known_pk_and_model_are_left() -> None:
    """Plain water without acid, at rest with air: the model's 0.02 and what 0.02 on every pK does, as squares."""
    bath = Bath(volume_ml=4000, alkalinity=EXACT, open_to_air=True)
    found = forecast_ph(bath).ph
    by_pk = solve_ph(composition(bath), 25, pk_lean=1).ph - found.value
    assert by_pk > 0.005
    assert found.high - found.value == pytest.approx(hypot(MODEL_HALF_WIDTH_PH, by_pk), abs=1e-6)


def test_hot_constants_are_less_sure() -> None:
    warm, hot = (forecast_ph(Bath(volume_ml=4000, temp_c=temp_c, alkalinity=EXACT, doses=(AcidDose(CITRIC, 2),))).ph for temp_c in (77, 78))
    assert hot.high - hot.low > 1.2 * (warm.high - warm.low)


def test_the_dose_covers_the_model_and_the_label() -> None:
    """The interval of a dose reaches further than 0.02 pH alone and than the label alone would take it."""
    bath = Bath(volume_ml=4000, alkalinity=EXACT)
    found = acid_for_ph(bath, CITRIC, 3.2).amount
    by_model = acid_for_ph(bath, CITRIC, 3.18).amount.value
    assert found.high > by_model > found.value * 1.02
    assert found.high > found.value / 0.98
    vinegar = acid_for_ph(bath, VINEGAR, 4.5).amount
    assert vinegar.high > vinegar.value / 0.95


def test_a_dose_measured_by_spoon_is_less_sure() -> None:
    scale, spoon = (forecast_ph(Bath(volume_ml=4000, alkalinity=EXACT, doses=(AcidDose(CITRIC, 2, spread),))).ph for spread in (0.0, 0.3))
    assert spoon.high - spoon.low > 2 * (scale.high - scale.low)


def test_a_dose_for_a_hot_bath_is_less_sure() -> None:
    """Relative to the dose, across the end of the table of constants."""
    warm, hot = (acid_for_ph(Bath(volume_ml=4000, temp_c=temp_c, alkalinity=EXACT), CITRIC, 3.2).amount for temp_c in (77, 78))
    assert (hot.high - hot.low) / hot.value > 1.1 * (warm.high - warm.low) / warm.value
