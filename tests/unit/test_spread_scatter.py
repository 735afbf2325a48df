"""How far a session's figures may be off: known in direction, held by the seed, narrower where the dyer has made a test."""

from __future__ import annotations

from dataclasses import replace

from skeinwright.core.spread.events import Sprinkle
from skeinwright.core.spread.figures import figures
from skeinwright.core.spread.grid import panel
from skeinwright.core.spread.parameters import PowderParameters
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.scatter import scatter_of
from spread_cases import case

GRID = panel(96, 0.03)


def test_the_ranges_hold_the_forecast_and_come_again_with_the_seed() -> None:
    session = case(0.15, 0.3, load_mg_cm2=0.04)
    found = scatter_of(session, GRID, 1, 12)
    assert {"speckle_mm", "coverage", "per_gram"} <= set(found)
    assert all(low <= 1 <= high for low, high in found.values())
    assert found == scatter_of(session, GRID, 1, 12)
    assert found != scatter_of(session, GRID, 2, 12)


def test_a_tested_grain_narrows_the_number() -> None:
    """Mass goes with the third power of the grain, so the number of specks is known badly until the grain is."""
    plain = case(0.15, 0.3, load_mg_cm2=0.04)
    session = replace(plain, events=tuple(replace(event, grain_mm=None) if isinstance(event, Sprinkle) else event for event in plain.events))
    tested = replace(session, parameters=replace(session.parameters, powder=PowderParameters(grain_mm=0.121, footprint=2.51)))
    before, after = (scatter_of(one, GRID, 1, 16)["per_gram"] for one in (session, tested))
    assert after[1] - after[0] < 0.7 * (before[1] - before[0])


def test_what_is_drawn_moves_the_figures_as_it_must() -> None:
    """Twice the spreading makes larger, fainter specks: the law <r^2> = 4 D/k."""
    session = case(0.0, 0.3, load_mg_cm2=0.04)
    wider = replace(session, parameters=replace(session.parameters, yarn=replace(session.parameters.yarn, spreading=2.0)))
    narrow, wide = (figures(quick(one, GRID, 1)).half_width_mm for one in (session, wider))
    assert 1.05 < wide / narrow < 1.45  # root 2 at most: the grain's own stain does not grow
