"""Take one change of the shelf, a colourway, a set or the settings back."""

from __future__ import annotations

from skeinwright.core.shelf.kept import Change
from skeinwright.services.studio import Studio


def undo_change(studio: Studio, change_id: int) -> Change:
    """The change that took it back, which can itself be taken back. Raises NotFound, or Conflict where the thing was changed or used since."""
    with studio.store.writing() as writing:
        return writing.undo(change_id, now=studio.now())
