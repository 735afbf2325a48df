"""Doses for a bath of another liquor ratio: once, never twice, and only as far as a dye's class is known."""

from __future__ import annotations

from math import exp, log

import pytest

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot
from skeinwright.core.forecast import liquor_scale
from skeinwright.core.forecast.liquor_scale import LiquorScale, liquor_ratio_of
from skeinwright.core.forecast.uptake_scale import uptake_scale, usual_run, usual_share_at
from skeinwright.core.foundations.errors import BadInput

WOOL = (FibreInPot(base="", kind="wool", mass_g=100.0),)


def test_a_dose_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """96 % on from 30:1, 86.4 % from 60:1: 0.9 as much. What is to count as 0.45 % is weighed as 0.45/0.9 = 0.5 %, and 0.5 % counts as 0.45 % again."""
    monkeypatch.setattr(liquor_scale, "usual_share_at", lambda fibres, dye, point, ratio=30.0: 0.864 if ratio == 60 else 0.96)
    scale = LiquorScale(ratio=60.0, fibres=WOOL, classes={"Kelp": "levelling", "Peat": "not known"})
    assert scale.applied({"Kelp": 0.0045, "Peat": 0.002}) == pytest.approx({"Kelp": 0.005, "Peat": 0.002})
    assert scale.counted({"Kelp": 0.005, "Peat": 0.002}) == pytest.approx({"Kelp": 0.0045, "Peat": 0.002})
    assert scale.sd({"Kelp": 0.005}) == 0
    assert scale.sd({"Kelp": 0.005, "Peat": 0.002}) == pytest.approx(0.1)
    assert scale.said({"Kelp": 0.005}) == "For 60:1 instead of the swatches' 30:1 the doses are raised: Kelp by 11 %."
    assert scale.laid({"Kelp": 0.005}).startswith(
        "In 60:1 instead of the swatches' 30:1 less of the dye goes on, and the colours are paler for it: Kelp up to 10 %"
    )
    peat = "How much of Peat goes on from 60:1 is not known, since its class is not given: its dose stays, and it is less sure."
    assert scale.said({"Kelp": 0.005, "Peat": 0.002}).endswith(f"Kelp by 11 %. {peat}")
    assert scale.said({"Peat": 0.002}) == scale.laid({"Peat": 0.002}) == peat  # nothing is claimed of it


@pytest.mark.parametrize("dye_class", ["levelling", "half-milling", "super-milling"])
def test_twice_the_water_takes_between_what_a_bath_at_rest_and_one_that_has_just_begun_would(dye_class: str) -> None:
    """Worked from the share E that goes on from 30:1 alone, by the two textbook forms between which a bath of half an hour lies.

    At rest, by Nernst's partition, E = K/(K + L), L the liquor ratio. Far from rest, by uptake of the first order whose rate is as the fibre in a litre,
    1 - E = exp(-k t/L).
    """
    share = usual_share_at(WOOL, DyeInPot(name="dye", dye_class=dye_class), -30)
    partition, rate = 30 * share / (1 - share), 30 * -log(1 - share)
    at_rest, begun = partition / (partition + 60) / share, (1 - exp(-rate / 60)) / share
    scale = LiquorScale(ratio=60.0, fibres=WOOL, classes={"Kelp": dye_class})
    assert begun < scale.worth("Kelp", 0.001) < at_rest


def test_between_its_depths_it_is_the_pot_s_own_quotient_within_a_hundredth() -> None:
    dye, depth = DyeInPot(name="dye", dye_class="half-milling"), 0.0055
    here = uptake_scale(usual_run(WOOL, dye, depth, 60.0), "").ratio["dye"]
    assert LiquorScale(ratio=60.0, fibres=WOOL, classes={"Kelp": "half-milling"}).worth("Kelp", depth) == pytest.approx(here, abs=0.01)


@pytest.mark.parametrize(("typed", "ratio"), [("", None), ("30:1", None), ("60:1", 60.0), (" 12 : 1", 12.0)])
def test_a_ratio_as_people_write_it(typed: str, ratio: float | None) -> None:
    assert liquor_ratio_of(typed) == ratio


@pytest.mark.parametrize("typed", ["60", "4:1", "500:1", "a lot"])
def test_a_ratio_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(BadInput):
        liquor_ratio_of(typed)
