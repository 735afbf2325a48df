"""Take a kept reading of a photo back."""

from __future__ import annotations

from skeinwright.core.shelf.kept import Change
from skeinwright.services.studio import Studio


def forget_reading(studio: Studio, id: int) -> Change:
    """The change, which can itself be taken back. The photo stays. Raises NotFound."""
    with studio.store.writing() as writing:
        writing.forget_reading(id, now=studio.now())
        return writing.made[-1]
