"""How far a pot's steps are followed, what a lid does while it is on, what is steam and what was poured off, and what is said to be assumed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skeinwright.core.bath.assumed import assumed_of
from skeinwright.core.bath.evaporation import LID
from skeinwright.core.bath.pot_run import AddWater, DyeInPot, FibreInPot, LayIn, PotRun, PourOff
from skeinwright.core.bath.process import process
from skeinwright.core.bath.said_of_pot import bases_sentences, blend_sentences, falling_of, water_sentences
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.titles import TEST_TITLES
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.bath.written_run import Given, Load, StepInPot, written_run
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.colourway.timing import minutes_of
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.learn.own_tests import OWN_TESTS
from skeinwright.core.shelf.items import Base, Vessel

PAN = Vessel(name="Pan", shape="rectangle", length_mm=300, width_mm=250, height_mm=150)
SOCK = Base(name="Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, superwash=True)
KELP = DyeInPot(name="Kelp", dye_class="half-milling")
HOUR = 3600.0


def simmering(**said: object) -> PotRun:
    """Four litres at 85 C for two hours."""
    plain = PotRun(
        fibres=(FibreInPot(base="Sock", kind="wool", mass_g=100),),
        dyes=(),
        events=(AddWater(at_s=0, volume_ml=4000), LayIn(at_s=0)),
        programme=((0.0, 85.0), (2 * HOUR, 85.0)),
        alkalinity=stated_alkalinity(80),
        vessel=PAN,
        heated=((0.0, 2 * HOUR),),
    )
    return replace(plain, **said)  # type: ignore[arg-type]


def steamed(run: PotRun) -> float:
    return float(process(run).steamed_l.centre[-1])


def test_a_lid_counts_while_it_is_on() -> None:
    """Steam adds up over time: an hour open and an hour covered lose half of what each does for both hours."""
    opened, covered = steamed(simmering()), steamed(simmering(lid=True))
    half = steamed(simmering(lid=True, lids=((HOUR, False),)))
    assert covered == pytest.approx(LID * opened, rel=1e-6)
    assert half == pytest.approx((opened + covered) / 2, rel=1e-6)
    line = falling_of(process(simmering(lid=True)))
    assert line is not None
    assert line.l_h.value == pytest.approx(covered / 2, rel=0.02)


def test_what_is_poured_off_is_no_steam() -> None:
    run = simmering(lid=True, events=(AddWater(at_s=0, volume_ml=4000), LayIn(at_s=0), PourOff(at_s=HOUR, volume_ml=3000)))
    course = process(run)
    gone = float(course.water_l.centre[0] - course.water_l.centre[-1])
    assert gone == pytest.approx(3.0 + float(course.steamed_l.centre[-1]), abs=1e-9)
    assert course.steamed_l.centre[-1] < 0.3
    assert not any("steam away" in note for note in course.notes)
    late = process(replace(run, lid=False, events=(*run.events[:2], PourOff(at_s=2 * HOUR - 60, volume_ml=3000))))
    assert float(late.steamed_l.centre[-1]) > 0.5
    assert not any("steam away" in note for note in late.notes), "what steamed off before was made good by nobody, but is no news of the little that is left"
    assert f"About {round(1000 * float(course.steamed_l.centre[-1]), -1):.0f} ml" in water_sentences(course)[0]


def test_a_test_of_the_pan_moves_its_falling_line_and_its_heat() -> None:
    tested = process(simmering(evaporation=Spread(1.5, 1.4, 1.6)))
    plain = process(simmering())
    lines = [falling_of(one) for one in (plain, tested)]
    assert lines[0] is not None
    assert lines[1] is not None
    assert lines[1].l_h.value == pytest.approx(1.5 * lines[0].l_h.value)
    assert lines[1].l_h.high / lines[1].l_h.value == pytest.approx(1.6 / 1.5)
    assert tested.energy_kwh.value > plain.energy_kwh.value


def steps_of(*written: str | tuple[str, dict[str, str]]) -> list[StepInPot]:
    """Steps by their words; those that bring something bring it to the pot."""
    said = [(one, {}) if isinstance(one, str) else one for one in written]
    read = read_steps([Step(do, slots) for do, slots in said])
    times = [time for time in minutes_of(read) if time is not None]
    brings = {
        "fill": Given(kind="water", name="water", amount=3000, unit="ml"),
        "add dye": Given(kind="dye", name="Kelp", amount=1, unit="g"),
        "pour off": Given(kind="water", name="poured off", amount=9000, unit="ml"),
    }
    given = [(brings[do],) if do in brings else () for do, _ in said]
    return [StepInPot(read=one, start_min=time[0], minutes=time[1], given=mine) for one, time, mine in zip(read, times, given, strict=True)]


BATH = (("fill", {"volume": "3 l"}), ("add dye", {"dye": "Kelp", "depth": "1 %"}), "lay in", ("heat", {"to": "85 C"}), ("hold", {"time": "20 min"}))


def run_of(*words: str | tuple[str, dict[str, str]]) -> PotRun:
    return written_run(steps_of(*words), (Load(base=SOCK, mass_g=100),), ())


def test_yarn_that_is_reeled_spun_or_squeezed_before_the_bath_comes_to_it_later() -> None:
    plain = run_of(*BATH)
    before = run_of("re-skein", ("soak", {"time": "20 min"}), "squeeze", "spin", ("move", {"vessel": "Pan"}), *BATH)
    assert before.status == "ok"
    assert [type(one) for one in before.events] == [type(one) for one in plain.events]
    assert before.end_s > plain.end_s


@pytest.mark.parametrize("out", ["squeeze", ("move", {"vessel": "Sink"})])
def test_a_squeeze_or_a_move_ends_the_bath_where_no_other_comes(out: str | tuple[str, dict[str, str]]) -> None:
    ended = run_of(*BATH, out, "rinse", "hang")
    assert ended.status == "ok"
    assert ended.end_s == run_of(*BATH).end_s
    going_on = run_of(*BATH, out, ("hold", {"to": "85 C", "time": "10 min"}))
    assert going_on.status == "not forecast after this step"
    assert any("step 6" in note and len(note) > 60 for note in going_on.notes)


def test_pouring_off_more_than_there_is_and_a_bath_that_is_none_are_told() -> None:
    poured = run_of(*BATH[:3], ("pour off", {"volume": "9 l"}), *BATH[3:])
    assert any("only about 3 l are in the pot" in note for note in poured.notes)
    dry = process(simmering(events=(AddWater(at_s=0, volume_ml=60), LayIn(at_s=0))))
    assert dry.status == "outside range"
    assert any("less than 100 g of yarn soak up" in note for note in dry.notes)
    assert "may run dry within minutes" in water_sentences(dry)[0]
    assert process(simmering()).status == "ok"


def test_dye_that_is_only_laid_on_by_hand_has_no_bath() -> None:
    with pytest.raises(BadInput, match="no bath to follow"):
        run_of("lay in", ("paint", {"dye": "Kelp", "amount": "1 g", "over": "all"}), ("steam", {"time": "30 min"}))


def test_each_assumption_has_its_spread_and_a_test_and_goes_once_it_is_tested() -> None:
    fibres = (FibreInPot(base="Sock", kind="superwash", mass_g=75), FibreInPot(base="Sock", kind="nylon", mass_g=25))
    plain = simmering(fibres=fibres, dyes=(KELP,), energy="gas", lids=((HOUR, True),), alkalinity=PotRun.__dataclass_fields__["alkalinity"].default)
    said = assumed_of(plain)
    assert {key for key, title in TEST_TITLES.items() if any(title in one for one in said)} == set(TEST_TITLES)
    assert all(any(sign in one for sign in (" to ", "+-", "divided by", "-", "anything")) for one in said)
    sure = Spread(1.0, 0.9, 1.1)
    known = replace(
        plain,
        dyes=(replace(KELP, rate=sure, partition=sure),),
        fibres=(replace(fibres[0], speed=5.0), replace(fibres[1], preference=sure, full_g_kg=sure)),
        evaporation=sure,
        evaporation_lid=sure,
        alkalinity=stated_alkalinity(80),
    )
    left = " ".join(assumed_of(known))
    assert not any(title in left for key, title in TEST_TITLES.items() if key != "liquor"), "the film of still water stays"
    assert "Kelp" not in left


def test_titles_are_those_of_the_pages() -> None:
    assert all(OWN_TESTS[key].title == title for key, title in TEST_TITLES.items())


def test_the_bases_of_one_pot_share_its_dye_within_a_spread() -> None:
    """Superwash and untreated wool in one pot, taken out early: what is not known of the speeds moves dye from one to the other, all of it on or not."""
    fibres = (
        FibreInPot(base="Fast", kind="superwash", mass_g=100),
        FibreInPot(base="Slow", kind="wool", mass_g=100),
        FibreInPot(base="Fast", kind="nylon", mass_g=30),
    )
    from skeinwright.core.bath.acids import VINEGAR
    from skeinwright.core.bath.pot_run import AddAcid, AddDye

    events = (
        AddWater(at_s=0, volume_ml=6000),
        AddAcid(at_s=0, acid=VINEGAR, amount=80),
        AddDye(at_s=0, grams=(("Kelp", 2.0),)),
        LayIn(at_s=0),
    )
    run = simmering(fibres=fibres, dyes=(KELP,), events=events)
    course = process(run, rng=np.random.default_rng(4), draws=120, block_s=240)
    fast, slow = course.on_fibre["Fast"]["Kelp"], course.on_fibre["Slow"]["Kelp"]
    uptake = course.uptake["Kelp"]
    whole = float(uptake.high[-1] - uptake.low[-1]) / float(uptake.centre[-1])
    for one in (fast, slow):
        assert one.low <= one.value <= one.high
        assert (one.high - one.low) / one.value > whole
    assert " times)" in blend_sentences(course)[0]
    (said,) = bases_sentences(course)
    assert said.startswith("In one pot, Kelp lies ")
    assert "as deep on Fast as on Slow" in said, "superwash is faster (cegarra-superwash, abstract): the sign only"
    alike = simmering(fibres=(fibres[1], replace(fibres[1], base="Other")), dyes=(KELP,), events=events)
    assert bases_sentences(process(alike, rng=np.random.default_rng(4), draws=60, block_s=240)) == ()
