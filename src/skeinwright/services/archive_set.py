"""Put a set out of sight, or bring it back."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio


def archive_set(studio: Studio, key: int | str, *, archived: bool = True) -> tuple[Kept[ColourwaySet], Change | None]:
    """The set as it stands now, and the change (None where it stood so already). Raises NotFound."""
    with studio.store.writing() as writing:
        kept = writing.archive_set(writing.set_(key).id, archived, now=studio.now())
        return kept, writing.made[-1] if writing.made else None
