"""Water that stands in the vessel before the first step that needs it."""

from __future__ import annotations

from collections.abc import Sequence

from skeinwright.core.colourway.colourway import Step

_BEFORE_THE_WATER = ("soak", "spin", "squeeze", "tie off", "open up", "re-skein", "hang", "note")
"""Steps that water which stands in the vessel does not meet when they come first."""


def standing_at(steps: Sequence[Step], standing: str) -> int | None:
    """The place (from 0) of the first step that needs the water which stands in the vessel; None where there is none, or a "fill" takes its place."""
    if not standing.strip() or any(step.do == "fill" for step in steps):
        return None
    return next((place for place, step in enumerate(steps) if step.do not in _BEFORE_THE_WATER), None)
