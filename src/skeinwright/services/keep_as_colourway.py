"""Keep what was done in a pot as a colourway."""

from __future__ import annotations

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.keep import keep
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.append_entry import open_record
from skeinwright.services.studio import Studio


def keep_as_colourway(studio: Studio, lot: str, name: str, *, vessel: str = "") -> tuple[Kept[Colourway], Change]:
    """A new colourway of the steps that were really done, and the change that can be undone.

    Raises BadInput where nothing was done or the name is empty, Conflict where it is taken.
    """
    if not name.strip():
        raise BadInput("Give the colourway a name.", where="name")
    with studio.store.writing() as writing:
        record = open_record(writing, lot)
        colourway = keep(record.lot, record.entries, name.strip(), vessel=vessel)
        return writing.add_colourway(colourway, now=studio.now()), writing.made[-1]
