"""Minutes of open powder: planned from the steps, logged from the ticks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from lot_studio import Clock, step, studio_in
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.services.draft_lot import StartLot
from skeinwright.services.get_lot_sheet import get_lot_sheet
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.start_lot import start_lot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step

STEPS = (
    step("lay in"),
    step("sprinkle", dye="Ember", amount="0.1 g"),
    step("wait", time="10 min"),
    step("sprinkle", dye="Ember", amount="0.1 g"),
    step("hang"),
)


@pytest.fixture
def open_(tmp_path: Path) -> Iterator[tuple[Studio, Clock]]:
    with studio_in(tmp_path) as both:
        yield both


def _start(studio: Studio, steps: tuple) -> str:  # type: ignore[type-arg]
    colourway = Colourway(name="Powder", fibre="100 g", bases=("Quay Sock",), vessel="Old pan", water_volume="1 l", steps=steps)
    save_colourway(studio, colourway)
    lot = start_lot(studio, StartLot(colourway="Powder"))
    return (lot[0] if isinstance(lot, tuple) else lot).code


def test_it_counts_from_tick_to_tick_and_a_pause_is_not_powder(open_: tuple[Studio, Clock]) -> None:
    studio, clock = open_
    code = _start(studio, STEPS)
    assert get_lot_sheet(studio, code)["open_powder"] == "Open powder: 4 min planned in 2 steps."
    tick_step(studio, TickStep(lot=code, steps=(1,)))
    clock.wait(3)
    tick_step(studio, TickStep(lot=code, steps=(2,)))
    assert get_lot_sheet(studio, code)["open_powder"] == "Open powder: 4 min planned in 2 steps; 3 min at most in the 1 done."
    clock.wait(10)
    tick_step(studio, TickStep(lot=code, steps=(3,)))
    clock.wait(90)  # lunch
    tick_step(studio, TickStep(lot=code, steps=(4,)))
    assert get_lot_sheet(studio, code)["open_powder"] == "Open powder: 4 min planned in 2 steps; 5 min at most in the 2 done."


def test_taps_in_one_breath_are_told_as_a_minute(open_: tuple[Studio, Clock]) -> None:
    studio, clock = open_
    code = _start(studio, STEPS)
    tick_step(studio, TickStep(lot=code, steps=(1,)))
    clock.wait(0.01)
    tick_step(studio, TickStep(lot=code, steps=(2,)))
    assert get_lot_sheet(studio, code)["open_powder"].endswith("; 1 min at most in the 1 done.")


def test_a_bath_opens_none(open_: tuple[Studio, Clock]) -> None:
    studio, _ = open_
    assert get_lot_sheet(studio, _start(studio, (step("fill", volume="3 l"), step("lay in"))))["open_powder"] == ""
