"""Laws of a lot's plan: scaling the goods scales every dose, and how the skeins are split into rows changes nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lot_studio import ITEMS, step
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.lot.depths import step_depths
from skeinwright.core.lot.figures import totals_of
from skeinwright.core.lot.lot import Entered, Entry, Lot, Row
from skeinwright.core.lot.on_shelf import on_shelf
from skeinwright.core.lot.plan import draft_of
from skeinwright.core.lot.state import state_of
from skeinwright.core.lot.wet_yarn import Weighed, weighed_wet, wet_yarn_ml
from skeinwright.core.shelf.items import Dye, Solution, Water

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


@settings(deadline=None, max_examples=40)
@given(st.integers(1, 6), st.floats(20, 200), st.floats(5, 60), st.booleans(), st.booleans(), st.floats(0, 0.02), st.floats(0, 60), st.floats(0.2, 4.0))
def test_the_water_balance_closes(
    skeins: int, skein_g: float, ratio: float, soaked: bool, spun: bool, depth: float, vinegar_ml: float, wet_ml_g: float
) -> None:
    """Water run in + wet yarn + solutions + acid = all the liquor; and with the yarn weighed, the same with what it really brings."""
    before = ([step("soak", time="20 min")] if soaked else []) + ([step("spin")] if soaked and spun else [])
    after = [step("add dye", solution="Kelp 1 %", depth=f"{100 * depth:.6f} %"), step("add acid", acid="White vinegar", amount=f"{vinegar_ml:.6f} ml")]
    steps = (*before, step("fill", volume=f"{ratio:.6f}:1"), *after)
    row = Row(number=1, base="Quay Sock", skeins=skeins, skein_g=skein_g, vessel="P")
    plan = draft_of(Colourway(name="Trial", fibre="100 g", bases=("Quay Sock",), steps=steps), (row,), SHELF, today=date(2026, 11, 24)).plan
    liquids = [dose.amount for planned in plan for dose in planned.doses if dose.unit == "ml"]
    fibre_g = skeins * skein_g
    wet = wet_yarn_ml(before, fibre_g)
    brought = (0.0 if wet is None else wet.value) + sum(liquids[1:])
    total = fibre_g * round(ratio, 6)
    assert sum(liquids[1:]) == pytest.approx(0.01 * vinegar_ml * fibre_g + fibre_g * depth / 0.8 / 0.01, rel=1e-4, abs=0.01)
    assert liquids[0] + brought == pytest.approx(max(total, brought), rel=1e-6)
    if wet is None or liquids[0] == 0:
        return
    now = datetime(2026, 11, 24, tzinfo=UTC)
    lot = Lot(code="2026-11-24-A", day=date(2026, 11, 24), title="Trial", colourway=None, rows=(row,), plan=plan)
    weighed = Entry(lot=lot.code, what=Entered.WET_WEIGHT, at=now, entered_at=now, value=fibre_g * (1 + wet_ml_g), unit="g")
    found = weighed_wet(lot, state_of(lot, [weighed]))["P"]
    assert isinstance(found, Weighed)
    others = found.brings_ml + sum(liquids[1:])
    assert found.brings_ml == pytest.approx(fibre_g * wet_ml_g)
    assert sum(found.water_ml.values()) + others == pytest.approx(max(total, others), rel=1e-6)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.floats(0.05, 1.0), st.floats(0.2, 2.0)), min_size=1, max_size=4),
    st.floats(0.001, 0.04),
    st.floats(0.0005, 0.03),
    st.floats(20, 400),
    st.floats(1, 400),
)
def test_a_mixed_solution_gives_the_depth_that_was_asked_for(
    parts: list[tuple[float, float]], strength: float, depth: float, fibre_g: float, volume_ml: float
) -> None:
    """The millilitres measured out (scaling) and the depths forecast (depths) agree, whatever the strengths of the dyes in the bottle.

    By depth: the depths of its dyes add up to what was asked, in the ratio of share x strength. By volume: each is ml x strength of the solution
    x share x strength of the dye / fibre.
    """
    total = sum(share for share, _ in parts)
    shares = {f"Dye {number}": (share / total, dye_strength) for number, (share, dye_strength) in enumerate(parts)}
    dyes = [Dye(name=name, strength=dye_strength) for name, (_, dye_strength) in shares.items()]
    mix = Solution(name="Mix", parts=tuple((name, share) for name, (share, _) in shares.items()), strength=strength)
    shelf = on_shelf([*ITEMS, *dyes, mix], water=SHELF.water)
    steps = (step("add dye", solution="Mix", depth=f"{100 * depth:.9f} %"), step("add dye", solution="Mix", amount=f"{volume_ml:.6f} ml"))
    colourway = Colourway(name="Trial", fibre=f"{fibre_g:.6f} g", bases=("Quay Sock",), steps=steps)
    row = Row(number=1, base="Quay Sock", skeins=1, skein_g=fibre_g, vessel="P")
    plan = draft_of(colourway, (row,), shelf, today=date(2026, 11, 24)).plan
    (_, by_depth), (_, by_volume) = step_depths(plan, fibre_g, shelf)
    assert sum(by_depth.values()) == pytest.approx(depth, rel=1e-5)
    weights = {name: share * dye_strength for name, (share, dye_strength) in shares.items()}
    assert by_depth == pytest.approx({name: depth * weight / sum(weights.values()) for name, weight in weights.items()}, rel=1e-5)
    assert by_volume == pytest.approx({name: volume_ml * strength * weight / fibre_g for name, weight in weights.items()}, rel=1e-4)
    assert {one.name: one.depth for one in totals_of(plan, fibre_g, shelf)} == pytest.approx(
        {name: by_depth[name] + by_volume[name] for name in weights}, rel=1e-9
    )
