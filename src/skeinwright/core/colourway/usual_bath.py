"""A sensible bath, written out as steps: common practice of the trade for acid dyes on wool."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step


def usual_bath(dyes: Sequence[Step], acid: str) -> tuple[Step, ...]:
    """The steps from soak to line with `dyes` (steps "add dye") in their place and `acid` as the shelf calls it."""
    return (
        _step("soak", time="30 min"),
        _step("fill", volume="30:1"),
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
