"""Find the lots that a request started when it came the first time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from skeinwright.core.lot.lot import Lot
from skeinwright.services.append_entry import check_key

if TYPE_CHECKING:
    from skeinwright.store.store import Reading


def find_started(reading: Reading, key: str) -> tuple[Lot, ...]:
    """The lots of the request of this `key`; empty where it is new or has no key. Raises BadInput for a key that no form makes.

    A form carries a key of its own, so a double tap, or a request that is sent again because its answer was lost, finds its lot here.
    """
    check_key(key)
    return tuple(reading.lots_by_key(key))
