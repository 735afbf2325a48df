"""One colourway."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def get_colourway(studio: Studio, key: int | str) -> Kept[Colourway]:
    """By number, or by name in any case; archived or not. Raises NotFound."""
    with studio.store.reading() as reading:
        return reading.colourway(key)
