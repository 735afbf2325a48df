"""What was read from photos and kept."""

from __future__ import annotations

from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def list_readings(studio: Studio, lot: str = "", *, photo: int | None = None, limit: int | None = None) -> list[Kept[KeptReading]]:
    """Newest first; of one lot or one photo only where given."""
    with studio.store.reading() as reading:
        return reading.readings(lot=lot.upper(), photo=photo, limit=limit)
