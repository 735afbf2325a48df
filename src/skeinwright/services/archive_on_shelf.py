"""Put a thing of the shelf out of sight, or bring it back."""

from __future__ import annotations

from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio


def archive_on_shelf(studio: Studio, kind: str, key: int | str, *, archived: bool = True) -> tuple[Kept[Item], Change | None]:
    """The thing as it stands now, and the change (None where it stood so already). Raises NotFound."""
    with studio.store.writing() as writing:
        kept = writing.archive_item(kind, writing.item(kind, key).id, archived, now=studio.now())
        return kept, writing.made[-1] if writing.made else None
