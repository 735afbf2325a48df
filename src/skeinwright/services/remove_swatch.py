"""Take a swatch away from a dye."""

from __future__ import annotations

import dataclasses
from typing import cast

from skeinwright.core.foundations.errors import NotFound
from skeinwright.core.shelf.items import Dye, Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio


def remove_swatch(studio: Studio, dye: int | str, position: int, *, revision: int | None = None) -> tuple[Kept[Item], Change]:
    """The dye without its swatch at `position` (0 is the first), and the change. Raises NotFound, or Conflict where the dye was changed elsewhere."""
    with studio.store.writing() as writing:
        present = writing.item("dye", dye)
        thing = cast(Dye, present.thing)
        if not 0 <= position < len(thing.swatches):
            raise NotFound(f"{thing.name} has no swatch {position + 1}.")
        swatches = thing.swatches[:position] + thing.swatches[position + 1 :]
        kept = writing.replace_item("dye", present.id, dataclasses.replace(thing, swatches=swatches), revision=revision, now=studio.now())
        return kept, writing.made[-1]
