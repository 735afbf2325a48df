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
    """
    from skeinwright.store import backup as backups
    from skeinwright.store.versions import bring_up_to_date

    studio.store.close()
    restored = backups.restore(backup, studio.path, studio.photos)
    bring_up_to_date(studio.store.engine, studio.path)
    return restored
