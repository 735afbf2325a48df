"""Laws of colour and of dyes in a fibre, whatever the numbers."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.colour.difference import ciede2000, cmc
from skeinwright.core.colour.ladder import DyeModel, fit_dye
from skeinwright.core.colour.mixing import inner_ks, ks_from_r, mix, outer_r, r_from_ks
from skeinwright.core.colour.recover import change_observer, recover
from skeinwright.core.colour.spaces import (
    hex_to_srgb,
    lab_to_lch,
    lab_to_xyz,
    lch_to_lab,
    linear_rgb_to_xyz,
    linear_to_srgb,
    spectrum_to_lab,
    srgb_to_hex,
    srgb_to_lab,
    srgb_to_linear,
    srgb_to_xyz,
    xyz_to_lab,
    xyz_to_linear_rgb,
    xyz_to_srgb,
)  # fmt: skip
from skeinwright.core.colour.tables import ILLUMINANTS, Array, white_xyz
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

quick = settings(max_examples=60, deadline=None)
BASE = recover(Lab(93, 0, 8)).reflectance

channel = st.integers(0, 255)
rgb = st.tuples(channel, channel, channel)
spectrum = st.lists(st.floats(0.004, 0.999), min_size=31, max_size=31).map(np.array)
depth = st.floats(1e-5, 0.08)


@st.composite
def cloth(draw: st.DrawFn) -> Lab:
    """A colour that dyed yarn can have: one that some reflectance of textile strength gives."""
    L, C, h = draw(st.floats(18, 85)), draw(st.floats(0, 30)), draw(st.floats(0, 2 * np.pi))
    return Lab(L, C * float(np.cos(h)), C * float(np.sin(h)))


@st.composite
def dye(draw: st.DrawFn) -> DyeModel:
    """A dye with one to three swatches, each deeper one darker."""
    first = draw(cloth())
    rungs = draw(st.integers(1, 3))
    swatches = []
    for index in range(rungs):
        darker = max(first.L * 0.75**index, 12.0)
        swatches.append(Swatch(depth=0.002 * 4.0**index, lab=Lab(darker, first.a * 0.9**index, first.b * 0.9**index), reading=Reading.TYPED))
    return fit_dye(swatches, BASE)


@given(spectrum)
@quick
def test_ks_there_and_back(reflectance: Array) -> None:
    assert np.abs(r_from_ks(ks_from_r(reflectance)) - reflectance).max() < 1e-12
    assert np.abs(outer_r(inner_ks(reflectance)) - reflectance).max() < 1e-9


@given(rgb)
@quick
def test_srgb_there_and_back(values: tuple[int, int, int]) -> None:
    srgb, clipped = xyz_to_srgb(srgb_to_xyz(np.array(values, dtype=float)))
    assert tuple(int(value) for value in srgb) == values
    assert not bool(clipped)
    assert hex_to_srgb(srgb_to_hex(values)) == values


@given(st.lists(st.floats(0, 1), min_size=3, max_size=3).map(np.array))
@quick
def test_light_there_and_back(linear: Array) -> None:
    assert np.abs(srgb_to_linear(linear_to_srgb(linear)) - linear).max() < 1e-6
    assert np.abs(xyz_to_linear_rgb(linear_rgb_to_xyz(linear)) - linear).max() < 1e-12


@given(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100), st.sampled_from(ILLUMINANTS), st.sampled_from((2, 10)))
@quick
def test_lab_there_and_back(L: float, a: float, b: float, illuminant: str, observer: int) -> None:
    white, lab = white_xyz(illuminant, observer), np.array([L, a, b])
    assert np.abs(xyz_to_lab(lab_to_xyz(lab, white), white) - lab).max() < 1e-9
    assert np.abs(lch_to_lab(lab_to_lch(lab)) - lab).max() < 1e-9


@given(st.floats(0.0, 1.0), st.sampled_from(ILLUMINANTS), st.sampled_from((2, 10)))
@quick
def test_an_even_spectrum_is_neutral_in_every_light(level: float, illuminant: str, observer: int) -> None:
    lab = spectrum_to_lab(np.full(31, level), illuminant, observer)
    assert np.abs(lab[1:]).max() < 1e-9


@given(rgb)
@quick
def test_a_recovered_spectrum_is_a_reflectance_and_has_the_colour(values: tuple[int, int, int]) -> None:
    L, a, b = (float(value) for value in srgb_to_lab(np.array(values, dtype=float)))
    if not 4 < L < 96:
        return
    found = recover(Lab(L, a, b, "D65", 2))
    assert found.reflectance.min() > 0
    assert found.reflectance.max() < 1
    assert np.abs(spectrum_to_lab(found.reflectance, "D65", 2) - [L, a, b]).max() < 1e-5


@given(cloth())
@quick
def test_the_slope_of_a_recovered_spectrum_moves_the_lab_by_as_much(lab: Lab) -> None:
    found = recover(lab)
    for axis in range(3):
        moved = 1 / (1 + np.exp(-(found.logit + 1e-4 * found.logit_slope[:, axis])))
        assert np.abs((spectrum_to_lab(moved) - spectrum_to_lab(found.reflectance)) / 1e-4 - np.eye(3)[axis]).max() < 0.02


@given(cloth())
@quick
def test_changing_the_observer_widens_and_keeping_it_does_not(lab: Lab) -> None:
    changed, added = change_observer(lab, observer=2)
    assert added == 0.5
    assert changed.observer == 2
    assert change_observer(lab) == (lab, 0.0)


@given(cloth(), cloth())
@quick
def test_differences(one: Lab, other: Lab) -> None:
    first, second = np.array(one.values), np.array(other.values)
    assert float(ciede2000(first, first)) == 0
    assert float(cmc(first, first)) == 0
    assert abs(float(ciede2000(first, second)) - float(ciede2000(second, first))) < 1e-9
    assert float(ciede2000(first, second)) >= 0


@given(dye(), dye(), depth, depth)
@quick
def test_the_order_of_dyes_changes_nothing(kelp: DyeModel, ember: DyeModel, one: float, other: float) -> None:
    there = mix(BASE, np.array([kelp.ks(one), ember.ks(other)]))
    back = mix(BASE, np.array([ember.ks(other), kelp.ks(one)]))
    assert np.abs(there - back).max() < 1e-12


@given(dye(), dye(), depth, depth, st.floats(1.0, 5.0))
@quick
def test_more_dye_is_never_lighter_in_any_band(kelp: DyeModel, ember: DyeModel, one: float, other: float, times: float) -> None:
    little = mix(BASE, np.array([kelp.ks(one), ember.ks(other)]))
    much = mix(BASE, np.array([kelp.ks(one * times), ember.ks(other)]))
    assert np.all(much <= little + 1e-12)
    assert spectrum_to_lab(much)[0] <= spectrum_to_lab(little)[0] + 1e-9


@given(dye(), st.lists(st.floats(0.0, 1.2), min_size=31, max_size=31).map(np.array), depth)
@quick
def test_dye_never_lightens_even_what_the_model_cannot_make(kelp: DyeModel, base: Array, one: float) -> None:
    assert np.all(mix(base, kelp.ks(one)[None]) <= base)


@given(dye(), spectrum)
@quick
def test_no_dye_is_the_base(kelp: DyeModel, base: Array) -> None:
    assert np.all(kelp.ks(0.0) == 0)
    assert np.abs(mix(base, kelp.ks(0.0)[None]) - base).max() == 0


@given(dye(), dye(), depth, depth)
@quick
def test_dyeing_twice_is_dyeing_once_with_both(kelp: DyeModel, ember: DyeModel, one: float, other: float) -> None:
    once = mix(BASE, np.array([kelp.ks(one), ember.ks(other)]))
    twice = mix(mix(BASE, kelp.ks(one)[None]), ember.ks(other)[None])
    assert np.abs(once - twice).max() < 1e-9


@given(dye(), depth, st.floats(0.1, 0.9))
@quick
def test_the_depth_curve_rises_from_nothing_without_a_jump(kelp: DyeModel, one: float, share: float) -> None:
    assert np.all(kelp.ks(one * share) < kelp.ks(one))
    for corner in (kelp.palest, kelp.deepest):
        assert np.abs(kelp.ks(corner * (1 + 1e-9)) / kelp.ks(corner * (1 - 1e-9)) - 1).max() < 1e-6


@given(dye())
@quick
def test_beyond_the_deepest_rung_each_more_per_cent_adds_less(kelp: DyeModel) -> None:
    depths = kelp.deepest * np.array([1.0, 2.0, 3.0, 4.0, 5.0])
    added = np.diff([float(kelp.ks(float(d)).max()) for d in depths])
    assert np.all(np.diff(added) < 0)
