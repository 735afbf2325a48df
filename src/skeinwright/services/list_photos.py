"""The photos that the studio keeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.facts import PhotoFact


def list_photos(studio: Studio, limit: int = 60) -> tuple[PhotoFact, ...]:
    """The newest first."""
    with studio.store.reading() as reading:
        return tuple(reversed(reading.photos()[-limit:]))
