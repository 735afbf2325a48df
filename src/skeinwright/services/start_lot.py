"""Start a lot from a colourway."""

from __future__ import annotations

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.lot import Lot
from skeinwright.services.draft_lot import RowWanted, StartLot, draft_with
from skeinwright.services.find_started import find_started
from skeinwright.services.studio import Studio

__all__ = ["RowWanted", "StartLot", "start_lot"]


def start_lot(studio: Studio, request: StartLot) -> Lot:
    """Plan the lot, keep it and return it; the same request sent again (same `key`) returns the lot that it started the first time.

    Raises BadInput where a step cannot be read, a vessel would run over, or something must not be done together (then nothing is written).
    """
    with studio.store.writing() as writing:
        if first := find_started(writing, request.key):
            return first[0]
        drafted = draft_with(writing, studio, request)
        if drafted.refused:
            raise BadInput(" ".join(drafted.refused), where="steps")
        return writing.add_lot(drafted.lot)
