"""The file of a kept photo."""

from __future__ import annotations

from pathlib import Path

from skeinwright.services.studio import Studio


def find_photo(studio: Studio, photo_id: int, *, preview: bool = False) -> Path:
    """The path of its JPEG file, or of the small one. Raises NotFound."""
    from skeinwright.files.photos import photo_path

    with studio.store.reading() as reading:
        fact = reading.photo(photo_id)
    return photo_path(studio.photos, fact.preview if preview else fact.file)
