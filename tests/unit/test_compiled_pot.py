"""The compiled loops beside the plain ones: the same figures, so that it does not matter which answered."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC, VINEGAR, AcidAsBought
from skeinwright.core.bath.engine import PLAIN, Engine, engine, make_compiled_ready
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddSalt, AddWater, DyeInPot, FibreInPot, LayIn, PotRun, PourOff
from skeinwright.core.bath.process import process
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.shelf.items import DYE_CLASSES, Vessel
from skeinwright.services.warm_pots import pots_are_warm, warm_pots

PAN = Vessel(name="Pan", shape="rectangle", length_mm=400, width_mm=300, height_mm=100)
KINDS = ("wool", "superwash", "nylon")


@pytest.fixture(scope="module")
def compiled() -> Engine:
    return make_compiled_ready()


def a_pot(seed: int) -> PotRun:
    """A pot of anything: one to three fibres and dyes, any acid, salt, liquor poured off, more water than yarn can use or hardly any."""
    rng = np.random.default_rng(seed)
    fibres = tuple(FibreInPot(base="A", kind=str(kind), mass_g=float(rng.uniform(5, 200))) for kind in rng.choice(KINDS, rng.integers(1, 4)))
    dyes = tuple(DyeInPot(name=f"dye {place}", dye_class=str(rng.choice(DYE_CLASSES))) for place in range(rng.integers(1, 4)))
    acid: AcidAsBought = (VINEGAR, CITRIC, AMMONIUM_SULPHATE)[seed % 3]
    events = (
        AddWater(at_s=0, volume_ml=float(rng.uniform(300, 6000))),
        AddDye(at_s=60, grams=tuple((dye.name, float(rng.uniform(0.01, 5))) for dye in dyes), volume_ml=30),
        LayIn(at_s=float(rng.uniform(60, 900))),
        AddAcid(at_s=600, acid=acid, amount=float(rng.uniform(0, 50)), over_s=float(rng.choice([0, 600]))),
        AddSalt(at_s=700, mass_g=float(rng.choice([0, 5]))),
        PourOff(at_s=2000, volume_ml=100),
    )
    programme = ((0.0, 25.0), (1800.0, 85.0), (3000.0, 95.0), (3600.0, 60.0))
    return PotRun(fibres=fibres, dyes=dyes, events=events, programme=programme, alkalinity=stated_alkalinity(float(rng.uniform(0, 300))), vessel=PAN)


@pytest.mark.parametrize("seed", range(9))
def test_the_compiled_line_is_the_plain_one(seed: int, compiled: Engine) -> None:
    run = a_pot(seed)
    one, two = process(run, loops=PLAIN, block_s=120), process(run, loops=compiled, block_s=120)
    assert two.ph.centre == pytest.approx(one.ph.centre, abs=1e-9)
    assert two.by_fibre == pytest.approx(one.by_fibre, rel=1e-9, abs=1e-9)
    for name, band in one.uptake.items():
        assert two.uptake[name].centre == pytest.approx(band.centre, abs=1e-9)
    assert two.dye_balance < 1e-9
    assert two.acid_balance <= max(1e-9, 2 * one.acid_balance)


@pytest.mark.parametrize("seed", [3, 4])
def test_the_compiled_bands_are_the_plain_ones(seed: int, compiled: Engine) -> None:
    run = a_pot(seed)
    one, two = (process(run, rng=np.random.default_rng(1), draws=40, block_s=240, loops=loops) for loops in (PLAIN, compiled))
    for name, band in one.uptake.items():
        assert two.uptake[name].low == pytest.approx(band.low, abs=1e-9)
        assert two.uptake[name].high == pytest.approx(band.high, abs=1e-9)
    assert two.ph.low == pytest.approx(one.ph.low, abs=1e-9)
    assert two.water_l.high == pytest.approx(one.water_l.high, abs=1e-12)


def test_a_bath_of_water_alone_and_a_dose_of_nothing(compiled: Engine) -> None:
    empty = replace(a_pot(1), dyes=(), events=(AddWater(at_s=0, volume_ml=3000), LayIn(at_s=10)))
    assert process(empty, loops=compiled).ph.centre == pytest.approx(process(empty, loops=PLAIN).ph.centre, abs=1e-9)


def test_warming_is_done_once_and_tells() -> None:
    warm_pots()
    assert pots_are_warm()
    first = engine()
    warm_pots()
    assert engine() is first
