"""What is known of a dye on the shelf: its colour by depth, and how far that may be off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import fitted
from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.colour.ladder import DyeModel


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
