"""Whether anybody has begun in this studio yet."""

from __future__ import annotations

from skeinwright.core.shelf.items import KINDS
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.studio import Studio


def is_first_start(studio: Studio) -> bool:
    """True while nothing was set up or set, put on the shelf or dyed: the moment to ask how to begin.

    `Settings.begun` says so by itself; a file of an earlier revision may not carry it, and is known by what differs from an empty one.
    """
    with studio.store.reading() as reading:
        if reading.settings() != Settings() or reading.changes(1) or reading.lots(limit=1):
            return False
        return not any(reading.items(kind) for kind in KINDS)
