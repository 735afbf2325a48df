"""The pH solver against PHREEQC, bath by bath.

Oracle: PHREEQC (USGS) through phreeqpython; see `phreeqc_bath`. Its carbonate, sulphate, ammonium and water are its own, its activity model is its own,
and it pairs sodium with sulphate and carbonate, which ours does not. Limits: 0.03 pH at 25 C up to an ionic strength of 0.5; 0.12 with sulphate above 50 C.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

import pytest

from reference.phreeqc_bath import phreeqc, phreeqc_ph
from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC, VINEGAR, AcidDose
from skeinwright.core.bath.charge_balance import Composition, solve_ph
from skeinwright.core.bath.fibre import Sponge, fibre_in_bath
from skeinwright.core.bath.ph import Bath, composition, forecast_ph
from skeinwright.core.bath.waters import tap_water
from skeinwright.core.foundations.estimate import Estimate


@pytest.fixture(scope="module")
def engine() -> Any:
    return phreeqc()


@dataclass(frozen=True)
class Seeded:
    composition: Composition
    temp_c: float


def pot(chance: Random, temp_c: float, *, sulphate: bool) -> Seeded:
    """A pot of 4 l as a dyer might fill it: tap water of 0-300 mg/L and one to three acids."""
    mixed = tap_water(chance.choice([0.0, chance.uniform(20, 300)]))
    doses = [(VINEGAR, chance.uniform(2, 300)), (CITRIC, chance.uniform(0.2, 40)), (AMMONIUM_SULPHATE, chance.uniform(0.5, 60))]
    wanted = [2] if sulphate else sorted(chance.sample(range(3), chance.randint(1, 3)))
    for place in wanted:
        mixed = mixed.plus(doses[place][0].in_bath(doses[place][1], 4000))
    return Seeded(mixed, temp_c)


def strong(chance: Random) -> Seeded:
    """A strong buffer, ionic strength up to 0.5: acid partly neutralised with soda, or much ammonium sulphate."""
    if chance.random() < 0.3:
        salt = chance.uniform(0.02, 0.24)
        return Seeded(Composition(ammonium=2 * salt, sulphate=salt, acetate=chance.uniform(0, 0.1)), 25.0)
    sodium = chance.uniform(0.02, 0.43)
    if chance.random() < 0.5:
        return Seeded(Composition(acetate=sodium * chance.uniform(1.2, 3), strong_cation=sodium), 25.0)
    return Seeded(Composition(citrate=sodium * chance.uniform(0.7, 2), strong_cation=sodium), 25.0)


def deviation(engine: Any, bath: Seeded, **how: bool) -> tuple[float, float]:
    """(ours - PHREEQC's pH, our ionic strength)."""
    c = bath.composition
    theirs, _ = phreeqc_ph(engine, temp_c=bath.temp_c, Na=c.strong_cation, C=c.carbonate, Ace=c.acetate, Cit=c.citrate, N=c.ammonium, S=c.sulphate, **how)
    ours = solve_ph(c, bath.temp_c)
    return ours.ph - theirs, ours.ionic_strength_mol_l


def worst(engine: Any, baths: list[Seeded]) -> tuple[float, float]:
    """(largest deviation, largest ionic strength)."""
    found = [deviation(engine, bath) for bath in baths]
    return max(abs(off) for off, _ in found), max(strength for _, strength in found)


def test_240_pots_at_25_c_are_within_003(engine: Any) -> None:
    chance = Random(20261124)
    off, _ = worst(engine, [pot(chance, 25.0, sulphate=False) for _ in range(240)])
    assert off <= 0.03


def test_80_strong_buffers_at_25_c_up_to_an_ionic_strength_of_half_are_within_003(engine: Any) -> None:
    chance = Random(7)
    off, strength = worst(engine, [strong(chance) for _ in range(80)])
    assert 0.4 < strength <= 0.5
    assert off <= 0.03


def test_60_sulphate_baths_above_50_c_are_within_012(engine: Any) -> None:
    chance = Random(50)
    off, _ = worst(engine, [pot(chance, chance.uniform(50, 95), sulphate=True) for _ in range(60)])
    assert off <= 0.12


def test_the_stated_interval_covers_phreeqc_in_hot_sulphate_baths(engine: Any) -> None:
    """Little but pK and model is unknown here (the alkalinity is exact): at least nine in ten must lie inside."""
    chance = Random(90)
    inside = 0
    for _ in range(40):
        alkalinity, temp_c, grams = chance.uniform(0, 300), chance.uniform(50, 95), chance.uniform(0.5, 60)
        bath = Bath(volume_ml=4000, temp_c=temp_c, alkalinity=Estimate.exact(alkalinity, "mg/L"), doses=(AcidDose(AMMONIUM_SULPHATE, grams),))
        c = composition(bath)
        theirs, _ = phreeqc_ph(engine, temp_c=temp_c, Na=c.strong_cation, C=c.carbonate, N=c.ammonium, S=c.sulphate)
        found = forecast_ph(bath).ph
        inside += found.low <= theirs <= found.high
    assert inside >= 36


@pytest.mark.parametrize(("alkalinity", "acetate"), [(50, 0.0), (120, 0.0), (120, 0.001), (250, 0.002), (300, 0.006)])
def test_water_open_to_air_is_within_003(engine: Any, alkalinity: float, acetate: float) -> None:
    c = tap_water(alkalinity, open_to_air=True).plus(Composition(acetate=acetate))
    theirs, _ = phreeqc_ph(engine, Na=c.strong_cation, Ace=acetate, open_to_air=True)
    assert solve_ph(c, 25.0).ph == pytest.approx(theirs, abs=0.03)


@pytest.mark.parametrize(("alkalinity", "mmol"), [(0.0, 8.0), (0.0, 1.33), (120.0, 8.0)])
def test_acid_that_dye_takes_along_is_so_much_lye_to_phreeqc(engine: Any, alkalinity: float, mmol: float) -> None:
    """15 ml of vinegar of 5 % in 4 l; dye on 100 g that takes `mmol` along, against as much sodium hydroxide. PHREEQC: 4.99, 3.96 and 6.40."""
    mixed = tap_water(alkalinity).plus(VINEGAR.in_bath(15, 4000))
    theirs, _ = phreeqc_ph(engine, Na=mixed.strong_cation + mmol / 4000, C=mixed.carbonate, Ace=mixed.acetate)
    taken = Sponge(100, sites_mol_kg=1e-12, dye_acid_mol_kg=mmol / 100)
    assert solve_ph(mixed, 25, fibre=fibre_in_bath((taken,), 4000)).ph == pytest.approx(theirs, abs=0.03)
