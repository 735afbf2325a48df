"""The ground of one base for a recipe: its undyed yarn, or an earlier lot on it, with how its strand looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.no_base import NO_BASE
from skeinwright.services.find_ground import find_ground, lot_below
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.picture.look import StrandLook


@dataclass(frozen=True, kw_only=True, slots=True)
class BaseGround:
    """A base, the colour it has before it is dyed, and its look in a picture."""

    base: Base
    ground: Ground
    look: StrandLook


def find_base_ground(studio: Studio, base: str = "", over: str = "") -> BaseGround:
    """The ground of the base of that name ("": plain wool of assumed colour), undyed or as lot `over` left it.

    Raises BadInput where the base is not on the shelf, or what the lot looks like is not known.
    """
    from skeinwright.core.picture.look import look_of

    with studio.store.reading() as reading:
        shelf = shelf_for_lot(reading)
        found = shelf.find(Base, base) if base.strip() else NO_BASE
        if found is None:
            raise BadInput(f"{base.strip()} is not on the shelf.", where="base", text=base)
        lot, why = lot_below(reading, over)
        ground, missing = find_ground(reading, studio, found, lot, shelf)
    if why or missing:
        raise BadInput(why or missing, where="over", text=over)
    return BaseGround(base=found, ground=ground, look=look_of(found)[0])
