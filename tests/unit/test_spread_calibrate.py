"""Tests that a dyer can make, on made-up yarn whose truth is known. The same footprint law makes and fits it, so this tests the fit, not the law."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.spread.calibrate import ONE_PHOTO, at_85, diffusion_from, powder_footprint, spread_length, strike_rate
from skeinwright.core.spread.exchange import Kappas
from skeinwright.core.spread.grains import sprinkle
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.kernels import stamp
from skeinwright.core.spread.own_powder import own_powder
from skeinwright.core.spread.parameters import PowderParameters
from skeinwright.core.spread.quick import one_shot
from skeinwright.core.spread.water import Movement

TESTED = (("footprint_mm", 0.32), ("grain_mm", 0.1), ("grain_sd", 1.4))


def _skein(lx_cm: float, ly_cm: float, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    grid = Grid(400, 400, 0.02, 0.02)
    grains = sprinkle(60.0, PowderParameters(grain_mm=0.12, grain_sd=1.5), rng, 8.0, 8.0)
    plane = np.zeros(grid.shape)
    stamp(plane, grains.mass_mg, grains.x_cm, grains.y_cm, 2.5 * grains.radius_cm, 0.02, 0.02, False, np.ones(400))
    laid = np.stack([np.zeros(grid.shape), plane, np.zeros(grid.shape)])
    k = 0.01
    struck = one_shot(laid, grid, Movement((0.0, k * lx_cm**2, 0.0), (0.0, k * ly_cm**2, 0.0), Kappas(0, 0, 0)), np.zeros((3, 3)), (k, k))[0]
    return struck * (1 + 0.03 * rng.standard_normal(grid.shape))


@pytest.mark.parametrize(("lx", "ly"), [(0.06, 0.04), (0.12, 0.06), (0.2, 0.1)])
def test_the_spectrum_gives_the_spread_length_back(lx: float, ly: float) -> None:
    found = [spread_length(_skein(lx, ly, seed), 0.02, grain_sd=1.5, blur_mm=0.0) for seed in (1, 2, 3)]
    along, across = (np.mean([getattr(one, name).value for one in found]) / 10 for name in ("along_mm", "across_mm"))
    assert along == pytest.approx(lx, rel=0.25)
    assert across == pytest.approx(ly, rel=0.5)
    assert np.mean([one.along_mm.low <= 10 * lx <= one.along_mm.high for one in found]) > 0.6
    assert ONE_PHOTO in found[0].sentences


def test_sharp_specks_give_an_upper_bound_only() -> None:
    found = spread_length(_skein(0.01, 0.01, 4), 0.02, grain_sd=1.5, blur_mm=0.0)
    assert found.sharp
    assert found.along_mm.low == 0
    assert found.along_mm.high >= 0.1


def test_strands_give_the_strike_rate() -> None:
    """The note of the spread model: three strands with 3 % noise tell k within 5 % (200 trials); here the finished strand has its own noise too."""
    rng = np.random.default_rng(5)
    times = np.array([30.0, 60.0, 120.0])
    values = []
    for _ in range(60):
        shares = (1 - np.exp(-0.012 * times)) * (1 + 0.03 * rng.standard_normal(3))
        values.append(strike_rate(list(zip(times, shares, strict=True))).value)
    assert np.mean(values) == pytest.approx(0.012, rel=0.03)
    assert np.std(values) / 0.012 < 0.08
    with pytest.raises(BadInput, match="two strands"):
        strike_rate([(30.0, 0.2)])
    with pytest.raises(BadInput, match="Hardly any"):
        strike_rate([(30.0, 0.01), (60.0, 0.02)])


def test_stains_give_footprint_and_grain() -> None:
    """FWHM of a normal stain is 2.3548 sd: areas made by hand from lognormal radii give back radius, scatter, and the stain of the median grain."""
    rng = np.random.default_rng(6)
    radius = 0.15 * np.exp(np.log(1.5) * rng.standard_normal(150))
    areas = np.pi * (2.3548 * 2.5 * radius / 2) ** 2
    mass = float((4 / 3 * np.pi * 1200 * (radius / 10) ** 3).sum())
    for found in (powder_footprint(areas), powder_footprint(areas, mass), powder_footprint(areas + 2 * np.pi * np.log(2) * 0.2**2, blur_mm=0.2)):
        assert found.stain_mm.low <= 2.5 * 0.15 <= found.stain_mm.high
        assert found.grain_mm.low <= 0.15 <= found.grain_mm.high
        assert found.grain_sd.low <= 1.5 <= found.grain_sd.high
    few = powder_footprint(areas[:14])
    assert np.log(few.stain_mm.high / few.stain_mm.low) > 2 * np.log(found.stain_mm.high / found.stain_mm.low)
    with pytest.raises(BadInput, match="dozen"):
        powder_footprint(areas[:5])


def test_both_tests_together_give_the_diffusion() -> None:
    strike = strike_rate([(30.0, 1 - np.exp(-0.3)), (60.0, 1 - np.exp(-0.6)), (120.0, 1 - np.exp(-1.2))])
    length = spread_length(_skein(0.12, 0.06, 1), 0.02, grain_sd=1.5, blur_mm=0.0).along_mm
    found = diffusion_from(strike, length)
    assert found.value == pytest.approx(strike.value * (length.value / 10) ** 2)
    assert found.low < 0.01 * 0.12**2 < found.high


def test_a_strike_is_carried_to_85_c() -> None:
    """75 kJ/mol by hand: at 75 C a rate is exp(-75000/8.314 (1/348.15 - 1/358.15)) = 0.485 of that at 85 C."""
    found = at_85(Estimate(0.01, 0.008, 0.012, "1/s", Origin.MEASURED), 75.0)
    assert found.value == pytest.approx(0.01 / 0.485, rel=2e-3)
    assert found.high / found.low == pytest.approx(1.5)


def test_a_own_powder_takes_the_place_of_the_assumed_one() -> None:
    day = date(2026, 11, 24)
    known = [Calibration("footprint", "dye", "Kelp", quantity, value, 0.9 * value, 1.1 * value, "", day) for quantity, value in TESTED]
    powder, own = own_powder(PowderParameters(), known)
    assert (powder.grain_mm, powder.grain_sd, powder.footprint) == (0.1, 1.4, pytest.approx(3.2))
    assert own is known[0]
    assert own_powder(PowderParameters(), known[:2]) == (PowderParameters(), None)
