"""How sure the colours of chips are: of a map, of a triangle, each as if it were dyed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.services._dosing import forecast_weighed, liquor_scale

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base
    from skeinwright.services.reach_of_shelf import Chip


def forecast_chips(facts: DyeFacts, ground: Ground, chips: Sequence[Chip], *, liquor: str = "", yarn: Base | None = None, seed: int = 1) -> tuple[float, ...]:
    """The CIEDE2000 within which nine in ten come out, of each chip in order; its doses are as weighed out for the bath of `liquor` on `yarn`."""
    scale, models = liquor_scale(facts, liquor, yarn), facts.models()
    made = (forecast_weighed(facts, ground, chip.doses, scale, models=models, seed=seed) for chip in chips)
    return tuple(forecast.spread_de00 or 0.0 for forecast in made)
