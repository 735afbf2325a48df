"""Powder for a wish, worked by hand: chance places cover 1 - e^(-n A) of a face (Poisson), and a lognormal grain weighs 4/3 pi rho r^3 e^(4.5 ln^2 s)."""

from __future__ import annotations

from math import exp, log, pi

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base
from skeinwright.services.dose_powder import PowderWish, dose_powder

SOCK = Base(name="Sock", fibres=(("wool", 1.0),), skein_g=100, length_mm=400_000)


def test_a_coverage() -> None:
    found = dose_powder(PowderWish(coverage="8 %", speck_mm=1.2), SOCK)
    per_cm2 = -log(1 - 0.08) / (pi * 0.06**2)
    assert found.per_cm2 == pytest.approx(per_cm2)
    assert 1 - exp(-found.per_cm2 * pi * 0.06**2) == pytest.approx(0.08)
    grain_mg = 4 / 3 * pi * 1200 * 0.012**3 * exp(4.5 * log(1.6) ** 2)  # without the cut of the largest grains, which takes some of it away
    assert found.grams_per_100_g < per_cm2 * grain_mg / 1000 / (2 * 0.083) * 100
    coarse = dose_powder(PowderWish(coverage="8 %", speck_mm=1.2, grain="0.24 mm"), SOCK)
    assert coarse.grams_per_100_g == pytest.approx(8 * found.grams_per_100_g, rel=1e-6)


def test_specks_a_stitch() -> None:
    found = dose_powder(PowderWish(per_stitch="1,5", speck_mm=1.0), SOCK)
    stitch_mm = 250**0.5 / 1.15
    assert found.per_stitch == pytest.approx(1.5)
    assert found.per_gram * stitch_mm * 250 / 1e6 == pytest.approx(1.5)  # tex is grams in a kilometre


def test_where_counting_fails_it_says_so() -> None:
    assert any("counting fails" in said for said in dose_powder(PowderWish(coverage="20 %"), SOCK).sentences)
    assert not any("counting fails" in said for said in dose_powder(PowderWish(coverage="11 %"), SOCK).sentences)


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (PowderWish(), "Say either"),
        (PowderWish(coverage="8 %", per_stitch="1"), "Say either"),
        (PowderWish(coverage="99 %"), "below 95 %"),
        (PowderWish(coverage="a lot"), "a lot"),
        (PowderWish(per_stitch="0"), "above 0"),
        (PowderWish(per_stitch="many"), "number"),
    ],
)
def test_a_wish_that_cannot_be(wish: PowderWish, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        dose_powder(wish, SOCK)
