"""All things of one kind on the shelf."""

from __future__ import annotations

from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def list_shelf(studio: Studio, kind: str, *, archived: bool = False) -> list[Kept[Item]]:
    """By name; archived ones are among them only where asked. Raises NotFound for a kind that the shelf does not know."""
    with studio.store.reading() as reading:
        return reading.items(kind, archived=archived)
