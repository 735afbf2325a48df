"""One lot: its plan, its record, and what both come to."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.lot.lot import Entry, Lot, Use
from skeinwright.core.lot.state import LotState, state_of
from skeinwright.services.studio import Studio


@dataclass(frozen=True, slots=True)
class LotView:
    """A lot as it stands."""

    lot: Lot
    state: LotState
    entries: tuple[Entry, ...]
    uses: tuple[Use, ...]


def get_lot(studio: Studio, code: str) -> LotView:
    """The lot with this code, in capitals or small letters. Raises NotFound."""
    with studio.store.reading() as reading:
        lot = reading.lot(code.strip().upper())
        entries, uses = tuple(reading.entries(lot.code)), tuple(reading.uses(lot.code))
    return LotView(lot, state_of(lot, entries), entries, uses)
