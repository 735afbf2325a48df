"""A small invented studio for the tests of lots: dyes, a base, acids, water and two vessels."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.shelf.items import Acid, Auxiliary, Base, Dye, Item, Solution, Vessel, Water
from skeinwright.services.studio import Studio
from skeinwright.store.store import Store

START = datetime(2026, 11, 24, 9, 30, tzinfo=UTC)


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> datetime:
        return self.at

    def wait(self, minutes: float) -> None:
        self.at += timedelta(minutes=minutes)


def step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


ITEMS: tuple[Item, ...] = (
    Dye(name="Kelp", strength=0.8, batch="K7"),
    Dye(name="Ember"),
    Solution(name="Kelp 1 %", parts=(("Kelp", 1.0),), strength=0.01),
    Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, superwash=True, batch="7"),
    Acid(name="White vinegar", acid="vinegar", strength=0.05),
    Acid(name="Citric", acid="citric"),
    Water(name="Tap", alkalinity_mg_l=120, source="report"),
    Vessel(name="Big pot", shape="round", length_mm=320, height_mm=260, material="stainless steel"),
    Vessel(name="Old pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100, material="aluminium"),
    Auxiliary(name="Soft wash", does="wash"),
)

STEPS = (
    step("soak", time="30 min"),
    step("fill", volume="3 l"),
    step("add dye", solution="Kelp 1 %", depth="0.5 %"),
    step("add dye", dye="Ember", depth="0.2 %"),
    step("lay in"),
    step("add acid", acid="White vinegar", amount="30 ml"),
    step("heat", to="88 C", rate="1 C/min"),
    step("hold", time="30 min"),
    step("cool"),
    step("rinse", times="2"),
)

TIDEWRACK = Colourway(name="Tidewrack", fibre="100 g", bases=("Quay Sock",), water="Tap", vessel="Big pot", steps=STEPS)


@contextmanager
def studio_in(folder: Path) -> Iterator[tuple[Studio, Clock]]:
    """An open studio with the shelf above and the colourway Tidewrack."""
    clock = Clock()
    store = Store.open(folder / "lots.studio")
    try:
        with store.writing() as writing:
            for item in ITEMS:
                writing.add_item(item, now=START)
            writing.add_colourway(TIDEWRACK, now=START)
        yield Studio(folder / "lots.studio", store, folder / "photos", clock), clock
    finally:
        store.close()
