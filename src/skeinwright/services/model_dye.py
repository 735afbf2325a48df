"""What is known of a dye on the shelf: its colour by depth, and how far that may be off."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.swatch import Lab, Swatch
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.ladder import DyeModel
    from skeinwright.core.colour.tables import Array

ASSUMED_UNDYED = Lab(93.0, 0.0, 8.0)
"""The undyed yarn under a swatch that names no base, assumed."""


def model_dye(studio: Studio, dye: Dye) -> DyeModel | None:
    """The model fitted to a dye's swatches, each on its own base; None where no swatch has a depth above 0."""
    if not any(swatch.depth > 0 for swatch in dye.swatches):
        return None
    return fitted(dye.swatches, tuple(undyed_under(studio, swatch.base) for swatch in dye.swatches))


def undyed_under(studio: Studio, base: str) -> Lab:
    """The undyed colour of the base that a swatch names, the assumed one where it is not known."""
    if not base:
        return ASSUMED_UNDYED
    with studio.store.reading() as reading:
        try:
            found = reading.item("base", base).thing
        except NotFound:
            return ASSUMED_UNDYED
    return found.undyed if isinstance(found, Base) and found.undyed is not None else ASSUMED_UNDYED


@lru_cache(maxsize=512)
def fitted(swatches: tuple[Swatch, ...], undyed: tuple[Lab, ...]) -> DyeModel:
    """The fit, kept by what went into it."""
    import numpy as np

    from skeinwright.core.colour.ladder import fit_dye

    return fit_dye(swatches, np.array([spectrum_of(lab) for lab in undyed]))


def spectrum_of(lab: Lab) -> Array:
    """The smoothest spectrum (31,) of an undyed yarn's Lab."""
    from skeinwright.core.colour.recover import recover

    return recover(lab).reflectance
