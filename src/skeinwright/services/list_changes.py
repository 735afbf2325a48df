"""The newest changes of shelf, colourways and sets."""

from __future__ import annotations

from skeinwright.core.shelf.kept import Change
from skeinwright.services.studio import Studio


def list_changes(studio: Studio, limit: int = 50) -> list[Change]:
    """At most `limit` changes, newest first."""
    with studio.store.reading() as reading:
        return reading.changes(limit)
