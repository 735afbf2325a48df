"""Laws of a lot's plan: scaling the goods scales every dose, and how the skeins are split into rows changes nothing."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lot_studio import ITEMS, step
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.lot.lot import Row
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.plan import draft_of
from skeinwright.core.shelf.items import Water

SHELF = on_shelf(ITEMS, water=next(item for item in ITEMS if isinstance(item, Water)))
STEPS = (
    step("fill", volume="30:1"),
    step("add dye", solution="Kelp 1 %", depth="0.5 %"),
    step("add dye", recipe="3 Kelp : 1 Ember", depth="0.4 %"),
    step("add dye", dye="Ember", amount="0.2 g per skein"),
    step("add acid", acid="Citric", amount="1 g"),
    step("add acid", acid="White vinegar", amount="to pH 4.2"),
    step("add water", volume="300 ml"),
    step("add wetter", what="Soft wash", amount="1 tsp"),
    step("sprinkle", dye="Kelp", amount="0.15 g"),
)
COLOURWAY = Colourway(name="Trial", fibre="100 g", bases=("Quay Sock",), steps=STEPS)


def amounts(*rows: tuple[int, float, str]) -> dict[tuple[int, str, str], float]:
    """Doses by (step, vessel, name); the vessels are not on the shelf, so any amount fits."""
    made = tuple(Row(number=at, base="Quay Sock", skeins=skeins, skein_g=skein_g, vessel=vessel) for at, (skeins, skein_g, vessel) in enumerate(rows, start=1))
    plan = draft_of(COLOURWAY, made, SHELF, today=date(2026, 11, 24)).plan
    return {(planned.number, dose.vessel, dose.name): dose.amount for planned in plan for dose in planned.doses}


@settings(deadline=None, max_examples=15)
@given(st.integers(1, 20), st.floats(20, 200), st.integers(2, 5))
def test_n_times_the_skeins_take_n_times_of_everything(skeins: int, skein_g: float, times: int) -> None:
    one, many = amounts((skeins, skein_g, "P")), amounts((times * skeins, skein_g, "P"))
    assert many == pytest.approx({key: times * amount for key, amount in one.items()}, rel=1e-6)
    assert all(amount > 0 for amount in one.values())


@settings(deadline=None, max_examples=15)
@given(st.lists(st.integers(1, 6), min_size=2, max_size=4), st.floats(20, 200))
def test_rows_of_one_vessel_are_one_load(parts: list[int], skein_g: float) -> None:
    assert amounts(*((skeins, skein_g, "P") for skeins in parts)) == pytest.approx(amounts((sum(parts), skein_g, "P")), rel=1e-9)


@settings(deadline=None, max_examples=15)
@given(st.integers(1, 6), st.integers(1, 6), st.floats(20, 200))
def test_a_vessel_does_not_mind_the_other(first: int, second: int, skein_g: float) -> None:
    both = amounts((first, skein_g, "P"), (second, skein_g, "Q"))
    assert both == pytest.approx(amounts((first, skein_g, "P")) | amounts((second, skein_g, "Q")), rel=1e-9)
