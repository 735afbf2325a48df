"""Laws that hold for every session: nothing is lost, nothing is negative, mirrored in is mirrored out, twice as much is twice as much where sites are free."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.spread.acid import half_mobile, mobile, sites_filled
from skeinwright.core.spread.events import (
    AddWater,
    Bath,
    Dip,
    Event,
    Heat,
    Ice,
    Kettle,
    Lid,
    OpenUp,
    Pour,
    PourOff,
    Session,
    Sprinkle,
    Squeeze,
    Steam,
    Turn,
    Wait,
)
from skeinwright.core.spread.exchange import Kappas, over, rates
from skeinwright.core.spread.grid import Grid, panel
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.stepper import Cancelled, full
from skeinwright.core.spread.transport import spread
from spread_cases import AREA_CM2, case

SMALL = panel(48, 0.05)
_MG = (10.0, 5.0)
EVENTS: tuple[Event, ...] = (
    Sprinkle(dyes_mg=_MG),
    Sprinkle(dyes_mg=_MG, acid_mmol=0.5, clump=2.0, bands=((0.5, 1.5),)),
    Sprinkle(dyes_mg=_MG, white=True, smear_cm=0.5),
    Sprinkle(dyes_mg=_MG, over_s=300.0),
    Pour(dyes_mg=_MG, volume_ml=60, bands=((0.0, 1.0),)),
    Pour(dyes_mg=_MG, volume_ml=30, acid_mmol=1.0, thick=0.3),
    Kettle(dyes_mg=_MG, points=((1.0, 0.5),)),
    Bath(dyes_mg=_MG, acid_mmol=2.0),
    Dip(dyes_mg_cm3=(0.2, 0.0), bands=((0.0, 1.2),), time_s=30),
    AddWater(300.0, 5.0),
    PourOff(200.0),
    Lid(True),
    Heat(70.0, 0.5),
    Wait(60.0),
    Steam(120.0),
    Turn(),
    OpenUp(1.3),
    Squeeze(1.2),
    Ice(50.0),
)


def _session(events: tuple[Event, ...]) -> Session:
    return replace(case(0.4, 0.1, dyes=2), events=events)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.sampled_from(EVENTS), min_size=1, max_size=7), st.integers(0, 1000))
def test_nothing_is_lost_and_nothing_is_negative(events: list[Event], seed: int) -> None:
    """Any steps in any order: 1e-12 in double precision, 5e-6 in single, dye and acid; no cell below nothing."""
    session = _session((*events, Wait(40.0)))
    for dtype, most in ((np.float64, 1e-12), (np.float32, 5e-6)):
        result = full(session, SMALL, seed, dtype=dtype)
        assert result.ledger.error < most
        assert result.ledger.acid_error < most
        assert result.dye.min() >= 0
        assert min(one.min() for one in (result.ledger.free_mg, result.ledger.held_mg, result.ledger.powder_mg)) >= -1e-6


@settings(max_examples=10, deadline=None)
@given(st.lists(st.sampled_from(EVENTS), min_size=1, max_size=6), st.integers(0, 1000))
def test_the_quick_forecast_loses_nothing_either(events: list[Event], seed: int) -> None:
    result = quick(_session((*events, Wait(40.0))), SMALL, seed, dtype=np.float64)
    assert result.ledger.error < 1e-9
    assert result.dye.min() >= 0


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_transposed_in_transposed_out(dtype: type) -> None:
    rng = np.random.default_rng(3)
    plane = rng.random((1, 60, 60)).astype(dtype)
    turned = np.ascontiguousarray(plane.transpose(0, 2, 1))
    grid = Grid(60, 60, 0.02, 0.02)
    spread(plane, grid, 2e-3, 2e-3)
    spread(turned, grid, 2e-3, 2e-3)
    assert np.abs(plane - turned.transpose(0, 2, 1)).max() < (1e-6 if dtype == np.float32 else 1e-12)


def test_superposition_where_sites_are_free() -> None:
    """A trace and twice the trace of the same grains: twice the dye everywhere."""
    one, two = (full(case(0.4, 0.2, load_mg_cm2=mg, time_s=300), SMALL, 4, dtype=np.float64) for mg in (1e-9, 2e-9))
    assert np.allclose(two.dye, 2 * one.dye, rtol=1e-5, atol=1e-20)


def test_the_same_seed_is_the_same_skein_and_another_is_not() -> None:
    session = case(0.4, 0.2, time_s=60)
    a, b, c = (full(session, SMALL, seed).dye for seed in (1, 1, 2))
    assert np.array_equal(a, b)
    assert not np.array_equal(a, c)


def test_a_run_can_be_given_up() -> None:
    told: list[float] = []
    with pytest.raises(Cancelled):
        full(case(0.4, 0.2), SMALL, 1, told.append, lambda: len(told) >= 3)
    assert told == sorted(told)
    assert 0 < told[-1] < 0.2


def test_more_threads_change_nothing() -> None:
    session = case(0.4, 0.2, time_s=60)
    assert np.allclose(full(session, SMALL, 1, threads=2).dye, full(session, SMALL, 1).dye, rtol=1e-5, atol=1e-9)


@given(st.floats(1e-6, 1), st.floats(1e-6, 1), st.floats(1e-6, 1), st.floats(1e-3, 2), st.floats(1e-2, 1), st.floats(0, 1e4))
@settings(max_examples=60, deadline=None)
def test_exchange_conserves_and_stays_positive(a: float, b: float, c: float, free: float, held: float, time: float) -> None:
    e = over(rates(Kappas(a, b, c), free, held), time)
    assert e.min() >= 0
    assert np.abs(e.sum(axis=0) - 1).max() < 1e-12


@given(st.floats(1e-6, 1), st.floats(1e-4, 0.1), st.floats(0.01, 0.98))
@settings(max_examples=60, deadline=None)
def test_acid_splits_by_its_own_law(total: float, b_max: float, phi: float) -> None:
    """b = bmax a/(a + ah), a + b = T; and the ah that fills a share phi does so."""
    a_half = 0.02 * b_max
    a = float(mobile(np.array(total), b_max, a_half))
    assert a + b_max * a / (a + a_half) == pytest.approx(total, rel=1e-9)
    wide = b_max * phi * 1.3
    assert float(sites_filled(np.array(wide), b_max, half_mobile(wide, phi, b_max))) == pytest.approx(phi, rel=1e-6)


def test_all_the_powder_falls_on_the_yarn() -> None:
    session = case(0.15, 0.2, load_mg_cm2=0.05)
    result = full(session, SMALL, 2, dtype=np.float64)
    assert result.ledger.added_mg[0] == pytest.approx(0.05 * SMALL.area_cm2, rel=1e-12)
    assert session.laid.area_cm2 == AREA_CM2
