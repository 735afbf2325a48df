"""Relaxing, twist while wet, and marks on strands: against published figures, closed forms and a Monte Carlo."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from skeinwright.core.yarn.marks import marks_per_metre, strand_marks
from skeinwright.core.yarn.ply import cable, contraction, ring
from skeinwright.core.yarn.relaxation import mark_factors, no_bulking_width, wet_length


def test_ring_of_three() -> None:
    """Plain geometry: D/d = 1 + 1/sin 60 = 2.15470; W/d = 1 + 3/pi = 1.95493."""
    assert ring(3).outline == pytest.approx(2.15470, abs=1e-5)
    assert ring(3).width == pytest.approx(1.95493, abs=1e-5)


def test_contraction_against_a_paper() -> None:
    """J. Text. Mach. Soc. Japan 14, 115 (1961): shrinkage 1 + cos a ln cos a/(1 - cos a), "good agreement with experiment".

    Below 30 degrees both forms agree within 0.2 % of the length."""
    for degree in (10.0, 15.0, 20.0, 25.0, 30.0):
        a = np.radians(degree)
        other = 1.0 + np.cos(a) * np.log(np.cos(a)) / (1.0 - np.cos(a))
        assert 1.0 - 1.0 / contraction(degree) == pytest.approx(other, abs=0.002)


def test_factors_of_a_pair_of_measurements() -> None:
    """By hand for 0.92 and 1.15: area 1.058, per cm 1.0870, per cm2 0.9452, packing 0.8219, aspect 1.250."""
    factors = mark_factors(0.92, 1.15)
    assert factors.area == pytest.approx(1.058, abs=1e-3)
    assert factors.per_length == pytest.approx(1.0870, abs=1e-3)
    assert factors.per_surface == pytest.approx(0.9452, abs=1e-3)
    assert factors.packing == pytest.approx(0.8219, abs=1e-3)
    assert factors.aspect == pytest.approx(1.250, abs=1e-3)
    assert factors.equivalent_diameter**2 == pytest.approx(factors.area)


def test_no_bulking_keeps_the_packing() -> None:
    assert mark_factors(0.92, no_bulking_width(0.92)).packing == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(("angle", "kept"), [(10.0, 0.995), (20.0, 0.977), (25.0, 0.962), (30.0, 0.941)])
def test_wet_contraction_on_a_helix(angle: float, kept: float) -> None:
    """A helix of fixed fibre length and turns whose diameter grows by 1.16 (silk and wool in water: Preston and Nimkar, in Morton and Hearle ch. 11).

    Unrolled: fibre^2 = L^2 + (pi d n)^2 with fibre and n fixed."""
    d, turns = 1.0, np.tan(np.radians(angle)) / pi
    fibre = np.hypot(1.0, pi * d * turns)
    assert wet_length(angle, 1.16) == pytest.approx(np.sqrt(fibre**2 - (pi * 1.16 * d * turns) ** 2), abs=1e-12)
    assert wet_length(angle, 1.16) == pytest.approx(kept, abs=1e-3)


def test_a_disc_on_strands() -> None:
    """Thrown at random on strips of width d, a disc touches 1 + s/d of them: Monte Carlo to 0.5 %."""
    rng = np.random.default_rng(1)
    s, d = 4.0, 1.3
    middle = rng.uniform(0.0, d, 400_000)
    touched = np.floor((middle + s / 2) / d) - np.floor((middle - s / 2) / d) + 1.0
    found = strand_marks(s, d)
    assert found.strands == pytest.approx(4.0769, abs=1e-4)
    assert touched.mean() == pytest.approx(found.strands, rel=0.005)
    assert found.strands * found.area_mm2 == pytest.approx(pi * 4.0, abs=1e-9)
    assert found.length_mm == pytest.approx(2.37, abs=0.005)


def test_marks_on_a_metre() -> None:
    """A hundred marks of 4 mm on 400 m that keep 92 %: 100 x 4.0769/(368 m)."""
    assert marks_per_metre(100.0, 4.0, 1.3, 400_000.0, 0.92) == pytest.approx(407.69 / 368.0, rel=1e-4)


def test_a_cable_of_eight() -> None:
    """Eight plies as four twos: each two is as wide as two plies, four of them make 2.4142 x 2; the fill is 0.5 x 0.686."""
    eight = cable(8)
    assert (eight.groups, eight.per_group) == (4, 2)
    assert eight.outline == pytest.approx(2.4142 * 2.0, abs=1e-4)
    assert 8.0 / eight.outline**2 == pytest.approx(0.5 * 0.686, abs=1e-3)
    assert (cable(4).groups, cable(4).per_group) == (4, 1)


@pytest.mark.parametrize("plies", [8, 9, 10, 12])
def test_the_width_of_a_cable_by_turning_its_plies(plies: int) -> None:
    """Touching groups of touching plies, each group turned at random, measured across in a random direction: Monte Carlo to 0.5 %."""
    rng = np.random.default_rng(plies)
    lay, draws = cable(plies), 40_000
    inner = ring(lay.per_group)
    turn = rng.uniform(0.0, 2.0 * pi, draws)
    far, near = np.full(draws, -np.inf), np.full(draws, np.inf)
    for group in range(lay.groups):
        middle = (ring(lay.groups).outline - 1.0) / 2.0 * inner.outline * np.cos(turn + 2.0 * pi * group / lay.groups)
        own = rng.uniform(0.0, 2.0 * pi, draws)
        for ply in range(lay.per_group):
            at = middle + (inner.outline - 1.0) / 2.0 * np.cos(own + 2.0 * pi * ply / lay.per_group)
            far, near = np.maximum(far, at + 0.5), np.minimum(near, at - 0.5)
    assert lay.width == pytest.approx((far - near).mean(), rel=0.005)
