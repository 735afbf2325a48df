"""The forecast of one base: what it says, and that it never makes a colour up."""

from __future__ import annotations

import numpy as np
import pytest

from invented_dyes import UNDYED, invented, ladder
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.forecast.colourway_forecast import forecast_colourway
from skeinwright.core.forecast.dyeing import forecast_dyeing
from skeinwright.core.forecast.ground import ground_of, ground_of_forecast
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

KELP = Dye(name="Kelp", swatches=(Swatch(depth=0.01, lab=Lab(40, -20, 6), reading=Reading.TYPED, base="Quay Sock"),))
EMBER = Dye(name="Ember", swatches=(Swatch(depth=0.01, lab=Lab(50, 48, 34), reading=Reading.HEX, base="Quay Sock"),))
BARE = Dye(name="Rosehip")
KNOWN = {"Quay Sock": UNDYED}


def _rng() -> np.random.Generator:
    return np.random.default_rng(4)


def test_a_dye_without_a_swatch_has_no_colour() -> None:
    forecast = forecast_dyeing({"Kelp": 0.005, "Rosehip": 0.001}, [KELP, BARE], rng=_rng())
    assert forecast.status == "incomplete"
    assert forecast.lab is None
    assert forecast.srgb is None
    assert forecast.spread_de00 is None
    assert forecast.notes == ("Rosehip has no swatch: its colour is not known.",)


def test_a_dye_that_is_not_on_the_shelf_has_no_colour() -> None:
    forecast = forecast_dyeing({"Bramble": 0.005}, [KELP], rng=_rng())
    assert forecast.status == "incomplete"
    assert "not on the shelf" in forecast.notes[0]


def test_no_dye_is_the_base_as_it_came() -> None:
    forecast = forecast_dyeing({}, [], ground_of(Lab(91, -1, 10)), rng=_rng())
    assert forecast.lab is not None
    assert np.abs(np.array(forecast.lab.values) - [91, -1, 10]).max() < 1e-5


def test_an_unknown_base_is_assumed_and_said() -> None:
    forecast = forecast_dyeing({"Kelp": 0.01}, [KELP], rng=_rng(), undyed=KNOWN)
    assert any("93, 0, 8" in sentence for sentence in forecast.assumed)
    assert "base as assumed" in forecast.rests_on
    known = forecast_dyeing({"Kelp": 0.01}, [KELP], ground_of(UNDYED), rng=_rng(), undyed=KNOWN)
    assert not any("93, 0, 8" in sentence for sentence in known.assumed)


def test_the_same_seed_gives_the_same_forecast() -> None:
    one, other = (forecast_dyeing({"Kelp": 0.01, "Ember": 0.002}, [KELP, EMBER], rng=_rng()) for _ in range(2))
    assert one.spread_de00 == other.spread_de00
    assert one.edges == other.edges


def test_it_says_what_it_rests_on() -> None:
    forecast = forecast_dyeing({"Kelp": 0.01, "Ember": 0.002}, [KELP, EMBER], rng=_rng())
    assert forecast.rests_on == "Rests on 1 swatch of Kelp (typed Lab), 1 swatch of Ember (hex), the base as assumed."


def test_beyond_the_deepest_swatch_it_warns_and_widens() -> None:
    inside = forecast_dyeing({"Kelp": 0.01}, [KELP], rng=_rng())
    beyond = forecast_dyeing({"Kelp": 0.05}, [KELP], rng=_rng())
    assert not inside.notes
    assert any("beyond its deepest swatch" in note for note in beyond.notes)
    assert beyond.spread_de00 is not None
    assert inside.spread_de00 is not None
    assert beyond.spread_de00 > inside.spread_de00


def test_wider_readings_give_a_wider_forecast() -> None:
    spreads = []
    for reading in (Reading.INSTRUMENT, Reading.TYPED, Reading.PHOTO):
        dye = Dye(name="Kelp", swatches=(Swatch(depth=0.01, lab=Lab(40, -20, 6), reading=reading),))
        spreads.append(forecast_dyeing({"Kelp": 0.01}, [dye], rng=_rng()).spread_de00 or 0)
    assert spreads == sorted(spreads)
    assert spreads[2] > 2 * spreads[1]


def test_a_small_lot_on_a_kitchen_balance_is_less_sure() -> None:
    large = forecast_dyeing({"Kelp": 0.001}, [KELP], rng=_rng(), fibre_g=500)
    small = forecast_dyeing({"Kelp": 0.001}, [KELP], rng=_rng(), fibre_g=10)
    assert (small.spread_de00 or 0) > (large.spread_de00 or 0) + 1


def test_two_to_ten_degrees_adds_about_a_half_or_more() -> None:
    ten = Dye(name="Kelp", swatches=(Swatch(depth=0.01, lab=Lab(50, 0, 0, "D65", 10), reading=Reading.HEX),))
    two = Dye(name="Kelp", swatches=(Swatch(depth=0.01, lab=Lab(50, 0, 0, "D65", 2), reading=Reading.HEX),))
    spreads = [forecast_dyeing({"Kelp": 0.01}, [dye], ground_of(UNDYED), rng=_rng(), draws=4000).spread_de00 or 0 for dye in (ten, two)]
    assert spreads[1] - spreads[0] > 0.4


def test_the_radius_holds_nine_draws_in_ten() -> None:
    """Without dye only the ground is uncertain, by 1 in each of L*, a*, b*; its radius is made here from normal draws of Lab."""
    forecast = forecast_dyeing({}, [], ground_of(UNDYED), rng=_rng(), draws=4000)
    drawn = np.array(UNDYED.values) + np.random.default_rng(9).standard_normal((20_000, 3))
    assert forecast.spread_de00 == pytest.approx(float(np.quantile(ciede2000(np.array(UNDYED.values), drawn), 0.9)), rel=0.06)


def test_the_edges_lie_on_either_side() -> None:
    forecast = forecast_dyeing({"Ember": 0.008}, [EMBER], rng=_rng())
    assert [edge.words for edge in forecast.edges] == ["could be as dull as this", "could be as bright as this"]
    assert forecast.lab is not None
    chroma = [float(np.hypot(lab.a, lab.b)) for lab in (forecast.edges[0].lab, forecast.lab, forecast.edges[1].lab)]
    assert chroma == sorted(chroma)


def test_an_overdye_stands_on_the_earlier_dyeing() -> None:
    first = forecast_dyeing({"Kelp": 0.004}, [KELP], ground_of(UNDYED), rng=_rng(), undyed=KNOWN)
    second = forecast_dyeing({"Ember": 0.003}, [EMBER], ground_of_forecast(first), rng=_rng(), undyed=KNOWN)
    once = forecast_dyeing({"Kelp": 0.004, "Ember": 0.003}, [KELP, EMBER], ground_of(UNDYED), rng=_rng(), undyed=KNOWN)
    assert second.spectrum is not None
    assert once.spectrum is not None
    assert np.abs(second.spectrum - once.spectrum).max() < 1e-9


def test_screen_colour_and_lab_come_from_one_spectrum() -> None:
    forecast = forecast_dyeing({"Ember": 0.008}, [EMBER], rng=_rng())
    assert forecast.spectrum is not None
    assert forecast.lab is not None
    assert np.abs(spectrum_to_lab(forecast.spectrum) - np.array(forecast.lab.values)).max() < 1e-12


def test_a_colourway_stops_at_the_first_step_without_a_model() -> None:
    steps = [("fill", {}), ("add dye", {"Kelp": 0.004}), ("heat", {}), ("remove colour", {}), ("add dye", {"Ember": 0.01})]
    forecast = forecast_colourway(steps, [KELP, EMBER], [ground_of(UNDYED)], seed=1)
    assert forecast.stopped_at == 3
    assert forecast.stopped == "not forecast after this step"
    assert forecast.doses == {"Kelp": 0.004}


def test_two_additions_are_one() -> None:
    split = forecast_colourway([("add dye", {"Kelp": 0.003}), ("hold", {}), ("add dye", {"Kelp": 0.001})], [KELP], [ground_of(UNDYED)], seed=1)
    once = forecast_colourway([("add dye", {"Kelp": 0.004})], [KELP], [ground_of(UNDYED)], seed=1)
    assert split.stopped_at is None
    assert split.bases[0].lab is not None
    assert once.bases[0].lab is not None
    assert np.abs(np.array(split.bases[0].lab.values) - np.array(once.bases[0].lab.values)).max() < 1e-9


def test_each_base_has_its_own_forecast() -> None:
    dye = ladder("Kelp", invented(np.random.default_rng(1)), (0.1, 0.5, 2))
    grounds = [ground_of(Lab(93, 0, 8), "Quay Sock"), ground_of(Lab(70, 1, 12), "Quay Oat"), ground_of(None, "Quay Silk")]
    forecast = forecast_colourway([("add dye", {"Kelp": 0.002})], [dye], grounds, seed=1)
    assert [base.base for base in forecast.bases] == ["Quay Sock", "Quay Oat", "Quay Silk"]
    assert all(base.lab is not None for base in forecast.bases)
    assert forecast.bases[1].lab.L < forecast.bases[0].lab.L  # type: ignore[union-attr]


def test_fibres_that_hold_the_same_are_the_even_yarn_and_one_that_holds_nothing_is_pale() -> None:
    """A blend of equal parts is any one of them: Stearns-Noechel's function is averaged over equals."""
    doses = {"Kelp": 0.004, "Ember": 0.002}
    even = forecast_dyeing(doses, [KELP, EMBER], rng=_rng(), undyed=KNOWN)
    same = forecast_dyeing(doses, [KELP, EMBER], rng=_rng(), undyed=KNOWN, parts=[(0.75, doses), (0.25, doses)])
    bare = forecast_dyeing(doses, [KELP, EMBER], rng=_rng(), undyed=KNOWN, parts=[(0.75, doses), (0.25, dict.fromkeys(doses, 0.0))])
    assert even.lab is not None
    assert same.lab is not None
    assert bare.lab is not None
    assert same.lab.values == pytest.approx(even.lab.values, abs=1e-6)
    assert same.spread_de00 == pytest.approx(even.spread_de00, rel=0.15)
    assert bare.lab.L > even.lab.L + 3
