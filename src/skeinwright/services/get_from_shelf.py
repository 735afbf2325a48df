"""One thing from the shelf."""

from __future__ import annotations

from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def get_from_shelf(studio: Studio, kind: str, key: int | str) -> Kept[Item]:
    """By number, or by name in any case; archived or not. Raises NotFound."""
    with studio.store.reading() as reading:
        return reading.item(kind, key)
