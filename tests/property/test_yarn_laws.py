"""Yarn counts and twist there and back."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.yarn.count import categories, cotton_count, metres_per_100_g, metric_count, tex_from_put_up, worsted_count, yards_per_pound
from skeinwright.core.yarn.diameter import blend_density_g_cm3, core_diameter_mm, diameter_mm, packing_from_diameter, visual_diameter_mm
from skeinwright.core.yarn.ply import ply_angle_deg, turns_per_m, twist_angle_deg

TEX = st.floats(5.0, 5000.0)


@settings(deadline=None, max_examples=60)
@given(TEX)
def test_counts_are_their_own_inverse(tex: float) -> None:
    for count in (metric_count, metres_per_100_g, yards_per_pound, worsted_count, cotton_count):
        assert count(count(tex)) == pytest.approx(tex, rel=1e-12)


@settings(deadline=None, max_examples=60)
@given(TEX, st.floats(10.0, 500.0))
def test_a_put_up_has_its_tex(tex: float, mass_g: float) -> None:
    length_mm = 1e6 * mass_g / tex
    assert tex_from_put_up(mass_g, length_mm) == pytest.approx(tex, rel=1e-12)
    assert tex_from_put_up(3.0 * mass_g, 3.0 * length_mm) == pytest.approx(tex, rel=1e-12)


@settings(deadline=None, max_examples=60)
@given(TEX, st.floats(0.05, 1.0), st.floats(0.9, 2.0))
def test_packing_and_diameter(tex: float, packing: float, density: float) -> None:
    d = diameter_mm(tex, packing, density)
    assert packing_from_diameter(tex, d, density) == pytest.approx(packing, rel=1e-12)
    assert diameter_mm(4.0 * tex, packing, density) == pytest.approx(2.0 * d, rel=1e-12)


@settings(deadline=None, max_examples=60)
@given(TEX, st.floats(0.0, 1.0))
def test_the_eye_sees_more_than_the_core(tex: float, wool: float) -> None:
    fibres = (("wool", wool), ("nylon", 1.0 - wool))
    assert visual_diameter_mm(tex, fibres) > core_diameter_mm(tex, fibres)
    assert 1.14 - 1e-9 <= blend_density_g_cm3(fibres) <= 1.31 + 1e-9


@settings(deadline=None, max_examples=60)
@given(st.floats(1.0, 44.0), st.floats(0.3, 10.0))
def test_twist_there_and_back(angle: float, d: float) -> None:
    turns = turns_per_m(angle, d)
    assert twist_angle_deg(turns, d) == pytest.approx(angle, rel=1e-9)
    assert ply_angle_deg(f"{turns:.9f} turns per metre", diameter_mm=d, plies=1) == pytest.approx(angle, rel=1e-6)


@settings(deadline=None, max_examples=60)
@given(st.floats(1.0, 5000.0))
def test_every_yarn_has_a_name(m_per_100g: float) -> None:
    assert 1 <= len(categories(m_per_100g)) <= 3


def test_classes_of_twist_are_in_order() -> None:
    angles = [ply_angle_deg(name, diameter_mm=1.3) for name in ("soft", "medium", "high")]
    assert angles == sorted(angles)


@pytest.mark.parametrize("twist", ["", "lots", "-5", "12 per inch"])
def test_twist_that_cannot_be_read(twist: str) -> None:
    with pytest.raises(BadInput, match="soft, medium, high"):
        ply_angle_deg(twist, diameter_mm=1.3)


def test_nothing_weighs_nothing() -> None:
    with pytest.raises(BadInput):
        tex_from_put_up(0.0, 100.0)
    with pytest.raises(BadInput):
        metric_count(0.0)
