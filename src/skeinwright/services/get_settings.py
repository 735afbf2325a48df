"""The studio's settings."""

from __future__ import annotations

from skeinwright.core.shelf.settings import Settings
from skeinwright.services.studio import Studio


def get_settings(studio: Studio) -> Settings:
    """As they stand."""
    with studio.store.reading() as reading:
        return reading.settings()
