"""Diameter, twist and plies against published formulas and plain geometry."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, tan

import numpy as np
import pytest

from skeinwright.core.yarn.diameter import blend_density_g_cm3, diameter_from_wraps_mm, diameter_mm, packing_from_diameter, visual_diameter_mm, visual_range_mm
from skeinwright.core.yarn.ply import contraction, retraction, ring


def test_peirce_cotton_diameter() -> None:
    """Peirce 1937 (J. Text. Inst. 28 T45): d = 1/(28 sqrt(Ne)) inch at a specific volume of 1.1 cm3/g.

    Ne 1 is 590.54 tex: 25.4/28 = 0.9071 mm, within 0.3 %."""
    assert diameter_mm(590.541, 1.0, 1.0 / 1.1) == pytest.approx(25.4 / 28.0, rel=0.003)


def test_wraps_that_charts_give_for_one_yarn() -> None:
    """400 m in 100 g (250 tex) is put at 14 wraps to the inch by a public encyclopaedia's table of yarn weights, at 16-18 by a craft magazine's chart and at
    14-24 by a dyers' table: from 25.4/24 to 25.4/14 mm."""
    least, most = visual_range_mm(250.0)
    assert (least, most) == pytest.approx((25.4 / 24.0, 25.4 / 14.0), rel=0.005)
    assert least < visual_diameter_mm(250.0) < most


def test_handbook_coefficient() -> None:
    """A technical textiles handbook: d[cm] = 4.44e-3 sqrt(T/rho). That is a packing of 0.6458."""
    assert packing_from_diameter(100.0, 0.0444 * (100.0 / 1.31) ** 0.5, 1.31) == pytest.approx(0.6458, abs=1e-3)


def test_blend_density() -> None:
    """By hand, densities from memory: 1/(0.75/1.31 + 0.25/1.14) = 1.263."""
    assert blend_density_g_cm3((("wool", 0.75), ("nylon", 0.25))) == pytest.approx(1.263, abs=5e-4)


def test_wraps_per_inch() -> None:
    """An inch is 25.4 mm by definition: 20 wraps are 1.27 mm each."""
    assert diameter_from_wraps_mm(20.0) == pytest.approx(1.27, abs=1e-12)


def test_contraction_at_thirty_degrees() -> None:
    """c = (1 + sec 30)/2 = 1.077350 and R = tan^2 15 = 0.071797: by hand, and the two forms are one identity."""
    assert contraction(30.0) == pytest.approx(1.07735, abs=1e-6)
    assert retraction(30.0) == pytest.approx(0.071797, abs=1e-6)
    assert retraction(30.0) == pytest.approx(tan(radians(15.0)) ** 2, abs=1e-12)


@pytest.mark.parametrize(("angle", "per_cent"), [(10, 0.765), (15, 1.733), (20, 3.109), (25, 4.915), (30, 7.180), (40, 13.25)])
def test_retraction_table(angle: float, per_cent: float) -> None:
    """tan^2(alpha/2) worked by hand for each angle."""
    assert 100.0 * retraction(angle) == pytest.approx(per_cent, abs=0.006)


def test_a_1961_formula_agrees_below_thirty_degrees() -> None:
    """J. Text. Mach. Soc. Japan 14 (1961) 115: k = 1 + cos a ln(cos a)/(1 - cos a).

    It differs from tan^2(a/2) by less than 0.2 % of length up to 30 degrees."""
    for angle in range(2, 31):
        c = cos(radians(angle))
        assert retraction(angle) == pytest.approx(1.0 + c * np.log(c) / (1.0 - c), abs=0.002)


def test_ring_of_three() -> None:
    """Three touching discs, by hand: D/d = 1 + 2/sqrt 3 = 2.15470; hull perimeter (3 + pi) d, so the mean width is 1 + 3/pi = 1.95493."""
    three = ring(3)
    assert three.outline == pytest.approx(2.15470, abs=1e-5)
    assert three.width == pytest.approx(1.95493, abs=1e-5)
    assert three.fill == pytest.approx(0.646, abs=5e-4)


@pytest.mark.parametrize("plies", [2, 3, 4, 5, 6])
def test_ring_widths_by_measuring_discs(plies: int) -> None:
    """The outline and the mean width, measured on discs laid in a ring and turned through 3600 directions."""
    r_c = 0.5 / sin(pi / plies)
    centres = [(r_c * cos(2 * pi * k / plies), r_c * sin(2 * pi * k / plies)) for k in range(plies)]
    assert hypot(centres[0][0] - centres[1][0], centres[0][1] - centres[1][1]) == pytest.approx(1.0, abs=1e-12)
    turns = np.linspace(0.0, 2.0 * pi, 3600, endpoint=False)
    along = np.array([[x * np.cos(turns) + y * np.sin(turns)] for x, y in centres])[:, 0]
    widths = along.max(axis=0) - along.min(axis=0) + 1.0
    assert ring(plies).width == pytest.approx(widths.mean(), abs=1e-5)
    assert ring(plies).outline == pytest.approx(2.0 * (r_c + 0.5), abs=1e-12)
    assert ring(plies).fill == pytest.approx(plies * 0.25 / (r_c + 0.5) ** 2, abs=1e-12)


@pytest.mark.parametrize(("plies", "wider"), [(2, 1.157), (3, 1.129), (4, 1.137), (5, 1.159), (6, 1.188)])
def test_a_plied_yarn_looks_wider_than_one_round_strand(plies: int, wider: float) -> None:
    """By hand: W/d = 1 + n/pi over sqrt(n), the diameter of one round strand of the same total count at the same packing."""
    assert ring(plies).width / plies**0.5 == pytest.approx(wider, abs=6e-4)
