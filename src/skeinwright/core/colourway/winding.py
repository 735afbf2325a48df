"""On what circumference a colourway is dyed: where its first step that matters winds the skein anew, on that one and not on the base's own."""

from __future__ import annotations

from collections.abc import Sequence

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_step
from skeinwright.core.foundations.errors import ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits

LAY_DYE = frozenset({"add dye", "pour", "paint", "sprinkle", "dip", "ice", "top up"})
"""Steps that bring dye to the yarn, or what it is sprinkled on: the yarn lies in its vessel by then."""


def wound_for_dyeing(steps: Sequence[Step], *, habits: Habits = HABITS) -> float | None:
    """Once round in mm as a "re-skein" says it before any dye; None where there is none, or it does not say."""
    found = None
    for step in steps:
        if step.do in LAY_DYE:
            return found
        if step.do == "re-skein":
            try:
                said = read_step(step, habits=habits).quantity("round")
            except ManyBadInputs:
                continue
            found = found if said is None else said.value
    return None
