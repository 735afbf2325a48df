"""The shelf as a lot is planned with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.lot.on_shelf import OnShelf, on_shelf
from skeinwright.core.safety.drain import drain_limits
from skeinwright.core.shelf.items import Item, Water

if TYPE_CHECKING:
    from skeinwright.store.store import Reading

_KINDS = ("dye", "solution", "blend", "auxiliary", "leftover", "acid", "base", "vessel", "heat")


def shelf_for_lot(reading: Reading, water: str = "") -> OnShelf:
    """All dyes, acids, bases, vessels and heat sources, with the named water (the only one, where none is named and there is one), and the
    dyer's own tests."""
    items: list[Item] = [kept.thing for kind in _KINDS for kept in reading.items(kind, archived=True)]
    settings = reading.settings()
    tests = [kept.thing for kept in reading.calibrations()]
    return on_shelf(items, water=_water(reading, water), habits=settings.habits(), drain=drain_limits(settings), calibrations=tests)


def _water(reading: Reading, name: str) -> Water | None:
    if name:
        try:
            found = reading.item("water", name).thing
        except NotFound:
            return None
        return found if isinstance(found, Water) else None
    waters = [kept.thing for kept in reading.items("water")]
    return waters[0] if len(waters) == 1 and isinstance(waters[0], Water) else None
