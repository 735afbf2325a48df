"""Take back what one test found, with what it had put on the shelf."""

from __future__ import annotations

from skeinwright.core.foundations.errors import Conflict
from skeinwright.core.shelf.kept import Change
from skeinwright.services.studio import Studio


def take_back_test(studio: Studio, calibration: int) -> tuple[Change, ...]:
    """The changes that took it back, which can themselves be taken back. All figures that one test gave at once go together.

    Raises NotFound for an unknown number, Conflict where a thing was changed by hand since, or was tested again: the later test comes first.
    """
    now = studio.now()
    with studio.store.writing() as writing:
        writing.calibration(calibration)
        together = writing.changes_with("calibration", calibration)
        if not together:
            raise Conflict("This result came with an import or a restored file, so there is no act to take back.")
        return tuple(writing.undo(change.id, now=now) for change in reversed(together))
