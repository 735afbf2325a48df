"""Yarn counts against definitions and published figures."""

from __future__ import annotations

import pytest

from skeinwright.core.yarn.count import categories, cotton_count, metres_per_100_g, metric_count, tex_from_put_up, worsted_count, yards_per_pound


def test_two_pounds_of_200_tex_run_about_4960_yards() -> None:
    """A public fleece and yarn sheet: two pounds of such yarn are "approx 4,960 yd"; the exact figure follows from the definitions of
    the pound and the yard (1959)."""
    assert yards_per_pound(200.0) == pytest.approx(2480.27, abs=0.01)
    assert 2.0 * yards_per_pound(200.0) == pytest.approx(4960.0, abs=1.0)


def test_400_m_per_100_g() -> None:
    """By hand, from the definitions: 100 g / 0.4 km = 250 tex; 1000/250 = 4 m/g; 4 m/g * 453.59237 g/lb
    / 0.9144 m/yd = 1984.22 yd/lb; / 560 = 3.543; / 840 = 2.362."""
    tex = tex_from_put_up(100.0, 400_000.0)
    assert tex == pytest.approx(250.0, abs=1e-9)
    assert metric_count(tex) == pytest.approx(4.0, abs=1e-9)
    assert metres_per_100_g(tex) == pytest.approx(400.0, abs=1e-9)
    assert yards_per_pound(tex) == pytest.approx(1984.22, abs=0.005)
    assert worsted_count(tex) == pytest.approx(3.543, abs=1e-3)
    assert cotton_count(tex) == pytest.approx(2.362, abs=1e-3)


def test_the_worsted_count_by_its_constant() -> None:
    """Textile handbooks give NeW = 885.8/tex and NeC = 590.5/tex."""
    assert worsted_count(100.0) * 100.0 == pytest.approx(885.8, abs=0.05)
    assert cotton_count(100.0) * 100.0 == pytest.approx(590.5, abs=0.05)


@pytest.mark.parametrize(
    ("m_per_100g", "names"),
    [
        (800.0, {"lace"}),
        (450.0, {"fingering"}),
        (375.0, {"fingering", "sport"}),
        (220.0, {"DK", "worsted"}),
        (125.0, {"worsted", "bulky"}),
        (60.0, {"super bulky"}),
    ],
)
def test_charts_that_disagree_give_all_their_names(m_per_100g: float, names: set[str]) -> None:
    """Read from three charts seen: a craft magazine's (lace from 484 up, fingering 383-484, sport 242-383, DK 182-242, worsted
    121-181, bulky 81-121), an encyclopaedia's (400-480, 300-400, 240-300, 120-240, 100-130) and
    a dyers' table (350-450, 250-350, 200-250, 120-200, 100-130)."""
    assert set(categories(m_per_100g)) == names
