"""Copy a lot as new: the same plan under a fresh code."""

from __future__ import annotations

from datetime import date

from skeinwright.core.lot.copy import copy_of
from skeinwright.core.lot.lot import Lot
from skeinwright.core.lot.on_shelf import fact_of
from skeinwright.services.find_started import find_started
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio


def copy_lot(studio: Studio, code: str, *, day: date | None = None, key: str = "") -> Lot:
    """A new lot with the plan and rows of `code` and an empty record; what has changed on the shelf since stands in its warnings.

    `key` as in `find_started`.
    """
    with studio.store.writing() as writing:
        if first := find_started(writing, key):
            return first[0]
        old = writing.lot(code.strip().upper())
        shelf = shelf_for_lot(writing, "" if old.colourway is None else old.colourway.water)
        facts = [fact_of(item) for item in shelf.things.values()] + ([] if shelf.water is None else [fact_of(shelf.water)])
        new_day = day or studio.now().date()
        return writing.add_lot(copy_of(old, writing.free_lot_code(new_day), new_day, facts, key=key))
