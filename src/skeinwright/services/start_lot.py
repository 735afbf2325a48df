"""Start a lot from a colourway."""

from __future__ import annotations

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Lot
from skeinwright.services.draft_lot import RowWanted, StartLot, draft_with
from skeinwright.services.studio import Studio

__all__ = ["RowWanted", "StartLot", "start_lot"]


def start_lot(studio: Studio, request: StartLot) -> Lot:
    """Plan the lot, keep it and return it.

    Raises BadInput where a step cannot be read, a vessel would run over, or something must not be done together (then nothing is written).
    """
    with studio.store.writing() as writing:
        drafted = draft_with(writing, studio, request)
        if drafted.refused:
            raise BadInput(" ".join(drafted.refused), where="steps")
        return writing.add_lot(drafted.lot)
