"""Says in which bath the colours of a recipe page come out: the swatches' own, or one of another liquor ratio."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from skeinwright.core.colourway.usual_bath import USUAL_BATH
from skeinwright.services._dosing import liquor_scale

if TYPE_CHECKING:
    from skeinwright.core.forecast.dye_facts import DyeFacts
    from skeinwright.core.forecast.liquor_scale import LiquorScale
    from skeinwright.core.shelf.items import Base

USUAL = f"{USUAL_BATH}, unless you made them otherwise"
AS_THE_SWATCHES = f"Dyed as your swatches were ({USUAL}): a cooler, shorter or less sour pot, or more water, comes out paler."
PLAIN = "The yarn is taken as plain wool."
FOR_THE_REST = f"Otherwise dyed as your swatches were ({USUAL})."


def say_bath(facts: DyeFacts, liquor: str, yarn: Base | None, given: Mapping[str, float] | None = None) -> str:
    """In a sentence or two. `given` are doses that stay as they are, the deepest of each dye; without them the doses are looked for, for this bath.

    Raises BadInput for a liquor ratio that is none.
    """
    scale = liquor_scale(facts, liquor, yarn)
    if scale is None:
        return AS_THE_SWATCHES
    looked_for = f"The doses are those for {scale.ratio:g}:1. {scale.not_known(sorted(dye.name for dye in facts.known))}".strip()
    return in_scale(scale, looked_for if given is None else scale.laid(given), yarn)


def in_scale(scale: LiquorScale | None, lead: str, yarn: Base | None) -> str:
    """The same where the scale is known already, and what it does is said (`lead`)."""
    if scale is None:
        return AS_THE_SWATCHES
    return " ".join([lead, *([] if yarn is not None else [PLAIN]), FOR_THE_REST])
