"""Our tables and spaces against colour-science 0.4 (BSD-3), an independent library: the same weights made again, and its integration at 1 nm."""

from __future__ import annotations

import importlib.util
import warnings
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import (
    lab_to_xyz,
    linear_to_srgb,
    spectrum_to_lab,
    spectrum_to_xyz,
    srgb_to_linear,
    srgb_to_xyz,
    xyz_to_lab,
    xyz_to_linear_rgb,
)  # fmt: skip
from skeinwright.core.colour.tables import ILLUMINANTS, OBSERVERS, Array, weights, white_xyz

pytestmark = pytest.mark.filterwarnings("ignore")
FINE_NM = np.arange(380.0, 781.0)
BANDS = (FINE_NM >= 400) & (FINE_NM <= 700) & (FINE_NM % 10 == 0)


@pytest.fixture(scope="module")
def colour() -> ModuleType:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour as library
    return library


def _generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_colour_tables", Path(__file__).parents[2] / "proofs" / "make_colour_tables.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _random_spectra(n: int, seed: int) -> Array:
    return np.random.default_rng(seed).uniform(0.005, 0.995, (n, 31))


def _smooth_spectra(n: int, seed: int) -> Array:
    """Spectra at 1 nm like those of dyed cloth: a pale ground with one to three absorption bands, Gaussian in wavenumber, through Kubelka-Munk."""
    rng = np.random.default_rng(seed)
    wavenumber = 1e7 / FINE_NM
    ks = np.full((n, FINE_NM.size), 0.02)
    for _ in range(3):
        centre, width = 1e7 / rng.uniform(370, 680, (n, 1)), rng.uniform(1200, 3200, (n, 1))
        height = np.exp(rng.uniform(np.log(0.05), np.log(15), (n, 1))) * (rng.random((n, 1)) < 0.67)
        ks = ks + height * np.exp(-(((wavenumber - centre) / width) ** 2) / 2)
    reflectance: Array = 1 + ks - np.sqrt(ks**2 + 2 * ks)
    return reflectance


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
@pytest.mark.parametrize("observer", OBSERVERS)
def test_the_tables_are_those_of_the_library(illuminant: str, observer: int) -> None:
    assert np.abs(weights(illuminant, observer) - _generator().weights(illuminant, observer)).max() < 1e-9


@pytest.mark.parametrize(("illuminant", "observer"), [("D65", 10), ("D65", 2), ("A", 10)])
def test_ten_thousand_random_spectra_with_the_same_weights(colour: ModuleType, illuminant: str, observer: int) -> None:
    spectra = _random_spectra(10_000, 1)
    table = _generator().weights(illuminant, observer)
    theirs = np.einsum("nk,kc->nc", spectra, table)
    assert np.abs(spectrum_to_xyz(spectra, illuminant, observer) - theirs).max() < 1e-9 * 100
    lab = colour.XYZ_to_Lab(theirs / 100, colour.XYZ_to_xy(table.sum(axis=0)))
    assert np.abs(spectrum_to_lab(spectra, illuminant, observer) - lab).max() < 1e-9 * 100


def test_lab_and_back_against_the_library(colour: ModuleType) -> None:
    white = white_xyz("D65", 10)
    rng = np.random.default_rng(2)
    xyz = rng.uniform(0.01, 1, (10_000, 3)) * white
    lab = colour.XYZ_to_Lab(xyz / 100, colour.XYZ_to_xy(white))
    assert np.abs(xyz_to_lab(xyz, white) - lab).max() < 1e-8
    assert np.abs(lab_to_xyz(lab, white) - xyz).max() < 1e-8


def test_srgb_against_the_library(colour: ModuleType) -> None:
    values = np.linspace(0, 1, 10_001)
    assert np.abs(linear_to_srgb(values) - colour.cctf_encoding(values, function="sRGB")).max() < 1e-9
    assert np.abs(srgb_to_linear(values) - colour.cctf_decoding(values, function="sRGB")).max() < 1e-9
    rgb = np.random.default_rng(3).integers(0, 256, (10_000, 3)).astype(float)
    theirs = colour.sRGB_to_XYZ(rgb / 255) * 100
    # The white of the printed matrix is 95.05 100 108.90; ours is that of the D65 table, so that grey stays grey in both.
    scaled = theirs / [95.05, 100.0, 108.90] * white_xyz("D65", 2)
    assert np.abs(srgb_to_xyz(rgb) - scaled).max() < 1e-9
    assert np.abs(srgb_to_xyz(rgb) - theirs).max() < 0.05
    assert np.abs(xyz_to_linear_rgb(scaled) - srgb_to_linear(rgb / 255)).max() < 1e-9


@pytest.mark.parametrize(("illuminant", "observer"), [("D65", 10), ("D65", 2), ("A", 10)])
def test_smooth_spectra_against_integration_at_one_nanometre(colour: ModuleType, illuminant: str, observer: int) -> None:
    """Mean CIEDE2000 <= 0.15 and 95 % <= 0.4, the library integrating at 1 nm over 380-780 nm."""
    spectra = _smooth_spectra(10_000, 4)
    name = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}[observer]
    shape = colour.SpectralShape(380, 780, 1)
    cmfs = colour.MSDS_CMFS[name].copy().align(shape)
    light = colour.SDS_ILLUMINANTS[illuminant].copy().align(shape)
    xyz = colour.msds_to_XYZ(spectra, cmfs, light, method="Integration", shape=shape)
    white = colour.msds_to_XYZ(np.ones((1, FINE_NM.size)), cmfs, light, method="Integration", shape=shape)[0]
    fine = colour.XYZ_to_Lab(xyz / 100, colour.XYZ_to_xy(white))
    difference = ciede2000(fine, spectrum_to_lab(spectra[:, BANDS], illuminant, observer))
    assert float(difference.mean()) <= 0.15
    assert float(np.quantile(difference, 0.95)) <= 0.4
