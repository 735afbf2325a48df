"""Measured spectra, and picking a colour in a picture."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.pick import Spot, pick_colour
from skeinwright.core.colour.spaces import hex_to_srgb, srgb_to_lab, srgb_to_linear
from skeinwright.core.colour.spectra import may_fluoresce, measured_lab, on_bands
from skeinwright.core.colour.tables import WAVELENGTHS_NM, Array, weights
from skeinwright.core.foundations.errors import BadInput


def test_readings_on_the_bands_stay_as_they_are() -> None:
    values = np.random.default_rng(1).uniform(0.05, 0.9, 31)
    assert np.abs(on_bands(list(zip(WAVELENGTHS_NM, values, strict=True))) - values).max() < 1e-12


def test_coarser_and_finer_steps_lie_on_the_curve() -> None:
    def curve(nm: Array) -> Array:
        return 0.4 + 0.3 * np.sin((nm - 400) / 90)

    for nm in (np.arange(380.0, 731.0, 20.0), np.arange(360.0, 781.0, 5.0)):
        assert np.abs(on_bands(list(zip(nm, curve(nm), strict=True))) - curve(WAVELENGTHS_NM)).max() < 0.005


def test_an_even_white_is_white() -> None:
    lab = measured_lab([(380.0 + 10 * step, 1.0) for step in range(36)])
    assert (lab.illuminant, lab.observer) == ("D65", 10)
    assert np.abs(np.array(lab.values) - [100, 0, 0]).max() < 1e-9


@pytest.mark.parametrize(
    ("spectrum", "says"),
    [
        ([(450.0, 0.5), (700.0, 0.5)], "400 to 700"),
        ([(400.0, 0.5), (550.0, 0.5), (700.0, 0.5)], "20 nm or less"),
        ([(400.0 + 10 * step, 45.0) for step in range(31)], "per cent"),
        ([(400.0, 0.5), (400.0, 0.5)], "each wavelength once"),
    ],
)
def test_a_spectrum_that_cannot_be_used_is_said(spectrum: list[tuple[float, float]], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        on_bands(spectrum)


def test_fluorescence_is_suspected_above_95_per_cent() -> None:
    assert may_fluoresce(np.full(31, 0.96))
    assert not may_fluoresce(np.full(31, 0.94))


def test_an_unknown_light_is_refused() -> None:
    with pytest.raises(BadInput, match="no table"):
        weights("D93", 10)


def _photo(yarn: Array, cast: Array) -> Array:
    """A white paper on the left and yarn on the right, in coloured light (linear)."""
    picture = np.full((40, 60, 3), 0.02)
    picture[5:35, 2:22] = 0.9
    picture[5:35, 30:58] = yarn
    return picture * cast


def test_the_cast_of_the_light_is_taken_out() -> None:
    yarn = srgb_to_linear(np.array(hex_to_srgb("#6a4f8c")) / 255)
    picked = pick_colour(_photo(yarn, np.array([1.0, 0.8, 0.55])), Spot(44, 20, 8), Spot(12, 20, 6))
    expected = srgb_to_lab(np.array(hex_to_srgb("#6a4f8c"), dtype=float))
    assert np.abs(np.array(picked.lab.values) - expected).max() < 0.01
    assert (picked.lab.illuminant, picked.lab.observer) == ("D65", 2)
    assert picked.warnings == ()


def test_gaps_and_glints_are_left_out() -> None:
    yarn = srgb_to_linear(np.array(hex_to_srgb("#6a4f8c")) / 255)
    picture = _photo(yarn, np.ones(3))
    picture[20, 37:44] *= 0.1
    picture[16, 44] = 1.0
    picked = pick_colour(picture, Spot(44, 20, 8), Spot(12, 20, 6))
    assert np.abs(np.array(picked.lab.values) - srgb_to_lab(np.array(hex_to_srgb("#6a4f8c"), dtype=float))).max() < 0.01


def test_strongly_coloured_light_and_uneven_patches_are_warned_of() -> None:
    picture = _photo(np.full(3, 0.3), np.array([1.0, 0.6, 0.3]))
    picture[5:35, 44:58] *= 0.3
    warnings = " ".join(pick_colour(picture, Spot(44, 20, 8), Spot(12, 20, 6)).warnings)
    assert "strongly coloured" in warnings
    assert "uneven" in warnings


@pytest.mark.parametrize(("white", "says"), [(Spot(200, 20, 4), "outside"), (Spot(25, 2, 1), "too dark")])
def test_a_white_spot_that_cannot_serve_is_refused(white: Spot, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        pick_colour(_photo(np.full(3, 0.3), np.full(3, 0.9)), Spot(44, 20, 8), white)


def test_a_burnt_out_white_is_refused() -> None:
    with pytest.raises(BadInput, match="burnt out"):
        pick_colour(_photo(np.full(3, 0.3), np.full(3, 1.2)), Spot(44, 20, 8), Spot(12, 20, 6))
