"""Keep what a test of the dyer's own found."""

from __future__ import annotations

from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio


def keep_calibration(studio: Studio, calibration: Calibration) -> tuple[Kept[Calibration], Change]:
    """It as kept, and the change that can be taken back. The newest one of a quantity counts, older ones stay to be read.

    Raises NotFound where what was tested is not on the shelf.
    """
    with studio.store.writing() as writing:
        kept = writing.add_calibration(calibration, now=studio.now())
        return kept, writing.made[-1]
