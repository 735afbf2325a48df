"""Vessels and liquor worked by hand."""

from __future__ import annotations

from math import pi

import pytest

from skeinwright.core.bath.liquor import Brought, acid_brought_ml, fit_in, liquor_for_ratio, liquor_to_cover, pick_up_ml, water_to_add
from skeinwright.core.bath.vessels import bed_mm, brim_ml, level_mm
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.items import Vessel

PAN = Vessel(name="Long pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100)
KETTLE = Vessel(name="Kettle", shape="round", length_mm=280, height_mm=200)


def test_brims_by_hand() -> None:
    """50 x 30 x 10 cm = 15 l; pi/4 x 28^2 x 20 cm = 12.315 l."""
    assert brim_ml(PAN) == pytest.approx(15000)
    assert brim_ml(KETTLE) == pytest.approx(12315, abs=1)


def test_level_by_hand() -> None:
    """1900 ml and 200 g of wool (200/1.31 = 152.7 ml) on 1500 cm2: 1.368 cm."""
    assert level_mm(PAN, 1900, 200) == pytest.approx(13.68, abs=0.01)
    fit = fit_in(PAN, 1900, 200)
    assert fit.head_room_mm == pytest.approx(86.32, abs=0.01)
    assert fit.fits


def test_cover_by_hand() -> None:
    """200 g: bed 152.7/(0.12 x 1500) = 0.848 cm; (0.848 + 2) x 1500 - 152.7 = 4119.6 ml."""
    assert bed_mm(PAN, 200) == pytest.approx(8.48, abs=0.01)
    cover = liquor_to_cover(PAN, 200, 20)
    assert cover.value == pytest.approx(4119.6, abs=1)
    assert cover.origin is Origin.ASSUMED


def test_water_to_run_in_by_hand() -> None:
    """100 g at 30:1 is 3000 ml; wet yarn 260 g brings 160, solution 100, vinegar 40: 2700 ml are left."""
    brought = (Brought(what="wet yarn", volume_ml=pick_up_ml(260, 100)), Brought(what="Kelp 1 %", volume_ml=100), Brought(what="vinegar 5 %", volume_ml=40))
    liquor = water_to_add(liquor_for_ratio(100, 30), 100, brought)
    assert liquor.water_to_add_ml == pytest.approx(2700)
    assert liquor.ratio == pytest.approx(30)


def test_acid_in_presoaked_yarn_by_hand() -> None:
    """160 ml out of 2000 ml with 40 ml of vinegar: 3.2 ml."""
    assert acid_brought_ml(160, 2000, 40) == pytest.approx(3.2)


def test_a_round_pot_is_not_a_square_one() -> None:
    assert level_mm(KETTLE, 1000) == pytest.approx(1e6 / (pi / 4 * 280**2))


def test_impossible_weights_and_pots_are_refused() -> None:
    with pytest.raises(BadInput, match="less"):
        pick_up_ml(90, 100)
    with pytest.raises(BadInput, match="width"):
        brim_ml(Vessel(name="Pan", shape="rectangle", length_mm=300, height_mm=100))
    with pytest.raises(BadInput, match="fibre"):
        water_to_add(liquor_for_ratio(0, 30), 0)
    with pytest.raises(BadInput, match="soaking"):
        acid_brought_ml(300, 200, 10)
