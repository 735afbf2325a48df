"""Pairs dyed in one pot: hand calculations, the bath note's own table, and what a reading that tells little leaves open."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.bath.calibrate_pairs import NylonReading, nylon_pair, nylon_ratio, shift_of_speed, speed_of_shift, superwash_pair, superwash_prior
from skeinwright.core.foundations.errors import BadInput


def test_a_superwash_pair_by_hand() -> None:
    """1 - s^2 = exp(-k t): shares 0.5 and 0.9 give ln(0.19)/ln(0.75) = 5.77; with 80 kJ/mol that is 60 C against 81.5 C. Read exactly, the prior drops out."""
    by_hand = np.log(0.19) / np.log(0.75)
    found = superwash_pair(0.5, 0.9, 60.0, ratio=1.01)
    assert found.speed.value == pytest.approx(by_hand, rel=0.01)
    shift = 1 / (1 / 333.15 - 8.314462618 * np.log(by_hand) / 80e3) - 333.15
    assert found.shift_c.value == pytest.approx(shift, abs=0.2)
    assert speed_of_shift(shift_of_speed(5.0)) == pytest.approx(5.0)
    usual = superwash_pair(0.5, 0.9)
    assert usual.speed.low < by_hand < usual.speed.high
    with pytest.raises(BadInput):
        superwash_pair(0.5, 1.0)


def test_a_piece_that_is_nearly_done_leaves_the_prior() -> None:
    """0.97 of full depth read within a factor of 1.25 may be anything: the interval stays that of before. Early pieces narrow it."""
    prior = superwash_prior()
    late, early = superwash_pair(0.8, 0.97).speed, superwash_pair(0.15, 0.4).speed
    assert late.high / late.low > 0.7 * prior.high / prior.low
    assert early.high / early.low < 0.6 * prior.high / prior.low


@pytest.mark.parametrize(("depth_pct", "ratio"), [(0.1, 4.4), (0.5, 2.7), (1.0, 1.6), (2.0, 0.84), (3.0, 0.55)])
def test_nylon_over_wool_as_the_bath_note_has_it(depth_pct: float, ratio: float) -> None:
    """Bath note 2.3, worked out there for molar mass 500, 25 % nylon of 0.040 mol/kg, slope 5, liquor 20:1. Here the liquor is clear and wool far from full."""
    assert float(nylon_ratio(10 * depth_pct, 0.25, 5.0, 20.0)) == pytest.approx(ratio, rel=0.15)


def test_a_nylon_pair_gives_its_langmuir_back() -> None:
    """Nylon of slope 5 and 20 g/kg beside wool that is far from full: ratios at two depths from the law itself, solved by bisection here."""

    def ratio(dose: float) -> float:
        low, high = 0.0, dose / 0.75
        for _ in range(80):
            wool = 0.5 * (low + high)
            nylon = 5 * wool / (1 + 5 * wool / 20)
            low, high = (wool, high) if 0.75 * wool + 0.25 * nylon < dose else (low, wool)
        return nylon / wool

    readings = tuple(NylonReading(dose, 0.25, ratio(dose)) for dose in (2.0, 30.0))
    exact = nylon_pair(readings, ratio=1.01)
    assert exact.slope.value == pytest.approx(5.0, rel=0.03)
    assert exact.saturation_g_kg.value == pytest.approx(20.0, rel=0.03)
    usual, pale_only = nylon_pair(readings), nylon_pair(readings[:1])
    assert usual.slope.low < 5.0 < usual.slope.high
    assert pale_only.saturation_g_kg.high / pale_only.saturation_g_kg.low > 1.8 * usual.saturation_g_kg.high / usual.saturation_g_kg.low
    with pytest.raises(BadInput, match="paler"):
        nylon_pair((NylonReading(2.0, 0.25, 0.5), NylonReading(30.0, 0.25, 3.0)))
    with pytest.raises(BadInput):
        nylon_pair(())
