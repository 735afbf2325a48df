"""Laws of baths and amounts that hold whatever is in the pot."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC, VINEGAR, AcidAsBought, AcidDose
from skeinwright.core.bath.amounts import depth_of, dye_g, parts_g, powder_in_solution_g, solution_ml
from skeinwright.core.bath.charge_balance import Composition, anions_eq_l, charge_eq_l, solve_ph
from skeinwright.core.bath.liquor import Brought, acid_brought_ml, fit_in, liquor_for_ratio, liquor_to_cover, pick_up_ml, water_to_add
from skeinwright.core.bath.ph import Bath, composition, forecast_ph
from skeinwright.core.bath.species import FAMILIES, Conditions
from skeinwright.core.bath.target import acid_for_ph
from skeinwright.core.bath.vessels import level_mm, liquor_for_level_ml
from skeinwright.core.bath.waters import stated_alkalinity, tap_water
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Vessel

quick = settings(deadline=None, max_examples=40)

alkalinities = st.floats(0, 300)
temperatures = st.floats(1, 99)
acids = st.sampled_from([VINEGAR, CITRIC])
totals = st.floats(0, 0.1)
acid_totals = dict.fromkeys(("acetate", "citrate", "ammonium", "sulphate"), totals)
compositions = st.builds(Composition, **acid_totals, carbonate=st.floats(0, 0.01), strong_cation=st.floats(0, 0.1), strong_anion=st.floats(0, 0.05))
sizes = st.floats(80, 800)
pans = st.builds(Vessel, name=st.just("Pan"), shape=st.just("rectangle"), length_mm=sizes, width_mm=sizes, height_mm=sizes)
vessels = pans | st.builds(Vessel, name=st.just("Kettle"), shape=st.just("round"), length_mm=sizes, height_mm=sizes)
grams = st.floats(5, 2000)
depths = st.floats(5e-5, 0.06)
strengths = st.floats(0.2, 2.0)


def tap_with(alkalinity: float, acid: AcidAsBought, amount: float, *, open_to_air: bool = False) -> Composition:
    return tap_water(alkalinity, open_to_air=open_to_air).plus(acid.in_bath(amount, 4000))


@quick
@given(alkalinity=alkalinities, temp_c=temperatures, acid=acids, amount=st.floats(0.01, 200), more=st.floats(0.01, 200), open_to_air=st.booleans())
def test_more_acid_never_raises_ph(alkalinity: float, temp_c: float, acid: AcidAsBought, amount: float, more: float, open_to_air: bool) -> None:
    less = solve_ph(tap_with(alkalinity, acid, amount, open_to_air=open_to_air), temp_c).ph
    assert solve_ph(tap_with(alkalinity, acid, amount + more, open_to_air=open_to_air), temp_c).ph <= less + 1e-9


@quick
@given(alkalinity=st.floats(20, 300), temp_c=temperatures, grams_l=st.floats(0.1, 10))
def test_ammonium_sulphate_never_raises_the_ph_of_plain_water(alkalinity: float, temp_c: float, grams_l: float) -> None:
    """Said of water alone: in an acid bath its sulphate takes protons up, and the pH may rise a little."""
    plain = solve_ph(tap_water(alkalinity), temp_c).ph
    assert solve_ph(tap_with(alkalinity, AMMONIUM_SULPHATE, 4 * grams_l), temp_c).ph <= plain + 1e-9


@quick
@given(alkalinity=alkalinities, more=st.floats(1, 200), acid=acids, amount=st.floats(0.5, 60))
def test_harder_water_never_lowers_ph(alkalinity: float, more: float, acid: AcidAsBought, amount: float) -> None:
    assert solve_ph(tap_with(alkalinity + more, acid, amount), 25).ph >= solve_ph(tap_with(alkalinity, acid, amount), 25).ph - 1e-9


@quick
@given(composition=compositions, temp_c=temperatures)
def test_charge_left_over_falls_with_ph_and_is_nothing_at_the_root(composition: Composition, temp_c: float) -> None:
    solved = solve_ph(composition, temp_c)
    conditions = Conditions.at(temp_c, solved.ionic_strength_mol_l)
    charges = [charge_eq_l(composition, conditions, step / 4) for step in range(-4, 57)]
    assert all(later < earlier for earlier, later in pairwise(charges))
    assert abs(charge_eq_l(composition, conditions, solved.ph)) <= 1e-9
    assert solved.anions_eq_l == pytest.approx(anions_eq_l(composition, conditions, solved.ph), abs=1e-9)


@quick
@given(ph=st.floats(-1, 14), temp_c=temperatures, strength=st.floats(0, 0.5), name=st.sampled_from(sorted(FAMILIES)))
def test_shares_add_up_to_one(ph: float, temp_c: float, strength: float, name: str) -> None:
    shares = Conditions.at(temp_c, strength).shares(FAMILIES[name], ph)
    assert sum(shares) == pytest.approx(1, abs=1e-12)
    assert all(0 <= share <= 1 for share in shares)


@quick
@given(vinegar=st.floats(1, 60), citric=st.floats(0.1, 5), sulphate=st.floats(0.5, 20), alkalinity=alkalinities)
def test_order_of_doses_is_irrelevant(vinegar: float, citric: float, sulphate: float, alkalinity: float) -> None:
    doses = (AcidDose(VINEGAR, vinegar), AcidDose(CITRIC, citric), AcidDose(AMMONIUM_SULPHATE, sulphate))
    baths = [Bath(volume_ml=4000, alkalinity=stated_alkalinity(alkalinity), doses=order) for order in permutations(doses)]
    found = [solve_ph(composition(bath), bath.temp_c).ph for bath in baths]
    assert max(found) - min(found) <= 1e-8


@quick
@given(volume_ml=st.floats(500, 40000), factor=st.floats(0.1, 10), per_litre=st.floats(0.2, 20), alkalinity=alkalinities)
def test_a_bath_n_times_as_large_has_the_same_ph(volume_ml: float, factor: float, per_litre: float, alkalinity: float) -> None:
    def ph(volume: float) -> float:
        return forecast_ph(Bath(volume_ml=volume, alkalinity=stated_alkalinity(alkalinity), doses=(AcidDose(VINEGAR, per_litre * volume / 1000),))).ph.value

    assert ph(volume_ml * factor) == pytest.approx(ph(volume_ml), abs=1e-9)


@quick
@given(alkalinity=st.floats(10, 300), temp_c=temperatures, acid=acids, target=st.floats(3.2, 6.0), open_to_air=st.booleans(), volume_ml=st.floats(500, 20000))
def test_the_acid_for_a_target_brings_the_bath_there(
    alkalinity: float, temp_c: float, acid: AcidAsBought, target: float, open_to_air: bool, volume_ml: float
) -> None:
    bath = Bath(volume_ml=volume_ml, temp_c=temp_c, alkalinity=stated_alkalinity(alkalinity), open_to_air=open_to_air)
    try:
        found = acid_for_ph(bath, acid, target).amount
    except BadInput:
        assert acid.kind == "vinegar"
        assert target < 4
        return
    assert found.low <= found.value <= found.high
    there = forecast_ph(replace(bath, doses=(AcidDose(acid, found.value),))).ph.value
    assert there == pytest.approx(target, abs=1e-3)


@quick
@given(alkalinity=st.floats(10, 250), amount=st.floats(5, 60), acid=acids)
def test_a_better_known_water_has_a_narrower_ph(alkalinity: float, amount: float, acid: AcidAsBought) -> None:
    known = stated_alkalinity(alkalinity)
    vague = replace(known, low=alkalinity * 0.5, high=alkalinity * 2)
    narrow, wide = (forecast_ph(Bath(volume_ml=4000, alkalinity=water, doses=(AcidDose(acid, amount),))).ph for water in (known, vague))
    assert wide.low <= narrow.low <= narrow.value <= narrow.high <= wide.high


@quick
@given(fibre_g=grams, factor=st.floats(0.1, 20), depth=depths, strength=strengths, solution=st.floats(0.001, 0.1))
def test_scaling_the_goods_scales_every_dose(fibre_g: float, factor: float, depth: float, strength: float, solution: float) -> None:
    one, many = dye_g(fibre_g, depth, strength), dye_g(fibre_g * factor, depth, strength)
    assert many == pytest.approx(one * factor)
    assert solution_ml(many, solution) == pytest.approx(solution_ml(one, solution) * factor)
    parts = (("Kelp", 3.0), ("Ember", 1.0))
    scaled, plain = parts_g(fibre_g * factor, depth, parts), parts_g(fibre_g, depth, parts)
    assert all(scaled[name] == pytest.approx(plain[name] * factor) for name in plain)


@quick
@given(fibre_g=grams, depth=depths, strength=strengths, solution=st.floats(0.001, 0.1))
def test_dye_there_and_back(fibre_g: float, depth: float, strength: float, solution: float) -> None:
    powder = dye_g(fibre_g, depth, strength)
    assert depth_of(powder, fibre_g, strength) == pytest.approx(depth)
    assert powder_in_solution_g(solution_ml(powder, solution), solution) == pytest.approx(powder)


@quick
@given(fibre_g=grams, depth=depths, shares=st.lists(st.floats(0.01, 5), min_size=1, max_size=6))
def test_parts_add_up_to_the_total_depth_in_any_order(fibre_g: float, depth: float, shares: list[float]) -> None:
    parts = [(f"dye {place}", share) for place, share in enumerate(shares)]
    found = parts_g(fibre_g, depth, parts)
    assert sum(found.values()) == pytest.approx(fibre_g * depth)
    assert parts_g(fibre_g, depth, parts[::-1]) == {name: pytest.approx(value) for name, value in found.items()}


@quick
@given(fibre_g=grams, ratio=st.floats(0.8, 60), wet=st.floats(0, 3), brought=st.lists(st.floats(0, 500), max_size=5))
def test_the_water_balance_closes(fibre_g: float, ratio: float, wet: float, brought: list[float]) -> None:
    total = liquor_for_ratio(fibre_g, ratio)
    yarn = Brought(what="wet yarn", volume_ml=pick_up_ml(fibre_g * (1 + wet), fibre_g))
    liquor = water_to_add(total, fibre_g, (yarn, *(Brought(what=f"solution {place}", volume_ml=one) for place, one in enumerate(brought))))
    comes_in = liquor.water_to_add_ml + sum(one.volume_ml for one in liquor.brought)
    assert comes_in == pytest.approx(liquor.total.value + liquor.too_much_ml, abs=1e-9 * max(1.0, comes_in))
    assert liquor.water_to_add_ml >= 0
    assert liquor.too_much_ml == 0 or liquor.water_to_add_ml == 0
    assert liquor.in_pot_ml == pytest.approx(comes_in)


@quick
@given(vessel=vessels, fibre_g=grams, level=st.floats(0, 500))
def test_level_there_and_back(vessel: Vessel, fibre_g: float, level: float) -> None:
    assert level_mm(vessel, liquor_for_level_ml(vessel, level, fibre_g), fibre_g) == pytest.approx(level, abs=1e-9)


@quick
@given(vessel=vessels, fibre_g=grams, liquor_ml=st.floats(0, 50000), more=st.floats(1, 1000))
def test_more_liquor_or_more_yarn_stands_higher(vessel: Vessel, fibre_g: float, liquor_ml: float, more: float) -> None:
    fit = fit_in(vessel, liquor_ml, fibre_g)
    assert fit_in(vessel, liquor_ml + more, fibre_g).level_mm > fit.level_mm
    assert fit_in(vessel, liquor_ml, fibre_g + more).level_mm > fit.level_mm
    assert fit.fits == (fit.level_mm <= vessel.height_mm)


@quick
@given(vessel=vessels, fibre_g=grams, cover_mm=st.floats(0, 100), more=st.floats(1, 50))
def test_covering_deeper_takes_floor_times_the_difference(vessel: Vessel, fibre_g: float, cover_mm: float, more: float) -> None:
    less, much = liquor_to_cover(vessel, fibre_g, cover_mm), liquor_to_cover(vessel, fibre_g, cover_mm + more)
    assert less.low <= less.value <= less.high
    assert much.value - less.value == pytest.approx(level_difference_ml(vessel, more), rel=1e-6, abs=1e-6)


def level_difference_ml(vessel: Vessel, height_mm: float) -> float:
    return liquor_for_level_ml(vessel, height_mm)


@quick
@given(pick_up=st.floats(0, 500), soak_ml=st.floats(500, 5000), acid=st.floats(0, 200))
def test_yarn_brings_no_more_acid_than_the_soak_held(pick_up: float, soak_ml: float, acid: float) -> None:
    assert 0 <= acid_brought_ml(pick_up, soak_ml, acid) <= acid
