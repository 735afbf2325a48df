"""Regain and dry mass against published figures."""

from __future__ import annotations

import pytest

from skeinwright.core.yarn.count import metric_count, tex_from_put_up, worsted_count, yards_per_pound
from skeinwright.core.yarn.regain import blend_regain, content_from_regain, dry_mass_g, dry_shares, mass_at_g, regain_from_content, regain_offer


def test_two_pounds_of_a_lace_yarn() -> None:
    """A public fleece sheet: two pounds at 200 tex are "approx 4,960 yd"; the definition gives 2480.27 yd/lb."""
    assert yards_per_pound(200.0) == pytest.approx(2480.27, abs=0.01)
    assert 2.0 * yards_per_pound(200.0) == pytest.approx(4960.0, abs=1.0)


def test_four_hundred_metres_in_a_hundred_grams() -> None:
    """By the definitions of the counts (ISO 1144; pound and yard exact): 250 tex, Nm 4, 1984.22 yd/lb, NeW 3.543."""
    tex = tex_from_put_up(100.0, 400_000.0)
    assert tex == pytest.approx(250.0)
    assert metric_count(tex) == pytest.approx(4.0)
    assert yards_per_pound(tex) == pytest.approx(1984.22, abs=0.01)
    assert worsted_count(tex) == pytest.approx(3.543, abs=1e-3)


@pytest.mark.parametrize(("regain", "dry"), [(0.136, 88.03), (0.16, 86.21), (0.17, 85.47), (0.1825, 84.57)])
def test_dry_mass_of_wool(regain: float, dry: float) -> None:
    """By hand, 100/(1 + R), at four regains that are in trade use for wool."""
    assert dry_mass_g(100.0, regain) == pytest.approx(dry, abs=0.01)


@pytest.mark.parametrize(("content", "regain"), [(0.12, 0.13636), (0.1304, 0.14995)])
def test_content_and_regain(content: float, regain: float) -> None:
    """ASTM D2118, scope: wool goods 12.0 % moisture content, dry-spun worsted yarn 13.04 %, which is its 15.0 % regain."""
    assert regain_from_content(content) == pytest.approx(regain, abs=1e-5)
    assert content_from_regain(regain_from_content(content)) == pytest.approx(content, abs=1e-12)


def test_a_ball_dries_in_a_room() -> None:
    """50 g at 18.25 % regain weigh 48.20 g at 14 %; a yarn maker's page says "about 47-48 g"."""
    assert mass_at_g(50.0, 0.1825, 0.14) == pytest.approx(48.20, abs=0.01)


def test_a_blend_by_commercial_mass() -> None:
    """75/25 wool and nylon by commercial mass, regains 18.25 and 6.25 %: by hand 0.7294 and 0.2706, 86.95 g dry in 100 g."""
    shares = dict(dry_shares((("wool", 0.75, 0.1825), ("nylon", 0.25, 0.0625))))
    assert shares["wool"] == pytest.approx(0.7294, abs=1e-4)
    assert shares["nylon"] == pytest.approx(0.2706, abs=1e-4)
    dry = dry_mass_g(75.0, 0.1825) + dry_mass_g(25.0, 0.0625)
    assert dry == pytest.approx(86.95, abs=0.01)
    assert dry * (1.0 + blend_regain(((shares["wool"], 0.1825), (shares["nylon"], 0.0625)))) == pytest.approx(100.0, abs=1e-9)


def test_an_offer_changes_nothing() -> None:
    """The same fibre at 8 and at 18 % differs by 1.18/1.08, 9.3 %."""
    assert mass_at_g(100.0, 0.08, 0.18) / 100.0 == pytest.approx(1.093, abs=5e-4)
    offer = regain_offer(100.0)
    assert offer.heated_room_g < offer.ordinary_room_g < offer.damp_room_g
    assert "unless you ask" in offer.sentence
