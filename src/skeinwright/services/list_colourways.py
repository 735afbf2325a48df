"""The colourways of the studio."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def list_colourways(studio: Studio, search: str = "", *, archived: bool = False) -> list[Kept[Colourway]]:
    """By name; all words of `search` occur in name, notes, bases or steps. Archived ones are among them only where asked."""
    with studio.store.reading() as reading:
        return reading.colourways(search=search, archived=archived)
