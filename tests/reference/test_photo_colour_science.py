"""Corrections and spaces of photographs against colour-science 0.4 (BSD-3)."""

from __future__ import annotations

import colour
import numpy as np
import pytest

from skeinwright.core.measure.colour import corrected_by, matrix, root_polynomial
from skeinwright.core.measure.oklab import from_oklab, oklab
from skeinwright.core.measure.reference import lab_of
from skeinwright.files.wide_gamut import p3_profile, p3_to_srgb

RNG = np.random.default_rng(8)
KNOWN = RNG.uniform(0.02, 0.9, (24, 3))
SEEN = KNOWN @ np.array([[0.9, 0.06, 0.02], [0.05, 0.8, 0.1], [0.01, 0.07, 1.0]]) * np.exp(RNG.normal(0, 0.02, (24, 3)))
WEIGHT = 1 / (0.03 + KNOWN @ np.array([0.2126, 0.7152, 0.0722]))
"""The weights of the fit. Both ways are of degree one, so weighting a patch is the same as scaling its light, seen and known."""


@pytest.mark.parametrize(("way", "degree"), [(matrix, 1), (root_polynomial, 2)])
def test_corrections_are_those_of_colour_science(way, degree: int) -> None:
    solved = colour.characterisation.matrix_colour_correction_Finlayson2015(
        SEEN * WEIGHT[:, None], KNOWN * WEIGHT[:, None], degree=degree, root_polynomial_expansion=True
    )
    wanted = colour.characterisation.apply_matrix_colour_correction_Finlayson2015(SEEN, solved, degree=degree, root_polynomial_expansion=True)
    assert way(SEEN, KNOWN)(SEEN) == pytest.approx(wanted, abs=1e-9)


def test_left_out_errors_are_those_of_doing_it_by_hand_with_colour_science() -> None:
    made = corrected_by(SEEN, KNOWN)
    by_hand = []
    for place in range(len(SEEN)):
        rest = np.arange(len(SEEN)) != place
        scale = WEIGHT[rest][:, None]
        solved = colour.characterisation.matrix_colour_correction_Finlayson2015(SEEN[rest] * scale, KNOWN[rest] * scale, degree=1)
        found = colour.characterisation.apply_matrix_colour_correction_Finlayson2015(SEEN[place][None], solved, degree=1)
        labs = [
            colour.XYZ_to_Lab(colour.RGB_to_XYZ(rgb, colour.RGB_COLOURSPACES["sRGB"], apply_cctf_decoding=False), np.array([0.3127, 0.3290]))
            for rgb in (found[0], KNOWN[place])
        ]
        by_hand.append(float(colour.delta_E(labs[0], labs[1], method="CIE 2000")))
    assert dict(made.tried)["3x3"] == pytest.approx(float(np.median(by_hand)), abs=0.02)


def test_lab_of_linear_light() -> None:
    space = colour.RGB_COLOURSPACES["sRGB"]
    wanted = colour.XYZ_to_Lab(colour.RGB_to_XYZ(KNOWN, space, apply_cctf_decoding=False), space.whitepoint)
    assert lab_of(KNOWN) == pytest.approx(wanted, abs=0.05)  # the sRGB matrix of the standard has four places; whites differ in the fifth


def test_oklab_there_and_back() -> None:
    space = colour.RGB_COLOURSPACES["sRGB"]
    wanted = colour.XYZ_to_Oklab(colour.RGB_to_XYZ(KNOWN, space, apply_cctf_decoding=False))
    assert oklab(KNOWN) == pytest.approx(wanted, abs=2e-3)
    assert from_oklab(oklab(KNOWN)) == pytest.approx(KNOWN, abs=1e-4)
    assert oklab(np.ones(3)) == pytest.approx([1, 0, 0], abs=1e-4)


def test_the_wide_gamut_is_display_p3() -> None:
    wanted = colour.matrix_RGB_to_RGB(colour.RGB_COLOURSPACES["Display P3"], colour.RGB_COLOURSPACES["sRGB"], chromatic_adaptation_transform=None)
    assert p3_to_srgb() == pytest.approx(wanted, abs=2e-4)
    assert p3_to_srgb().sum(axis=1) == pytest.approx([1, 1, 1], abs=1e-12)


def test_a_colour_engine_reads_the_profile_as_display_p3() -> None:
    """LittleCMS turns P3 pixels into sRGB as the matrices of colour-science say."""
    import io

    from PIL import Image, ImageCms

    encoded = np.array([[[200, 90, 60], [90, 160, 80], [60, 80, 180], [128, 128, 128]]], dtype=np.uint8)
    source = ImageCms.ImageCmsProfile(io.BytesIO(p3_profile()))
    turned = ImageCms.profileToProfile(Image.fromarray(encoded), source, ImageCms.createProfile("sRGB"), renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC)
    wanted = colour.RGB_to_RGB(
        encoded / 255,
        colour.RGB_COLOURSPACES["Display P3"],
        colour.RGB_COLOURSPACES["sRGB"],
        chromatic_adaptation_transform=None,
        apply_cctf_decoding=True,
        apply_cctf_encoding=True,
    )
    assert np.array(turned) == pytest.approx(np.clip(wanted * 255, 0, 255), abs=1.6)
