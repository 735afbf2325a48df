"""The lots of a studio, newest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.facts import LotLine


@dataclass(frozen=True, kw_only=True, slots=True)
class ListLots:
    """Which lots: words to look for, a standing ("planned", "under way", "finished", "from the notebook"), a colourway; and which page of the list."""

    search: str = ""
    status: str = ""
    colourway: str = ""
    limit: int = 50
    offset: int = 0


def list_lots(studio: Studio, request: ListLots = ListLots()) -> tuple[LotLine, ...]:
    """The lots, newest day first."""
    with studio.store.reading() as reading:
        return tuple(reading.lots(search=request.search, limit=request.limit, offset=request.offset, status=request.status, colourway=request.colourway))
