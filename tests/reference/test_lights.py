"""Chromatic adaptation and the index of metamerism against colour-science 0.4 (BSD-3), an independent library."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.lights import LAMPS, adapt, inconstancy, metamerism
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import white_xyz

pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.mark.parametrize("method", ["CAT02", "Bradford"])
@pytest.mark.parametrize("lamp", LAMPS)
def test_adaptation(method: str, lamp: str) -> None:
    import colour

    xyz = np.random.default_rng(1).uniform(2, 95, (200, 3))
    white, day = white_xyz(lamp), white_xyz("D65")
    theirs = colour.adaptation.chromatic_adaptation_VonKries(xyz, white, day, transform=method)
    assert np.abs(adapt(xyz, white, day, method=method) - theirs).max() < 1e-9


def test_index_of_metamerism() -> None:
    from colour.difference.metamerism_index import Lab_to_metamerism_index

    rng = np.random.default_rng(2)
    target, sample = rng.uniform(0.03, 0.9, 31), rng.uniform(0.03, 0.9, (20, 31))
    for lamp in LAMPS:
        labs = [spectrum_to_lab(spectrum, light) for light in (lamp, "D65") for spectrum in (sample, np.broadcast_to(target, sample.shape))]
        theirs = Lab_to_metamerism_index(*labs, correction="Additive", method="CIE 2000")
        # theirs puts the corrected sample second, ours too: CIEDE2000 is symmetric
        assert np.abs(metamerism(target, sample, lamp) - theirs).max() < 1e-9


def test_a_spectrum_against_itself_has_no_metamerism() -> None:
    spectrum = np.random.default_rng(3).uniform(0.03, 0.9, 31)
    assert all(float(metamerism(spectrum, spectrum, lamp)) == 0 for lamp in LAMPS)


def test_greys_keep_their_colour_under_every_lamp() -> None:
    assert all(float(inconstancy(np.full(31, 0.3), lamp)) < 1e-9 for lamp in LAMPS)


def test_ciede2000_of_greys_and_of_opposite_hues() -> None:
    import colour

    one = np.array([[50.0, 0, 0], [50, 20, 0], [50, 0, 20], [50, 3, 4], [50, 0, 0], [30, -1e-3, 0]])
    other = np.array([[50.0, 0, 0], [50, -20, 0], [50, 0, -20], [50, -3, -4], [60, 10, 5], [30, 1e-3, 0]])
    assert np.abs(ciede2000(one, other) - colour.delta_E(one, other, method="CIE 2000")).max() < 1e-9
