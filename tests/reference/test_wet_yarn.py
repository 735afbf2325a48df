"""Wet and dry, blends of fibres: values worked from the definitions, and a numerical integral of Fresnel's equations."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.blend import blend, blend_friele
from skeinwright.core.colour.mixing import ks_from_r, r_from_ks
from skeinwright.core.colour.wet import diffuse_fresnel, dry_r, film_wet, wet_r

DRY = np.array([0.8, 0.6, 0.4, 0.2, 0.1, 0.05])


@pytest.mark.parametrize(
    ("m", "wet"),
    [
        (3.0, (0.6805, 0.4202, 0.2234, 0.0869, 0.0381, 0.0178)),
        (2.0, (0.7298, 0.4892, 0.2845, 0.1208, 0.0551, 0.0263)),
    ],
)
def test_wet_reflectance(m: float, wet: tuple[float, ...]) -> None:
    """K/S times m: at R 0.8, K/S 0.025; times 3, 0.075; R = 1.075 - sqrt(0.155625) = 0.6805 by hand."""
    assert np.abs(wet_r(DRY, m) - wet).max() < 1e-4


def test_there_and_back() -> None:
    assert np.abs(wet_r(dry_r(DRY)) - DRY).max() < 1e-12
    assert np.abs(dry_r(wet_r(DRY)) - DRY).max() < 1e-12


@pytest.mark.parametrize(("n", "reflection", "caught"), [(1.333, 0.06641, 0.4746), (1.5, 0.09178, 0.5963), (1.55, 0.09907, 0.6250)])
def test_diffuse_reflection_of_a_surface(n: float, reflection: float, caught: float) -> None:
    """Fresnel's equations (unpolarised) averaged over diffuse light, integrated here; and p = 1 - (1 - Rbar)/n^2."""
    sine = np.linspace(0, 1, 200_001)
    cosine, inside = np.sqrt(1 - sine**2), np.sqrt(1 - (sine / n) ** 2)
    s, p = (cosine - n * inside) / (cosine + n * inside), (n * cosine - inside) / (n * cosine + inside)
    integral = float(np.trapezoid((s**2 + p**2) / 2 * 2 * sine, sine))
    assert diffuse_fresnel(n) == pytest.approx(integral, abs=1e-5)
    assert diffuse_fresnel(n) == pytest.approx(reflection, abs=1e-4)
    assert 1 - (1 - diffuse_fresnel(n)) / n**2 == pytest.approx(caught, abs=1e-4)


def test_a_film_of_water_alone() -> None:
    """(1 - p) R / (1 - p R) with p 0.4746: at R 0.5, 0.2627 / 0.7627 = 0.3444."""
    assert np.abs(film_wet(np.array([0.9, 0.8, 0.5, 0.2, 0.1])) - [0.8254, 0.6776, 0.3444, 0.1161, 0.0552]).max() < 1e-4


def test_two_halves_of_ten_and_forty_per_cent() -> None:
    """Stearns-Noechel, M 0.15: f(.1) = .9/.0235 = 38.2979, f(.4) = .6/.0685 = 8.7591; mean 23.5285; R = (1 + 23.5285 x -.0085)/(1 + 23.5285 x .15) = .17663.

    Friele, s 0.28: exp(-.28 x 4.05) = .32174, exp(-.28 x .45) = .88162; mean .60168; q = 1.81439, R = .18365. K/S mean 2.25: R = .15767.
    """
    halves, shares = np.array([[0.1], [0.4]]), np.array([0.5, 0.5])
    assert float(blend(halves, shares)[0]) == pytest.approx(0.17663, abs=1e-4)
    assert float(blend_friele(halves, shares)[0]) == pytest.approx(0.18365, abs=1e-4)
    assert float(r_from_ks(ks_from_r(halves).mean())) == pytest.approx(0.15767, abs=1e-4)


def test_one_fibre_is_no_blend() -> None:
    for reflectance in (0.02, 0.3, 0.9):
        assert float(blend(np.array([[reflectance], [reflectance]]), np.array([0.3, 0.7]))[0]) == pytest.approx(reflectance, abs=1e-12)
