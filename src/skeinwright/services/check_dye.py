"""How well a dye's swatches agree: each against the model of all, and against the model of the others."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from skeinwright.core.forecast.dye_facts import fitted, spectrum_of
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Swatch
from skeinwright.services.model_dye import undyed_under
from skeinwright.services.studio import Studio


@dataclass(frozen=True, slots=True)
class RungCheck:
    """One rung: its depth (fraction), CIEDE2000 of the model to it, and of the model without it (None where it is the only one)."""

    depth: float
    residual_de00: float
    left_out_de00: float | None


def check_dye(studio: Studio, dye: Dye) -> tuple[RungCheck, ...]:
    """The rungs of a dye, pale to deep; empty where none has a depth above 0. Swatches of one depth and base count as one rung."""
    swatches = tuple(swatch for swatch in dye.swatches if swatch.depth > 0)
    return _checked(swatches, tuple(undyed_under(studio, swatch.base) for swatch in swatches)) if swatches else ()


@lru_cache(maxsize=128)
def _checked(swatches: tuple[Swatch, ...], undyed: tuple[Lab, ...]) -> tuple[RungCheck, ...]:
    import numpy as np

    from skeinwright.core.colour.ladder import leave_one_out

    model = fitted(swatches, undyed)
    left_out = leave_one_out(swatches, np.array([spectrum_of(lab) for lab in undyed]))
    others: tuple[float | None, ...] = left_out if len(left_out) == len(model.rungs) else (None,) * len(model.rungs)
    return tuple(RungCheck(depth, residual, other) for depth, residual, other in zip(model.rungs, model.residual_de00, others, strict=True))
