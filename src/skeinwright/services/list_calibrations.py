"""What the dyer's own tests have found."""

from __future__ import annotations

from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.studio import Studio


def list_calibrations(studio: Studio, of_kind: str = "", of: str = "", quantity: str = "") -> list[Kept[Calibration]]:
    """Newest first; of one kind, one name (in any case) or one quantity only where given. The first of each quantity counts."""
    with studio.store.reading() as reading:
        return reading.calibrations(of_kind=of_kind, of=of, quantity=quantity)
