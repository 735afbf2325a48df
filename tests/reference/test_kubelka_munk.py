"""Kubelka-Munk: its definition, a mixture worked by hand, and the Saunderson formula.

Values of K/S follow from the definition (1 - R)^2 / (2 R), Kubelka & Munk 1931: at R = 0.2, 0.64 / 0.4 = 1.6; at R = 0.5, 0.25 / 1 = 0.25.
"""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.ladder import fit_dye
from skeinwright.core.colour.mixing import inner_ks, ks_from_r, mix, outer_r, r_from_ks, saunderson_inner, saunderson_outer
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

R = np.array([0.05, 0.10, 0.20, 0.30, 0.50, 0.70, 0.80])
KS = np.array([9.025, 4.05, 1.6, 0.816667, 0.25, 0.0642857, 0.025])


def test_ks_of_seven_reflectances() -> None:
    assert np.abs(ks_from_r(R) - KS).max() < 1e-6


def test_back_to_the_same_reflectances() -> None:
    assert np.abs(r_from_ks(ks_from_r(R)) - R).max() < 1e-12


def test_a_mixture_worked_by_hand() -> None:
    """Base R .70 (K/S .09/1.4 = .0642857); dye A at 1 % gives R .20 (1.6), dye B at 0.5 % gives R .30 (.49/.6 = .8166667); no surface term.

    0.5 % A adds (1.6 - .0642857)/2 = .7678571; 0.25 % B adds (.8166667 - .0642857)/2 = .3761905; with the base 1.2083333.
    R = 1 + 1.2083333 - sqrt(1.4600694 + 2.4166667) = 2.2083333 - 1.9689429 = .2393904.
    """
    base = np.array([0.70])
    dye_a, dye_b = ks_from_r(np.array([0.20])) - ks_from_r(base), ks_from_r(np.array([0.30])) - ks_from_r(base)
    mixture = mix(base, np.array([dye_a / 2, dye_b / 2]), surface=0.0)
    assert float(ks_from_r(mixture)[0]) == pytest.approx(1.2083333, abs=1e-6)
    assert float(mixture[0]) == pytest.approx(0.2393904, abs=1e-6)


@pytest.mark.parametrize("surface", [0.0, 0.003, 0.01])
def test_no_dye_is_the_base(surface: float) -> None:
    base = np.linspace(0.02, 0.98, 31)
    assert np.abs(mix(base, np.zeros((2, 31)), surface) - base).max() == 0
    assert np.abs(outer_r(inner_ks(base, surface), surface) - base).max() < 1e-12


def test_saunderson() -> None:
    """(0.5 - 0.04) / (1 - 0.04 - 0.6 + 0.6 x 0.5) = 0.46 / 0.66 = 0.6969697 (Saunderson 1942; constants from memory)."""
    assert float(saunderson_inner(np.array([0.5]), 0.04, 0.6)[0]) == pytest.approx(0.6969697, abs=1e-6)
    assert float(saunderson_outer(np.array([0.6969697]), 0.04, 0.6)[0]) == pytest.approx(0.5, abs=1e-6)


def test_lightness_falls_with_depth_and_order_changes_nothing() -> None:
    base = recover(Lab(93, 0, 8)).reflectance
    kelp = fit_dye([Swatch(depth=0.01, lab=Lab(40, -15, 8), reading=Reading.TYPED)], base)
    ember = fit_dye([Swatch(depth=0.01, lab=Lab(50, 45, 30), reading=Reading.TYPED)], base)
    lightness = [float(spectrum_to_lab(mix(base, kelp.ks(depth)[None]))[0]) for depth in np.linspace(0, 0.06, 60)]
    assert np.all(np.diff(lightness) < 0)
    one = mix(base, np.array([kelp.ks(0.004), ember.ks(0.002)]))
    other = mix(base, np.array([ember.ks(0.002), kelp.ks(0.004)]))
    assert np.abs(one - other).max() < 1e-9
