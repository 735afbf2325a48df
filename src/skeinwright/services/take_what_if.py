"""Take one of the pairs that were tried: its two values are written into the colourway."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.factors import with_value
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio
from skeinwright.services.try_what_if import WhatIfRequest, read_what_if


def take_what_if(studio: Studio, request: WhatIfRequest, *, revision: int | None = None) -> tuple[Kept[Colourway], Change | None]:
    """The colourway with the one value that `request` names for each way, and the change that can be taken back (None where nothing differs).

    Raises as `read_what_if` does, and Conflict where the colourway is not of that `revision` any more.
    """
    asked = read_what_if(studio, request, fewest=1)
    if len(asked.down_values) != 1 or len(asked.across_values) != 1:
        raise BadInput("Name one value for each way.", where="down")
    changed = with_value(with_value(asked.colourway, asked.down, asked.down_values[0]), asked.across, asked.across_values[0])
    return save_colourway(studio, changed, key=request.colourway, revision=revision)
