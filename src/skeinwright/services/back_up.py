"""Back the studio up."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.backup import BackedUp


def back_up(studio: Studio, target: Path | None = None) -> BackedUp:
    """Writes one file that holds the studio and its photos: to `target`, or named by the time into the folder `backups` beside the studio.

    A folder as `target` gets a file named by the time. Raises BadInput where the studio is damaged or the folder cannot be written.
    """
    from skeinwright.core.foundations.errors import BadInput
    from skeinwright.store import backup

    now = studio.now()
    name = f"{studio.path.stem}-{now:%Y-%m-%d-%H%M%S}.{backup.ENDING}"
    if target is None:
        target = studio.path.parent / "backups" / name
    elif target.is_dir():
        target = target / name
    try:
        return backup.back_up(studio.path, studio.photos, target, now=now)
    except OSError as error:
        raise BadInput(f"The backup cannot be written ({error.strerror or error}). Choose another folder.", where=str(target)) from error
