"""A sensible bath, written out as steps: common practice of the trade for acid dyes on wool."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step

USUAL_VOLUME = "30:1"
USUAL_BATH = f"{USUAL_VOLUME}, pH 4.5, half an hour at 88 °C"
"""The same in few words: what swatches count as dyed in where nothing else is known."""


def usual_bath(dyes: Sequence[Step], acid: str, volume: str = USUAL_VOLUME) -> tuple[Step, ...]:
    """The steps from soak to line with `dyes` (steps "add dye") in their place, `acid` as the shelf calls it, and a `volume` of water."""
    return (
        _step("soak", time="30 min"),
        _step("fill", volume=volume),
        *dyes,
        _step("lay in"),
        _step("heat", to="60 C", rate="1 C/min"),
        _step("add acid", acid=acid, amount="to pH 4.5"),
        _step("heat", to="88 C", rate="1 C/min"),
        _step("hold", time="30 min"),
        _step("cool", to="40 C"),
        _step("rinse", times="2"),
        _step("hang"),
    )


def _step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType({key: value for key, value in said.items() if value}))
