"""Plain knit against Munden's table and dyers' and knitters' own measurements."""

from __future__ import annotations

import pytest

from skeinwright.core.yarn.knitting import (
    courses_per_mm,
    gauge_warnings,
    mass_per_m2_g,
    peirce_stitch_mm,
    ravelled_stitch_mm,
    stitch_length_mm,
    stitches_per_mm2,
    tightness,
    wales_per_mm,
    yards_by_munden,
    yards_by_rule,
    yarn_for_piece,
    yarn_per_mm2,
)

INCH = 25.4


def test_thirty_stitches() -> None:
    """Munden 1959, wet relaxed 5.3, 4.1, 21.6: 30 sts/10 cm are 13.667 mm, 38.8 rows/10 cm, 11.565 stitches/cm2, 15.80 m in 10 x 10 cm."""
    l = stitch_length_mm(0.30)
    assert l == pytest.approx(13.667, abs=1e-3)
    assert 100.0 * courses_per_mm(l) == pytest.approx(38.8, abs=0.05)
    assert 100.0 * stitches_per_mm2(l) == pytest.approx(11.565, abs=1e-3)
    assert 10.0 * yarn_per_mm2(l) == pytest.approx(15.80, abs=0.01)


def test_twenty_two_stitches() -> None:
    """The same table: 18.636 mm and 11.59 m in 10 x 10 cm."""
    l = stitch_length_mm(0.22)
    assert l == pytest.approx(18.636, abs=1e-3)
    assert 10.0 * yarn_per_mm2(l) == pytest.approx(11.59, abs=0.01)


def test_a_dyers_own_measurement() -> None:
    """A dyer's public page: 18 stitches over 2 in took 8 in of yarn, 10 rows to the inch; 72 stitches take 32 in, 0.813 m.

    Kw = 4.00 lies between Munden's 3.8 and 4.1."""
    l = ravelled_stitch_mm(8 * INCH, 18)
    assert l == pytest.approx(11.29, abs=0.01)
    assert l * 18 / (2 * INCH) == pytest.approx(4.00, abs=0.01)
    assert l * 10 / INCH == pytest.approx(4.44, abs=0.01)
    assert 72 * l == pytest.approx(813.0, abs=0.1 * INCH)
    assert gauge_warnings(9 / INCH, 10 / INCH)


def test_mass_and_tightness() -> None:
    """By hand from Ks T/l and sqrt(T)/l: 395 g/m2 and 1.157 for 250 tex at 13.667 mm."""
    l = stitch_length_mm(0.30)
    assert mass_per_m2_g(250.0, l) == pytest.approx(395.0, rel=0.005)
    assert tightness(250.0, l) == pytest.approx(1.157, rel=0.005)


def test_a_rule_of_thumb() -> None:
    """A public page: a scarf of 48 x 8 in at 5 sts/in takes 48 x 8 x 5/6 = 320 yd; Munden wet 282.7 yd, from rows x stitches x l."""
    assert yards_by_rule(48, 8, 5) == pytest.approx(320.0, abs=0.1)
    assert yards_by_munden(48, 8, 5) == pytest.approx(282.7, abs=0.1)
    l = stitch_length_mm(5 / INCH)
    rows = 48 * INCH * courses_per_mm(l)
    assert yarn_for_piece(40, rows, l).knit_mm / 914.4 == pytest.approx(yards_by_munden(48, 8, 5), rel=1e-9)


def test_peirce_and_munden_meet_near_jamming() -> None:
    """Peirce's plain knit, l = 2p + w + 5.94 d: at Munden's wet spacing they agree at l/d = 15.68,
    within 7 % of the jamming values 16.67 (Chamberlain) and 16.75 (Hepworth and Leaf)."""
    l = 13.667
    spacings = 2.0 / courses_per_mm(l) + 1.0 / wales_per_mm(l)
    balanced = 5.94 * l / (l - spacings)
    assert peirce_stitch_mm(1.0 / courses_per_mm(l), 1.0 / wales_per_mm(l), l / balanced) == pytest.approx(l, rel=1e-9)
    assert balanced == pytest.approx(15.68, abs=0.01)
    assert all(balanced == pytest.approx(jamming, rel=0.07) for jamming in (16.67, 16.75))


def test_both_gauges_beat_one() -> None:
    """l = sqrt(Ks/(c w)) gives Kw/w back when the rows stand as they should; 5.3 x 4.1 = 21.73 is 0.6 % off the table's rounded 21.6."""
    assert stitch_length_mm(0.3, 0.3 * 5.3 / 4.1) == pytest.approx(stitch_length_mm(0.3), rel=0.004)
    assert not gauge_warnings(0.3, 0.39)
