"""Pieces of a pot's run: the two pH solvers, sentences, staged acid, the end of the bath, and steps read as a run."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skeinwright.core.bath.acids import CITRIC, VINEGAR, AcidDose
from skeinwright.core.bath.charge_balance import Composition, solve_ph
from skeinwright.core.bath.charge_balance_many import SpongeMany, Totals, solve_ph_many
from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.end_of_bath import LeftoverLiquor, leftover_liquor, neutralising_dose, sodium_for_ph_mol_l
from skeinwright.core.bath.fibre import fibre_in_bath, wool
from skeinwright.core.bath.ph import Bath, composition
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.bath.process import process
from skeinwright.core.bath.species import FAMILIES
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.staged_acid import fastest, staged_acid
from skeinwright.core.bath.strike import ends_said, half_time_s, sentences, share_said, share_words, summary
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.bath.written_run import Given, Load, StepInPot, fibres_of, with_yarn_in_later, written_run
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.colourway.timing import minutes_of
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.items import Base, Blend, Dye, Solution, Vessel


def one(value: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.full(1, float(value))


@pytest.mark.parametrize("place", range(25))
def test_the_solver_for_many_is_the_solver_for_one(place: int) -> None:
    rng = np.random.default_rng(place)
    acetate, citrate, ammonium = rng.choice([0.0, 0.02]), rng.choice([0.0, 0.004]), rng.choice([0.0, 0.03])
    mixed = Composition(
        acetate=float(acetate), citrate=float(citrate), ammonium=float(ammonium), sulphate=float(ammonium) / 2, carbonate=0.002, strong_cation=0.0024, held=0.05
    )
    temp_c = float(rng.uniform(5, 98))
    expected = solve_ph(mixed, temp_c, fibre=fibre_in_bath((wool(100),), 3000)).ph
    totals = Totals({name: one(getattr(mixed, name)) for name in FAMILIES}, one(0.0024), one(0.0), one(0.05))
    sponge = SpongeMany(one(0.1 / 3), one(0.82), one(10**-4.25), one(0.4), one(0.0), one(1.0))
    assert solve_ph_many(totals, temp_c, [sponge], one(9.0), settled=1e-11).ph[0] == pytest.approx(expected, abs=1e-8)


def test_a_start_that_leads_nowhere_is_given_up() -> None:
    totals = Totals({name: one(0.0) for name in FAMILIES}, one(0.0), one(0.0), one(0.0))
    assert solve_ph_many(totals, 25.0, [], one(-1.0), one(1e6)).ph[0] == pytest.approx(6.997, abs=0.01)


def test_a_spread_goes_through_its_three_figures() -> None:
    spread = Spread(3.0, 1.0, 12.0)
    assert spread.at(np.array([-1.6448536, 0.0, 1.6448536])) == pytest.approx([1.0, 3.0, 12.0], rel=1e-6)
    assert Spread(80.0, 45.0, 107.0, log=False).at(1.6448536) == pytest.approx(107.0, rel=1e-6)


def course(dyes: dict[str, tuple[str, float]], *, kind: str = "superwash", acid_ml: float = 60, water_ml: float = 3000) -> PotCourse:
    run = PotRun(
        fibres=(FibreInPot(base="B", kind=kind, mass_g=100),),
        dyes=tuple(DyeInPot(name=name, dye_class=dye_class) for name, (dye_class, _) in dyes.items()),
        events=(
            AddWater(at_s=0, volume_ml=water_ml),
            AddAcid(at_s=0, acid=VINEGAR, amount=acid_ml),
            AddDye(at_s=0, grams=tuple((name, grams) for name, (_, grams) in dyes.items())),
            LayIn(at_s=0),
        ),
        programme=((0, 40), (3000, 90), (4800, 90)),
        alkalinity=stated_alkalinity(100),
    )
    return process(run)


def test_a_dye_that_strikes_early_is_told_of() -> None:
    found = course({"Kelp": ("levelling", 0.5)}, water_ml=800)
    said = sentences(found, acid_waits=0.5)
    assert any("of the Kelp is on before 60 °C: it will look uneven unless half of the acid waits until 80 °C." in one for one in said)
    assert any("entered cooler" in one for one in sentences(found))


def test_dyes_that_part_are_named_in_order() -> None:
    found = course({"Rosehip": ("levelling", 0.3), "Kelp": ("milling", 3.0)}, kind="wool")
    halves = {dye: summary(found, dye).t50_s for dye in found.uptake}
    assert halves["Rosehip"] < halves["Kelp"]
    assert "These will break: Rosehip first, Kelp last." in sentences(found)


def test_no_share_is_finer_than_a_hundredth() -> None:
    end = summary(course({"Kelp": ("levelling", 3.0)})).exhaustion
    assert end.value == round(end.value, 2)
    assert end.low <= end.value <= end.high


def test_nobody_knows_that_all_of_it_is_on() -> None:
    assert [share_said(one) for one in (0.83, 0.99, 0.996, 1.0)] == ["83 %", "99 %", "over 99 %", "over 99 %"]
    assert ends_said(Estimate(1.0, 0.97, 1.0, "", Origin.ASSUMED)) == "97 to 100 %"
    assert ends_said(Estimate(1.0, 1.0, 1.0, "", Origin.ASSUMED)) == ""


def test_half_time_between_the_points() -> None:
    """A straight line from 0 to 0.8 in 100 s passes half of its end, 0.4, at 50 s."""
    assert half_time_s(np.array([0.0, 100.0]), np.array([0.0, 0.8])) == pytest.approx(50)
    assert half_time_s(np.array([0.0, 100.0]), np.array([0.0, 0.0])) is None


@pytest.mark.parametrize(("share", "words"), [(0.66, "Two thirds"), (0.5, "Half"), (0.33, "A third"), (0.97, "Nearly all"), (0.25, "A quarter")])
def test_shares_in_words(share: float, words: str) -> None:
    assert share_words(share) == words


def test_acid_that_waits_slows_the_fastest_minute_or_says_so() -> None:
    found = course({"Kelp": ("levelling", 2.0)}, kind="superwash", acid_ml=90)
    staged = staged_acid(found)
    assert staged.fastest_per_min <= fastest(found) + 1e-12
    given = sum(event.amount for event in staged.run.events if isinstance(event, AddAcid))
    assert given == pytest.approx(90)
    if staged.waits:
        assert fastest(process(staged.run)) == pytest.approx(staged.fastest_per_min)


def test_a_slow_dye_needs_no_waiting() -> None:
    slow = course({"Kelp": ("milling", 1.0)}, kind="wool", water_ml=40000, acid_ml=30)
    staged = staged_acid(slow)
    assert (staged.waits, staged.within_limit) == (0.0, True)


def test_leftover_liquor() -> None:
    """0.2 g of dye left: 0.1 % on 200 g, or 40 g at 0.5 %."""
    liquor = LeftoverLiquor(3000, {"Kelp": 0.15, "Ember": 0.05}, 4.2)
    assert liquor.depth_on(200) == {"Kelp": pytest.approx(0.00075), "Ember": pytest.approx(0.00025)}
    assert liquor.fibre_for_g(0.005) == pytest.approx(40)
    kept = leftover_liquor(course({"Kelp": ("levelling", 3.0)}), wet_yarn_ml=600)
    assert kept.volume_ml == pytest.approx(3060 - 600)
    with pytest.raises(BadInput):
        liquor.depth_on(0)


def test_neutralising_by_hand() -> None:
    """Strong acid, 0.01 mol/l, is met by 0.01 mol x 84.01 = 0.84 g of bicarbonate to the litre; at pH 6 the air's own carbonate adds little."""
    assert sodium_for_ph_mol_l(Composition(strong_anion=0.01), 6.0) == pytest.approx(0.01, rel=0.01)
    dose = neutralising_dose(Composition(strong_anion=0.01), 5000, ph=2.05)
    assert dose.bicarbonate_g.value == pytest.approx(5 * 0.84, rel=0.01)
    assert "local code" in dose.sentence
    assert "40 CFR 403.5(b)" in dose.sentence


def test_a_neutralised_vinegar_bath_stands_where_it_should() -> None:
    bath = composition(Bath(volume_ml=3000, alkalinity=stated_alkalinity(80), doses=(AcidDose(VINEGAR, 45),)))
    sodium = sodium_for_ph_mol_l(bath, 6.0)
    assert solve_ph(replace(bath, strong_cation=bath.strong_cation + sodium, open_to_air=True, carbonate=0.0), 25.0).ph == pytest.approx(6.0, abs=1e-6)
    assert neutralising_dose(bath, 3000, ph=5.6).bicarbonate_g.value == 0.0
    assert neutralising_dose(bath, 3000, ph=5.6, local_low=6.0).bicarbonate_g.value > 0.0
    with pytest.raises(BadInput):
        neutralising_dose(bath, 3000, ph=4, local_low=9, local_high=6)


SOCK = Base(name="Quay Sock", fibres=(("merino", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, superwash=True, strike_factor=3.0)
PAN = Vessel(name="Pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100)


def steps_of(*written: tuple[dict[str, str], tuple[Given, ...]]) -> list[StepInPot]:
    read = read_steps([Step(said.pop("do"), said) for said, _ in written])
    times = minutes_of(read)
    pairs = zip(read, times, written, strict=True)
    return [StepInPot(read=one_, start_min=time[0], minutes=time[1], given=given) for one_, time, (_, given) in pairs if time is not None]


def water(ml: float) -> tuple[Given, ...]:
    return (Given(kind="water", name="water", amount=ml, unit="ml"),)


def test_steps_become_a_run() -> None:
    steps = steps_of(
        ({"do": "fill", "volume": "3 l"}, water(3000)),
        ({"do": "add dye", "solution": "Blue 1 %", "amount": "50 ml"}, (Given(kind="solution", name="Blue 1 %", amount=50, unit="ml"),)),
        ({"do": "lay in"}, ()),
        ({"do": "heat", "to": "88 C", "rate": "1 C/min"}, ()),
        ({"do": "add acid", "acid": "vinegar 10 %", "amount": "20 ml", "time": "5 min"}, (Given(kind="acid", name="vinegar 10 %", amount=20, unit="ml"),)),
        ({"do": "hold", "time": "20 min"}, ()),
        ({"do": "cool", "to": "50 C"}, ()),
        ({"do": "rinse"}, ()),
    )
    blue = Solution(name="Blue 1 %", parts=(("Kelp", 0.75), ("Ember", 0.25)), strength=0.01)
    shelf = (Dye(name="Kelp", dye_class="milling", strength=0.8), Dye(name="Ember"), blue)
    run = written_run(steps, (Load(base=SOCK, mass_g=200),), shelf, vessel=PAN)
    assert run.dose_g == {"Kelp": pytest.approx(0.5 * 0.75 * 0.8), "Ember": pytest.approx(0.125)}
    assert [(one_.kind, one_.mass_g, one_.speed) for one_ in run.fibres] == [("superwash", 150, 3.0), ("nylon", 50, None)]
    acid = next(event for event in run.events if isinstance(event, AddAcid))
    assert (acid.acid.strength, acid.over_s) == (0.10, 300)
    assert run.temp_c(run.end_s) == pytest.approx(50)
    assert max(temp for _, temp in run.programme) == pytest.approx(88)
    assert sum(off - on for on, off in run.heated) > 60 * 85
    assert run.status == "ok"


def test_what_nothing_is_known_of_ends_the_run() -> None:
    steps = steps_of(
        ({"do": "fill", "volume": "3 l"}, water(3000)),
        ({"do": "sprinkle", "blend": "Dusk", "amount": "2 g"}, (Given(kind="blend", name="Dusk", amount=2, unit="g"),)),
        ({"do": "hold", "time": "10 min"}, ()),
        ({"do": "steam", "time": "30 min"}, ()),
        ({"do": "hold", "time": "10 min"}, ()),
    )
    run = written_run(steps, (Load(base=SOCK, mass_g=100),), (Blend(name="Dusk", parts=(("Kelp", 0.5), ("citric acid", 0.5))),), vessel=PAN)
    assert run.status == "not forecast after this step"
    assert any("step 4 (steam)" in note for note in run.notes)
    assert run.dose_g == {"Kelp": pytest.approx(1.0)}
    assert run.laid_on == {"Kelp"}
    assert not any("uneven" in said for said in sentences(process(run))), "specks are meant"
    assert [event.acid.kind for event in run.events if isinstance(event, AddAcid)] == [CITRIC.kind]
    assert any("no step lays it in" in one_ for one_ in run.assumed)


def test_a_presoak_brings_acid_with_the_yarn() -> None:
    soak = (
        Given(kind="water", name="soak", amount=2000, unit="ml"),
        Given(kind="acid", name="vinegar 5 %", amount=40, unit="ml"),
    )
    steps = steps_of(
        ({"do": "soak", "time": "30 min"}, soak),
        ({"do": "fill", "volume": "2 l"}, water(2000)),
        ({"do": "lay in"}, ()),
        ({"do": "hold", "time": "20 min"}, ()),
    )
    run = written_run(steps, (Load(base=SOCK, mass_g=100),), ())
    laid = next(event for event in run.events if isinstance(event, LayIn))
    brought = dict(laid.presoak_mol)["acetate"]
    assert brought > 40 * 0.05 / 60.052 * 150 / 2000, "more than its water alone: sites and fibre hold acid too"
    without = replace(run, events=tuple(replace(event, presoak_mol=()) if isinstance(event, LayIn) else event for event in run.events))
    assert process(run).ph.centre[-1] < process(without).ph.centre[-1]


def test_when_the_yarn_goes_in_matters() -> None:
    """Into a hot bath the dye goes on at once; into a cold one with the ramp."""
    found = course({"Kelp": ("levelling", 1.0)}, kind="wool")
    late = process(with_yarn_in_later(found.run, 3000))
    assert late.uptake["Kelp"].centre[np.searchsorted(late.time_s, 2900)] == 0.0
    assert fastest(found) < float(np.max(np.diff(late.uptake["Kelp"].centre)))


def test_water_boils_lower_on_a_mountain() -> None:
    from skeinwright.core.bath.heat import Surroundings

    steps = steps_of(({"do": "fill", "volume": "3 l"}, water(3000)), ({"do": "heat", "to": "98 C"}, ()), ({"do": "hold", "time": "5 min"}, ()))
    run = written_run(steps, (Load(base=SOCK, mass_g=100),), (), vessel=PAN, around=Surroundings(altitude_m=2500))
    assert max(temp for _, temp in run.programme) == pytest.approx(91.6, abs=0.1)
    assert any("boils at 91.6 °C" in note for note in run.notes)


@pytest.mark.parametrize("shares", [(("cotton", 1.0),), (("acrylic", 0.5), ("polyester", 0.5))])
def test_acid_dye_goes_on_no_plant_fibre(shares: tuple[tuple[str, float], ...]) -> None:
    base = replace(SOCK, fibres=shares)
    assert fibres_of((Load(base=base, mass_g=100),)) == ()
    with pytest.raises(BadInput):
        written_run(steps_of(({"do": "fill", "volume": "3 l"}, water(3000))), (Load(base=base, mass_g=100),), ())


def test_a_pot_without_water_is_refused() -> None:
    with pytest.raises(BadInput, match="water"):
        written_run(steps_of(({"do": "lay in"}, ()), ({"do": "hold", "time": "5 min"}, ())), (Load(base=SOCK, mass_g=100),), ())
    cotton = PotRun(fibres=(FibreInPot(base="B", kind="cotton", mass_g=1),), dyes=(), events=(AddWater(at_s=0, volume_ml=1),), programme=((0, 20), (60, 20)))
    with pytest.raises(BadInput, match="Fibre"):
        process(cotton)


def test_coarser_blocks_move_uptake_by_less_than_a_hundredth() -> None:
    found = course({"Kelp": ("levelling", 2.0), "Ember": ("milling", 1.0)}, kind="wool")
    coarse, fine = process(found.run, block_s=120.0), process(found.run, block_s=15.0)
    for dye, band in fine.uptake.items():
        for other in (coarse, found):
            assert np.abs(np.interp(fine.time_s, other.time_s, other.uptake[dye].centre) - band.centre).max() < 0.01
            assert other.ph.centre[-1] == pytest.approx(fine.ph.centre[-1], abs=0.01)
