"""Water that squeezed yarn drinks, ice that melts, powder at a band's edge, yarn opened up twice: balances that hold whatever the numbers are."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base, Dye, Solution, Vessel
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.actions import act
from skeinwright.core.spread.grid import Grid, panel
from skeinwright.core.spread.guidance import guidance
from skeinwright.core.spread.ice import melt
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.session import session_of
from skeinwright.core.spread.skein import grid_of
from skeinwright.core.spread.state import Pan, start
from skeinwright.core.spread.stepper import full
from skeinwright.core.spread.writing import on_loop
from spread_cases import AREA_CM2, case

SMALL = panel(24, 0.1)
BASE = Base(name="Quay Sock", fibres=(("wool", 1.0),), skein_g=100, length_mm=400_000, round_mm=1500)
PAN = Vessel(name="Wide pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100, lid=False)
SHELF = (Dye(name="Kelp", dye_class="milling"), Solution(name="Kelp 1 %", parts=(("Kelp", 1.0),), strength=0.01))


def _of(*steps: Step, water: str = "1 l") -> ev.Session:
    return session_of(Colourway(name="Test", steps=steps, fibre="100 g", own_base=BASE, own_vessel=PAN, water_volume=water), shelf=SHELF)


def _pan(session: ev.Session, grid: Grid = SMALL) -> Pan:
    return start(session, grid, np.random.default_rng(3), np.float64)


def _water_ml(pan: Pan) -> float:
    """Free and held, by the yarn's own mass: grams of fibre times grams of water a gram."""
    held_g_g = 2 * pan.held_cm / (2 * pan.half_mg_cm2 / 1000)
    return pan.free_cm * pan.session.laid.floor_cm2 + held_g_g * pan.session.laid.fibre_g


@pytest.mark.parametrize("poured_ml", [10.0, 40.0, 5000.0])
@pytest.mark.parametrize("opened", [False, True])
def test_squeezed_yarn_drinks_before_water_stands_free(poured_ml: float, opened: bool) -> None:
    session = case(0.4, 0.2)
    pan = _pan(session)
    act(pan, ev.Bath(dyes_mg=(30.0,)))
    act(pan, ev.Squeeze(1.2))
    if opened:
        act(pan, ev.OpenUp(1.4))
    before, acid = _water_ml(pan), pan.field.acid_mmol()
    act(pan, ev.AddWater(poured_ml, 2.0))
    fibre_g, full_g_g = session.laid.fibre_g, session.parameters.yarn.held_g_g
    assert _water_ml(pan) == pytest.approx(before + poured_ml, rel=1e-12)
    assert pan.held_cm / (pan.half_mg_cm2 / 1000) == pytest.approx(min(full_g_g, 1.2 + poured_ml / fibre_g))
    assert (pan.free_cm > 0) == (poured_ml > (full_g_g - 1.2) * fibre_g)
    grid_share = SMALL.area_cm2 / AREA_CM2
    assert pan.field.acid_mmol() - acid == pytest.approx(2.0 * grid_share, rel=1e-9)


def test_what_it_drinks_brings_the_dye_and_the_acid_in_it() -> None:
    pan = _pan(case(0.0, 0.2, held_g_g=1.2))
    act(pan, ev.Bath(dyes_mg=(30.0,), acid_mmol=3.0, volume_ml=400.0))
    drunk = (3.0 - 1.2) * pan.session.laid.fibre_g / 400.0
    assert drunk < 1
    share = pan.field.liquor[0, 1:].sum() / pan.field.liquor[0].sum()
    assert share == pytest.approx(drunk, rel=1e-12)
    assert pan.field.liquor[0].sum() * SMALL.cell_cm2 == pytest.approx(pan.added_mg[0], rel=1e-12)
    assert pan.field.acid_mmol() == pytest.approx(pan.acid_added, rel=1e-12)


def test_a_rinse_leaves_the_yarn_soaked() -> None:
    pan = _pan(case(0.4, 0.2))
    act(pan, ev.Squeeze(0.8))
    act(pan, ev.Rinse())
    assert pan.held_cm / (pan.half_mg_cm2 / 1000) == pytest.approx(3.0)
    assert pan.free_cm == 0


@pytest.mark.parametrize("grid", [panel(200, 0.02), Grid(rows=24, columns=200, dx_cm=0.75, dy_cm=0.1, round_the_loop=True)])
def test_powder_fades_out_at_the_edge_of_a_band_and_none_is_lost(grid: Grid) -> None:
    low, high = 0.4 * grid.length_cm, 0.6 * grid.length_cm
    session = case(0.0, 0.2)
    laid = replace(session.laid, round_cm=grid.length_cm)
    pan = _pan(replace(session, laid=laid), grid)
    act(pan, ev.Sprinkle(dyes_mg=(4000.0,), bands=((low, high),)))
    x, mass = pan.powders[0].grains.x_cm, pan.powders[0].grains.mass_mg
    assert mass.sum() == pytest.approx(pan.added_mg[0], rel=1e-12)
    assert ((x >= 0) & (x <= grid.length_cm)).all()
    y, middle = pan.powders[0].grains.y_cm, (low + high) / 2
    if grid.round_the_loop:  # a strip across the yarn: its own edge lies off the line, and not where the next strip's does
        meant = (high - low) / 2
        edges = [2 * np.mean(np.abs(x[(y >= at) & (y < at + 0.3)] - middle)) - meant for at in (0.0, 0.8, 1.6)]
        assert max(edges) - min(edges) > 0.02
        assert max(abs(edge) for edge in edges) < 2.0
    assert 0 < float(((x < low) | (x > high)).mean()) < 0.5
    again = _pan(replace(session, laid=laid), grid)
    act(again, ev.Sprinkle(dyes_mg=(4000.0,), bands=((low, high),)))
    assert (again.powders[0].grains.x_cm == x).all()


def test_a_band_past_the_tie_keeps_all_its_powder() -> None:
    """140-160 cm of a loop of 150 cm is 140-150 and 0-10 cm."""
    steps = (Step("lay in", {}), Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g", "over": "140-160 cm"}), Step("hold", {"to": "60 C", "time": "1 min"}))
    session = _of(*steps)
    [powder] = [event for event in session.events if isinstance(event, ev.Sprinkle)]
    assert powder.bands == ((140.0, 150.0), (0.0, 10.0))
    run = full(session, grid_of(session, 1.0))
    assert run.ledger.added_mg[0] == pytest.approx(100.0, rel=1e-5)
    assert on_loop(((200.0, 230.0),), 150.0) == ((50.0, 80.0),)
    assert on_loop(((10.0, 170.0),), 150.0) == ()
    assert on_loop(((0.0, 20.0), (30.0, 150.0)), 150.0) == ((0.0, 20.0), (30.0, 150.0))


def test_a_band_beyond_the_loop_is_said() -> None:
    session = _of(Step("lay in", {}), Step("paint", {"dye": "Kelp", "amount": "0.1 g", "over": "200-220 cm"}))
    assert any("150 cm once round" in note and "50-70 cm" in note for note in session.notes)


def test_opened_twice_to_a_width_is_that_wide() -> None:
    lay, powder = Step("lay in", {"width": "14 cm"}), Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"})
    session = _of(lay, powder, Step("open up", {"width": "16 cm"}), Step("open up", {"width": "18 cm"}))
    wider = math.prod(event.wider for event in session.events if isinstance(event, ev.OpenUp))
    assert wider == pytest.approx(18 / 14)


def test_opening_up_takes_no_water_away() -> None:
    quiet = replace(case(0.2, 0.2, evaporates=False), events=(ev.Bath(dyes_mg=(3.0,)), ev.Wait(10.0)))
    opened = replace(quiet, events=(*quiet.events, ev.OpenUp(1.5)))
    assert full(opened, SMALL).liquor_left_ml == pytest.approx(full(quiet, SMALL).liquor_left_ml, rel=1e-9)


def test_ice_melts_away_and_gives_up_its_powder_when_the_pan_is_heated() -> None:
    pan = _pan(case(0.0, 0.2, temp_c=20.0))
    act(pan, ev.Ice(100.0))
    lasts = pan.ice_s
    act(pan, ev.Ice(100.0))
    assert pan.ice_s == pytest.approx(2 * lasts)
    melt(pan, lasts)
    assert pan.ice_s == pytest.approx(lasts)
    act(pan, ev.Sprinkle(dyes_mg=(30.0,)))
    powder = pan.powders[0]
    assert powder.over_s == pytest.approx(lasts)
    powder.done[:] = 0.4
    left = powder.left_mg()
    pan.temp_c = 60.0
    melt(pan, 1.0)
    assert pan.ice_s == 0
    assert powder.over_s is None
    assert powder.left_mg() == pytest.approx(left, rel=1e-12)


def test_the_sentence_counts_the_water_that_is_there() -> None:
    """After a rinse nothing stands free; what is poured on squeezed yarn is drunk first."""
    hot = Step("hold", {"to": "85 C", "time": "20 min"})
    powder = Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"})
    rinsed = _of(Step("add dye", {"dye": "Kelp", "amount": "0.1 g"}), Step("lay in", {}), hot, Step("rinse"), powder, hot, water="3 l")
    assert any(sentence.startswith("No free water") for sentence in guidance(rinsed))
    off = _of(Step("lay in", {}), powder, Step("pour off", {"volume": "2 l"}), hot, water="1 l")
    assert any(sentence.startswith("No free water") for sentence in guidance(off))
    assert any("no water stands free" in note or "at most 0.7 l" in note for note in off.notes)
    squeezed = _of(Step("lay in", {}), Step("squeeze"), Step("add water", {"volume": "150 ml"}), powder, hot, water="1 l")
    assert any(sentence.startswith("No free water") for sentence in guidance(squeezed))


def test_where_no_water_is_said_the_soaked_yarn_is_named_as_assumed() -> None:
    powder = Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"})
    assert any("taken as soaked" in sentence for sentence in _of(powder, water="").assumed)
    assert not any("taken as soaked" in sentence for sentence in _of(powder, water="1 l").assumed)


def test_what_no_powder_and_no_pan_can_be_is_said() -> None:
    powder = {"dye": "Kelp", "amount": "0.1 g"}
    with pytest.raises(BadInput, match="radius"):
        _of(Step("sprinkle", {**powder, "grain": "0 mm"}))
    with pytest.raises(BadInput, match="No step lays any dye"):
        _of(Step("sprinkle", {**powder, "amount": "0 g"}))
    boiled = _of(Step("sprinkle", powder), Step("heat", {"to": "130 C"}))
    assert [event.to_c for event in boiled.events if isinstance(event, ev.Heat)] == [100.0]
    assert any("130 C is taken as 100 C" in note for note in boiled.notes)


def test_the_moment_the_water_is_gone_does_not_hang_on_the_forecast() -> None:
    """Both forecasts let water steam away by one law; the quick one takes a wait in one go."""
    session = replace(case(0.2, 0.2, time_s=1800.0), temp_c=85.0)
    quickly, slowly = quick(session, SMALL).dry_at_s, full(session, SMALL).dry_at_s
    assert quickly is not None
    assert slowly is not None
    assert quickly == pytest.approx(slowly, abs=31)


@pytest.mark.parametrize("phi", [0.0, 0.3])
def test_the_quick_forecast_loses_no_dye_where_the_water_dries_up_under_it(phi: float) -> None:
    """Dye in free water that is gone by the moment at which half of it has struck still goes where it went before."""
    session = replace(case(0.03, phi, temp_c=97.0), events=(ev.Bath(dyes_mg=(30.0,)), ev.Wait(2400.0)))
    for found in (quick(session, SMALL, dtype=np.float64), full(session, SMALL, dtype=np.float64)):
        assert found.free_cm == 0
        assert found.ledger.error < 1e-12
        assert found.ledger.acid_error < 1e-12
        assert found.ledger.on_fibre[0] > 0.5
    assert found.ledger.free_mg[0] == 0
