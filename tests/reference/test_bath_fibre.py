"""Wool's acid: the published uptake of strong acid, and what it means for a dyer's bath."""

from __future__ import annotations

from dataclasses import replace
from math import log10

import pytest

from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.charge_balance import Composition, solve_ph
from skeinwright.core.bath.fibre import NYLON_SITES_MOL_KG, WOOL_SITES_MOL_KG, Sponge, donnan, fibre_in_bath, nylon, sponges_of, wool
from skeinwright.core.bath.ph import Bath, forecast_ph
from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.bath.species import Conditions
from skeinwright.core.bath.uptake_of_acid import acid_for_ph_after, acid_uptake, ph_error
from skeinwright.core.bath.waters import stated_alkalinity, tap_water


def test_half_uptake_of_hydrochloric_acid() -> None:
    """Sen'i Gakkaishi 15 (1959) 292 (abstract): half uptake at pH 2.3 without salt; we give 2.1 (the tolerance is the spread of the water inside wool)."""
    half = bracketed_root(lambda ph: donnan(10**-ph, 10**-ph, WOOL_SITES_MOL_KG).filled - 0.5, 1.0, 4.0)
    assert half == pytest.approx(2.3, abs=0.25)


def test_most_and_none() -> None:
    """J. Res. NBS 24 (1940) 335 (abstract): at most 0.82 mmol/g; without salt nothing that can be measured at pH 5 and above."""
    strong, mild = (WOOL_SITES_MOL_KG * donnan(10**-ph, 10**-ph, WOOL_SITES_MOL_KG).filled for ph in (0.3, 5.0))
    assert 0.78 < strong <= 0.82
    assert mild < 0.005


def test_salt_acts_like_acid() -> None:
    """The same abstract: an n-fold change of chloride acts almost like an n-fold change of H+. Exact in our law where acid is much less than salt."""
    less, more_salt, more_acid = (donnan(h, a, WOOL_SITES_MOL_KG).filled for h, a in ((1e-5, 0.01), (1e-5, 0.1), (1e-4, 0.01)))
    assert more_salt == pytest.approx(more_acid, rel=0.02)
    assert more_salt > 2 * less


def test_internal_middle() -> None:
    """JSDC 1949 (abstract): half of the sites are filled at an inner pH of 4.15-4.35 with hydrochloric acid."""
    found = bracketed_root(lambda ph: donnan(10**-ph, 10**-ph, WOOL_SITES_MOL_KG).filled - 0.5, 1.0, 4.0)
    assert 4.15 <= found + log10(donnan(10**-found, 10**-found, WOOL_SITES_MOL_KG).ratio) <= 4.35


def test_a_hundred_grams_at_ph_four_and_a_half() -> None:
    """In 0.02 eq/L of anions, worked out apart by hand: 5 to 7 mmol, 6 to 8 ml of 5 % vinegar."""
    assert 5 <= 100 * wool(100).bound_mol_kg(10**-4.5, 0.02) <= 7


def test_two_pans_of_undissociated_acid() -> None:
    """K/(K + L): 2.4 % of the undissociated acid at 40:1, 25 % at 3:1."""
    for litres, share in ((4.0, 1 / 41), (0.3, 0.25)):
        plain = Composition(acetate=0.01)
        held = replace(plain, held=0.1 / litres)
        full, less = solve_ph(plain, 25).ph, solve_ph(held, 25).ph
        same = solve_ph(Composition(acetate=0.01 * (1 - share)), 25).ph
        assert less == pytest.approx(same, abs=0.01), "as if that share of the (nearly all undissociated) acid were gone"
        assert less > full


def test_uptake_raises_ph_and_a_target_counts_it() -> None:
    bath = Bath(volume_ml=4000, alkalinity=stated_alkalinity(120), doses=(AcidDose(VINEGAR, 30),))
    found = acid_uptake(bath, (wool(100),))
    assert found.before.ph.value == pytest.approx(forecast_ph(bath).ph.value)
    assert found.after.ph.value > found.before.ph.value + 0.05
    needed = acid_for_ph_after(replace(bath, doses=()), VINEGAR, 4.5, (wool(100),)).amount
    reached = acid_uptake(replace(bath, doses=(AcidDose(VINEGAR, needed.value),)), (wool(100),))
    assert reached.after.ph.value == pytest.approx(4.5, abs=1e-3)
    assert needed.low < needed.value < needed.high


def test_charge_is_conserved_to_the_last_equivalent() -> None:
    """Acid given = acid in the bath + acid on the fibre: with a strong acid, H+ in the bath and on the wool add up to what was poured in."""
    sponge = wool(100)
    solved = solve_ph(Composition(strong_anion=0.01), 25, fibre=fibre_in_bath((sponge,), 2000))
    conditions = Conditions.at(25, solved.ionic_strength_mol_l)
    h = conditions.hydrogen_mol_l(solved.ph)
    assert h - conditions.hydroxide_mol_l(solved.ph) + sponge.bound_mol_kg(h, solved.anions_eq_l) * 0.1 / 2 == pytest.approx(0.01, rel=1e-9)


def test_dye_takes_acid_along() -> None:
    """2 % of a pure disulphonate of 500 g/mol is 0.08 mol/kg: to a bath with 12.5 mmol of acetic acid as much as 8 mmol of lye.

    By hand: pK 4.756 + log10(8.0/4.5) = 5.01, less a few hundredths for activity. In water of 120 mg/L (9.6 mmol in 4 l) 17.6 meet 12.5 of acid, so that 5.1
    go on to carbonic acid, of which 4.7 are left: 6.351 + log10(5.1/4.7) = 6.39.
    """
    acid = Composition(acetate=15 * 0.05 / 60.052 / 4)
    before = solve_ph(acid, 25).ph
    inert = Sponge(100, sites_mol_kg=1e-12, dye_acid_mol_kg=0.08)
    after = solve_ph(acid, 25, fibre=fibre_in_bath((inert,), 4000)).ph
    assert before == pytest.approx(3.65, abs=0.02)
    assert after == pytest.approx(solve_ph(replace(acid, strong_cation=0.002), 25).ph, abs=0.02)
    assert after == pytest.approx(4.756 + log10(8.0 / 4.5), abs=0.05)
    hard = tap_water(120.0).plus(acid)
    assert solve_ph(hard, 25).ph == pytest.approx(5.147, abs=0.02), "PHREEQC"
    assert solve_ph(hard, 25, fibre=fibre_in_bath((inert,), 4000)).ph == pytest.approx(6.351 + log10(5.1 / 4.7), abs=0.05)


def test_blends_and_superwash() -> None:
    """Untreated, chlorinated and resin-treated wool take up the same acid at rest (Gacen et al., abstract): one sponge serves both."""
    parts = sponges_of(100, (("merino wool", 0.75), ("nylon", 0.25)))
    assert [one.fibre_g for one in parts] == [75, 25]
    assert parts[1].sites_mol_kg == NYLON_SITES_MOL_KG
    assert sponges_of(100, {"cotton": 1.0}) == ()
    assert nylon(100).bound_mol_kg(1e-4, 0.02) < 0.1 * wool(100).bound_mol_kg(1e-4, 0.02)


def test_a_measured_ph_corrects_by_how_sure_it_is() -> None:
    """Two readings of one thing, weighed by the squares of their spreads: the textbook rule for independent normal errors."""
    vague = forecast_ph(Bath(volume_ml=4000, doses=(AcidDose(VINEGAR, 15),)))
    sure = forecast_ph(Bath(volume_ml=4000, doses=(AcidDose(VINEGAR, 15),), alkalinity=stated_alkalinity(120)))
    by_meter, by_strip = ph_error(vague, vague.ph.value + 0.4, 0.1), ph_error(sure, sure.ph.value + 0.4)
    assert by_meter.offset.value == pytest.approx(0.4, abs=0.03)
    assert 0 < by_strip.offset.value < 0.05
    assert by_strip.offset.high - by_strip.offset.low < sure.ph.high - sure.ph.low
    assert "before the dye" in by_strip.sentence
