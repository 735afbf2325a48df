"""Put a backup in the place of the studio."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.backup import Restored


def restore_studio(studio: Studio, backup: Path) -> Restored:
    """Checks the backup, keeps the present studio beside it under another name, and puts the one from the backup in its place.

    Raises BadInput where the backup is damaged, hostile or of a newer program, and Conflict where the studio is open elsewhere; then nothing has changed.
    The open `studio` goes on with what was restored.
    """
    studio.store.close()
    return restore_at(studio.path, studio.photos, backup)


def restore_at(path: Path, photos: Path, backup: Path) -> Restored:
    """The same for the studio file at `path`, which need not be there and need not be whole. Nobody may have it open."""
    from skeinwright.store import backup as backups
    from skeinwright.store.store import Store

    restored = backups.restore(backup, path, photos)
    Store.open(path).close()  # brings a backup of an older revision up to date
    return restored
