"""On what circumference yarn is dyed: one reading of the steps, for the map and for the knitting page."""

from __future__ import annotations

from types import MappingProxyType

import pytest

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.winding import wound_for_dyeing
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.on_skein import wound_first
from skeinwright.core.shelf.items import Base


def step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


PAINT = step("paint", dye="Kelp", amount="0.5 g", over="all")
CASES = (
    ((step("re-skein", round="3 m"), PAINT), 3000.0),
    ((step("re-skein", round="3 m"), step("soak", time="30 min"), step("re-skein", round="12 m"), PAINT), 12_000.0),
    ((PAINT, step("re-skein", round="3 m")), None),
    ((step("ice", amount="500 g"), step("re-skein", round="3 m"), PAINT), None),
    ((step("re-skein"), PAINT), None),
    ((step("re-skein", round="a long way"), PAINT), None),
    ((), None),
)


@pytest.mark.parametrize(("steps", "round_mm"), CASES)
def test_the_last_winding_before_any_dye_counts(steps: tuple[Step, ...], round_mm: float | None) -> None:
    base = Base(name="Quay Sock", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=400_000.0, round_mm=1500.0)
    assert wound_for_dyeing(steps) == round_mm
    assert wound_first(base, steps, OnShelf()).round_mm == (round_mm or 1500.0)
