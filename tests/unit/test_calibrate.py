"""Tests in the dyer's own pot give back what a made-up pot was made of, and their spread shrinks with better readings."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.calibrate import (
    LiquorSample,
    alkalinity_from_ph,
    evaporation_factor,
    rate_and_partition,
)
from skeinwright.core.bath.heat import HotPot
from skeinwright.core.bath.ph import Bath
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Origin

BATH = Bath(volume_ml=4000, doses=(AcidDose(VINEGAR, 15),))


def test_alkalinity_from_one_ph() -> None:
    """PHREEQC: 15 ml of 5 % vinegar in 4 l at pH 5.147 is water of 120 mg/L."""
    meter = alkalinity_from_ph(BATH, 5.147, 0.1)
    assert meter.value == pytest.approx(120, abs=1.5)
    bare = alkalinity_from_ph(BATH, 5.147, 0.1, dose_spread=0.0)
    assert meter.low < bare.low < bare.high < meter.high  # the spoon and the label count too
    assert (meter.unit, meter.origin) == ("mg/L", Origin.MEASURED)
    strip = alkalinity_from_ph(BATH, 5.147)
    assert strip.low < meter.low < meter.value < meter.high < strip.high


def test_a_ph_that_no_water_gives_is_refused() -> None:
    with pytest.raises(BadInput, match="more acid"):
        alkalinity_from_ph(BATH, 2.5, 0.1)
    with pytest.raises(BadInput, match="less acid"):
        alkalinity_from_ph(BATH, 11.0, 0.1)


@pytest.mark.parametrize(("kp", "rate", "ratio"), [(60, 2e-4, 30), (300, 5e-5, 20), (25, 1e-3, 40)])
def test_rate_and_partition_from_samples(kp: float, rate: float, ratio: float) -> None:
    """Samples from the law integrated by scipy give its two numbers back."""
    times = np.array([120.0, 300, 900, 1800, 3600, 7200])
    k = kp / ratio

    def slope(_: float, u: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return rate * ((k * (1 - np.sqrt(np.maximum(u, 0)))) ** 2 - u)

    left = 1 - np.sqrt(solve_ivp(slope, (0, 7200), [0.0], t_eval=times, rtol=1e-9, atol=1e-13, method="LSODA").y[0])
    found = rate_and_partition([LiquorSample(float(t), float(x), 0.02) for t, x in zip(times, left, strict=True)], ratio)
    assert found.kp_l_kg.value == pytest.approx(kp, rel=0.02)
    assert found.rate_per_s.value == pytest.approx(rate, rel=0.02)
    assert found.worst < 1e-3
    rough = rate_and_partition([LiquorSample(float(t), float(x), 0.10) for t, x in zip(times, left, strict=True)], ratio)
    assert rough.kp_l_kg.high / rough.kp_l_kg.low > found.kp_l_kg.high / found.kp_l_kg.low


def test_samples_that_cannot_be() -> None:
    with pytest.raises(BadInput, match="Two samples"):
        rate_and_partition([LiquorSample(60, 0.5)], 30)
    with pytest.raises(BadInput, match="share"):
        rate_and_partition([LiquorSample(60, 1.5), LiquorSample(120, 0.5)], 30)


def test_evaporation_by_weighing() -> None:
    """0.075 m2 at 85 C loses 783 g an hour in still air (worked out apart): 587 g in half an hour is half as much again."""
    pot = HotPot(water_l=3, fibre_g=0, pan_g=1000, material="glass", face_m2=0.075, wall_m2=0.1)
    found = evaporation_factor(pot, 85, 30, 1.5 * 783 / 2)
    assert found.value == pytest.approx(1.5, rel=0.02)
    rough = evaporation_factor(pot, 85, 30, 1.5 * 783 / 2, scale_g=200)
    assert rough.high - rough.low > 1.5 * (found.high - found.low)
    assert found.low < found.value < found.high
    with pytest.raises(BadInput):
        evaporation_factor(pot, 85, 0, 100)
