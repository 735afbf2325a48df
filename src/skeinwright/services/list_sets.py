"""The sets of the studio."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def list_sets(studio: Studio, *, archived: bool = False) -> list[Kept[ColourwaySet]]:
    """By name; archived ones are among them only where asked."""
    with studio.store.reading() as reading:
        return reading.sets(archived=archived)
