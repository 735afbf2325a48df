"""What a dyer knows better than the model: power of the burner, own tests, a pH that was read; and what if."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import hypot

import numpy as np
import pytest

from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.engine import PLAIN
from skeinwright.core.bath.jar import jar_lag_s
from skeinwright.core.bath.ph import Bath, forecast_ph
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PhReading, PotRun
from skeinwright.core.bath.power import Source, behind_water_bath, heating_sentences, jar_sentences, within_power
from skeinwright.core.bath.process import process
from skeinwright.core.bath.said_of_pot import blend_sentences, water_sentences
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.tested import with_tests
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, stated_alkalinity
from skeinwright.core.bath.what_if import WhatIf, what_if
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Vessel

PAN = Vessel(name="Pan", shape="rectangle", length_mm=300, width_mm=250, height_mm=100, material="aluminium", mass_g=1000)
KETTLE = Vessel(name="Kettle", shape="round", length_mm=300, height_mm=200, material="stainless steel", mass_g=2500)


def a_run(vessel: Vessel = PAN, litres: float = 4, wool_g: float = 100, to_c: float = 85, minutes: float = 5) -> PotRun:
    return PotRun(
        fibres=(FibreInPot(base="Sock", kind="superwash", mass_g=wool_g),),
        dyes=(DyeInPot(name="Kelp", dye_class="levelling"),),
        events=(
            AddWater(at_s=0, volume_ml=1000 * litres),
            LayIn(at_s=0),
            AddDye(at_s=60, grams=(("Kelp", 1.0),)),
            AddAcid(at_s=60 * minutes, acid=VINEGAR, amount=30),
        ),
        programme=((0, 15), (60 * minutes, to_c), (60 * minutes + 1800, to_c)),
        alkalinity=stated_alkalinity(100),
        vessel=vessel,
        heated=((0, 60 * minutes + 1800),),
    )


@pytest.mark.parametrize(
    ("run", "source", "minutes"),
    [(a_run(), Source("Ring", 1500, "electric plate"), 23.1), (a_run(KETTLE, 12, 400, 95, 30), Source("Hob", 2000, "induction"), 52)],
)
def test_a_ramp_takes_what_the_burner_takes(run: PotRun, source: Source, minutes: float) -> None:
    """4 l and 1 kg of aluminium from 15 to 85 C at 1500 W x 74 %: 23.1 min with losses; 12 l and 2.5 kg of steel to 95 C at 2000 W x 85 %: 52 min. Both
    worked out apart, within 10 %. What comes after is later by as much, and the hold is as long as it was."""
    found = within_power(run, source)
    assert found.programme[1][0] / 60 == pytest.approx(minutes, rel=0.10)
    assert found.programme[1][1] == run.programme[1][1]
    assert found.programme[2][0] - found.programme[1][0] == pytest.approx(1800)
    assert next(event.at_s for event in found.events if isinstance(event, AddAcid)) == pytest.approx(found.programme[1][0])
    assert source.name in found.notes[-1]
    assert f"not {run.programme[1][0] / 60:.0f}" in found.notes[-1]


def test_a_ramp_that_can_be_done_stays_and_one_that_never_ends_is_told() -> None:
    slow = a_run(minutes=70)
    assert within_power(slow, Source("Ring", 1500, "electric plate")) is slow
    assert within_power(replace(a_run(), vessel=None), Source("Ring", 1500, "gas")).notes == ()
    weak = within_power(a_run(KETTLE, 12, 400, 95, 30), Source("Plate", 300, "gas"))
    assert max(temp for _, temp in weak.programme) < 60
    assert "gets no hotter" in weak.notes[0]


def a_result(quantity: str, kind: str, of: str, value: float, low: float, high: float) -> Calibration:
    return Calibration(test="t", of_kind=kind, of=of, quantity=quantity, value=value, low=low, high=high, unit="x", made_on=date(2026, 11, 1))


def test_a_pan_that_steams_twice_as_much_loses_twice_as_much() -> None:
    run = a_run(minutes=60)
    plain, doubled = process(run), process(with_tests(run, [a_result("evaporation_factor", "vessel", "pan", 2, 1.9, 2.1)]))
    lost = [float(one.water_l.centre[0] + 0.03 - one.water_l.centre[-1]) for one in (plain, doubled)]
    assert lost[1] == pytest.approx(2 * lost[0], rel=1e-6)
    assert doubled.run.measured == ("steam off pan: 2 (1.9 to 2.1) times still air's, your own test of 2026-11-01",)


def test_the_newest_test_counts_and_what_is_of_other_things_does_not() -> None:
    known = [
        a_result("strike_factor", "base", "Sock", 8, 6, 10.7),
        a_result("strike_factor", "base", "Sock", 2, 1, 4),
        a_result("rate_factor", "dye", "Ember", 9, 8, 10),
    ]
    run = with_tests(a_run(), known)
    assert run.fibres[0].speed == 8
    assert run.fibres[0].speed_within == pytest.approx((10.7 / 6) ** 0.5)
    assert run.dyes[0].rate is None
    tap = a_result("alkalinity", "water", "Tap", 100.4, 90, 112)
    assert with_tests(run, [tap], water="tap").alkalinity == tap.estimate
    assert with_tests(run, [tap], water="Well").alkalinity == stated_alkalinity(100)


def test_a_figure_put_on_the_shelf_after_a_test_stands() -> None:
    """The test found 200 mg/L and 8 times and wrote both on the shelf; since then 87 and 3 were typed there. An empty shelf has the test's."""
    known = [a_result("alkalinity", "water", "Tap", 200, 180, 220), a_result("strike_factor", "base", "Sock", 8.004, 6, 10.7)]
    later = replace(a_run(), alkalinity=stated_alkalinity(87), fibres=(FibreInPot(base="Sock", kind="superwash", mass_g=100, speed=3.0),))
    run = with_tests(later, known, water="Tap")
    assert (run.alkalinity, run.fibres, run.measured) == (later.alkalinity, later.fibres, ())
    assert len(run.notes) == 2
    assert "alkalinity of Tap" in run.notes[1] or "alkalinity of Tap" in run.notes[0]
    assert all("87" in note or "3," in note for note in run.notes)
    for alkalinity, speed in ((ASSUMED_ALKALINITY, None), (stated_alkalinity(200), 8.0)):
        own = with_tests(replace(later, alkalinity=alkalinity, fibres=(replace(later.fibres[0], speed=speed),)), known, water="Tap")
        assert (own.alkalinity.value, own.fibres[0].speed) == (200, 8.004)
        assert (own.alkalinity.low, len(own.measured), own.notes) == (180, 2, ())


def test_a_test_of_the_dye_moves_the_line_and_narrows_the_band() -> None:
    run = replace(a_run(minutes=60), dyes=(DyeInPot(name="Kelp", dye_class="half-milling"),))
    sure = with_tests(run, [a_result("rate_factor", "dye", "Kelp", 1, 0.9, 1.1), a_result("partition_factor", "dye", "Kelp", 1, 0.9, 1.1)])
    fast = with_tests(run, [a_result("partition_factor", "dye", "kelp", 3, 2.7, 3.3)])
    plain, narrow = (process(one, rng=np.random.default_rng(1), draws=100, block_s=240, loops=PLAIN).uptake["Kelp"] for one in (run, sure))
    # all draws' pH is iterated together until the last one stands, so other draws move the line by some 1e-9
    assert narrow.centre == pytest.approx(plain.centre, abs=1e-7), "a factor of 1 is what was assumed"
    assert narrow.high[-1] - narrow.low[-1] < 0.9 * (plain.high[-1] - plain.low[-1])
    assert process(fast).uptake["Kelp"].centre[-1] > plain.centre[-1] + 0.01


def test_nylon_that_was_tested_takes_its_share() -> None:
    """A trace of dye at rest lies on nylon and wool as their partitions: here the test's own figure, after a day at 95 C in a bath with hardly any dye."""
    fibres = (FibreInPot(base="Sock", kind="superwash", mass_g=75), FibreInPot(base="Sock", kind="nylon", mass_g=25))
    run = replace(
        a_run(minutes=60), fibres=fibres, events=(*a_run().events[:2], AddDye(at_s=60, grams=(("Kelp", 1e-4),))), programme=((0, 95), (86400, 95)), vessel=None
    )
    course = process(with_tests(run, [a_result("nylon_preference", "base", "Sock", 3, 2, 4)]), block_s=1800)
    assert course.by_fibre[0, 1] / course.by_fibre[0, 0] == pytest.approx(3, rel=0.02)


def test_nylon_that_was_found_full_early_leaves_the_dye_to_the_wool() -> None:
    """At rest, by the law that the test itself is read with: depths cross over where slope/(1 + slope q_w/S) is 1, q_w = S (slope - 1)/slope = 8 g/kg."""
    fibres = (FibreInPot(base="Sock", kind="wool", mass_g=75), FibreInPot(base="Sock", kind="nylon", mass_g=25))
    known = [a_result("nylon_preference", "base", "Sock", 5, 4, 6), a_result("nylon_full_g_kg", "base", "Sock", 10, 8, 12)]

    def over_wool(depth: float, tests: list[Calibration]) -> float:
        events = (AddWater(at_s=0, volume_ml=2000), AddAcid(at_s=0, acid=VINEGAR, amount=60), AddDye(at_s=0, grams=(("Kelp", 100 * depth),)), LayIn(at_s=0))
        run = replace(a_run(), fibres=fibres, events=events, programme=((0, 95), (86400, 95)), vessel=None, dyes=(DyeInPot(name="Kelp", dye_class="milling"),))
        course = process(with_tests(run, tests), block_s=3600)
        return float(course.by_fibre[0, 1] / course.by_fibre[0, 0])

    assert over_wool(0.008, known) == pytest.approx(1.0, abs=0.15), "what dissolves beside the sites is left out of the test's law"
    assert over_wool(0.004, known) > 1.3
    assert over_wool(0.02, known) < 0.75
    assert over_wool(0.008, known[:1]) > 1.3, "full at 20 g/kg is assumed where only a pale pair was dyed"
    run = with_tests(replace(a_run(), fibres=fibres), known)
    assert "nylon of Sock: full at 10 (8 to 12) g of dye a kilogram, your own test of 2026-11-01" in run.measured


def test_a_reading_moves_the_ph_by_its_weight_from_its_moment_on() -> None:
    """By hand: weight 0.4, reading 0.5 above the model: 0.2 higher from then on, and nothing before."""
    run = a_run(minutes=30)
    plain = process(run)
    at = int(np.searchsorted(plain.time_s, 2400))
    reading = PhReading(at_s=2400, ph=float(plain.ph.centre[at]) + 0.5, half_width=0.5, weight=0.4)
    moved = process(replace(run, reading=reading))
    assert moved.ph.centre[at] - plain.ph.centre[at] == pytest.approx(0.2, abs=1e-6)
    assert moved.ph.centre[at - 1] == pytest.approx(plain.ph.centre[at - 1], abs=1e-9)
    assert moved.ph_offset == pytest.approx(0.2, abs=1e-6)
    assert moved.uptake["Kelp"].centre[-1] < plain.uptake["Kelp"].centre[-1], "less acid, less of a levelling dye"


def test_a_sure_reading_narrows_the_ph_as_two_spreads_do() -> None:
    """Two independent spreads s and r put together leave s r/sqrt(s^2 + r^2) (weighted mean). The draws of the pot, each corrected by its own error, agree."""
    bath = Bath(volume_ml=4030, alkalinity=stated_alkalinity(100), doses=(AcidDose(VINEGAR, 30),))
    spread = forecast_ph(bath).ph
    run = replace(a_run(minutes=30), fibres=(), dyes=(), events=(AddWater(at_s=0, volume_ml=4000), AddAcid(at_s=0, acid=VINEGAR, amount=30)))
    run = replace(run, programme=((0, 25), (1200, 25)), vessel=None, events=(*run.events, LayIn(at_s=0)))
    plain = process(run, rng=np.random.default_rng(2), draws=2000, block_s=600).ph
    s, r = float(plain.high[0] - plain.low[0]) / 2, 0.05
    reading = PhReading(at_s=600, ph=float(plain.centre[0]), half_width=r, weight=s * s / (s * s + r * r))
    read = process(replace(run, reading=reading), rng=np.random.default_rng(2), draws=2000, block_s=600).ph
    assert float(read.high[-1] - read.low[-1]) / 2 == pytest.approx(s * r / hypot(s, r), rel=0.12)
    assert s == pytest.approx((spread.high - spread.low) / 2, rel=0.5), "draws and ends of intervals tell of one spread"


def test_what_if_is_the_same_as_writing_it_down() -> None:
    run = a_run(minutes=60)
    more = what_if(run, WhatIf(dye=2, acid=1.5, hotter_c=5))
    events = tuple(
        replace(one, amount=45) if isinstance(one, AddAcid) else replace(one, grams=(("Kelp", 2.0),)) if isinstance(one, AddDye) else one for one in run.events
    )
    written = replace(run, events=events, programme=((0, 15), (3600, 90), (5400, 90)))
    assert process(more).ph.centre == pytest.approx(process(written).ph.centre, abs=1e-12)
    assert what_if(run, WhatIf()) is run
    assert WhatIf(acid=0.5, hotter_c=-3).said == "0.5 times the acid, 3 °C cooler"
    assert max(temp for _, temp in what_if(run, WhatIf(hotter_c=40)).programme) < 100
    with pytest.raises(BadInput):
        what_if(run, WhatIf(acid=9))


def test_heat_water_and_jars_are_told_of_a_pot() -> None:
    """23.1 min for 4 l in aluminium at 1500 W x 74 % (worked out apart, within 10 %); half a litre in a glass of 0.04 m2 of wall lags m cp/(U A) = 174 s."""
    ring = Source("Ring", 1500, "electric plate")
    (said,) = heating_sentences(a_run(minutes=70), ring)
    minutes = int(said.split("takes about ")[1].split(" min")[0])
    assert minutes == pytest.approx(23.1, rel=0.10)
    assert "the plan gives it 70" in said
    assert heating_sentences(replace(a_run(), vessel=None), ring) == ()
    assert jar_lag_s(0.5, 0.04).value == pytest.approx(0.5 * 4.18 * 1000 / (300 * 0.04), rel=0.01)
    jar = Vessel(name="Jar", shape="round", length_mm=85, height_mm=180, material="glass", mass_g=400)
    small = a_run(jar, litres=0.5, wool_g=15)
    wetted_m2 = np.pi * 0.085 * 530e-6 / (np.pi / 4 * 0.085**2)  # wall up to the liquor of 530 ml
    assert f"about {round(0.53 * 4180 / (300 * wetted_m2) / 60)} min behind" in jar_sentences(small)[0]
    assert jar_sentences(a_run()) == ()


def test_dye_in_a_jar_strikes_later_by_its_lag() -> None:
    """On a long ramp of 1 C/min a jar is as warm as its water bath was one lag ago (closed form, four lags on). So dye that goes in one lag later finds
    the same pot: a quarter of it is on one lag later. Dye that goes in when it would have gone in has had more time in the cool, and is late by less."""
    jar = Vessel(name="Jar", shape="round", length_mm=85, height_mm=180, material="glass", mass_g=400)
    run = replace(a_run(jar, litres=0.5, wool_g=15, to_c=90, minutes=75), dyes=(DyeInPot(name="Kelp", dye_class="milling"),))
    run = replace(run, fibres=(FibreInPot(base="Fen", kind="wool", mass_g=15),), events=(*run.events[:3], AddAcid(at_s=0, acid=VINEGAR, amount=4)))
    held = behind_water_bath(run, "Canner")
    assert held.lag is not None
    lag, (quarter, quarter_behind) = held.lag.value, (_quarter_on(one, 2400.0) for one in (run, held))
    assert lag == pytest.approx(0.533 * 4180 / (300 * np.pi * 0.085 * 533e-6 / (np.pi / 4 * 0.085**2)), rel=0.02), "m cp/(U A), the wall that 533 ml wet"
    assert _quarter_on(held, 2400.0 + lag) - quarter == pytest.approx(lag, abs=10)
    assert 0.4 * lag < quarter_behind - quarter < lag
    assert held.temp_c(4000) == pytest.approx(run.temp_c(4000 - lag), abs=0.01)
    assert "Canner" in held.told[-1]
    course = process(held, rng=np.random.default_rng(1), draws=60, block_s=120)
    sure = process(replace(held, lag=Spread(lag, lag, lag)), rng=np.random.default_rng(1), draws=60, block_s=120)
    widths = [float(np.max(one.uptake["Kelp"].high - one.uptake["Kelp"].low)) for one in (course, sure)]
    assert widths[0] > widths[1], "what is not known of the wall widens the band"


def _quarter_on(run: PotRun, dye_at_s: float) -> float:
    events = tuple(replace(one, at_s=dye_at_s) if isinstance(one, AddDye) else one for one in run.events)
    course = process(replace(run, events=events), block_s=30)
    line = course.uptake["Kelp"].centre
    return float(np.interp(0.25, line, course.time_s))


def test_a_vessel_that_stands_in_no_known_water_stays_as_it_was() -> None:
    plain = replace(a_run(), vessel=None)
    assert behind_water_bath(plain, "Canner") is plain


def test_water_that_needs_no_topping_up_is_told_so() -> None:
    lid = process(replace(a_run(minutes=60), lid=True))
    (said,) = water_sentences(lid)
    lost = 1000 * float(lid.water_l.centre[0] + 0.03 - lid.water_l.centre[-1])
    assert int(said.split("About ")[1].split(" ml")[0]) == pytest.approx(lost, abs=6)
    assert "no topping up" in said
    run = a_run(minutes=60)
    long = process(replace(run, programme=(*run.programme, (6 * 3600, 85)), heated=((0, 6 * 3600),)))
    assert "Top up about" in water_sentences(long)[0]
    assert water_sentences(process(replace(run, vessel=None))) == ()


def test_the_fibres_of_a_blend_cross_over_with_depth() -> None:
    """Nylon is deeper in a pale dyeing and wool in a deep one (Shore, blends dyeing; from memory: the sign only)."""
    fibres = (FibreInPot(base="Sock", kind="superwash", mass_g=75), FibreInPot(base="Sock", kind="nylon", mass_g=25))

    def said(depth: float) -> str:
        events = (*a_run().events[:2], AddAcid(at_s=0, acid=VINEGAR, amount=60), AddDye(at_s=60, grams=(("Kelp", 100 * depth),)))
        return blend_sentences(process(replace(a_run(minutes=60), fibres=fibres, events=events)))[0]

    assert said(0.001).endswith("deep on the nylon of Sock as on its wool, by what is usual of nylon.")
    assert said(0.03).endswith("deep on the wool of Sock as on its nylon, by what is usual of nylon.")
    assert blend_sentences(process(a_run())) == ()
