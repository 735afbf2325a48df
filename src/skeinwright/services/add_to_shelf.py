"""Put a new thing on the shelf."""

from __future__ import annotations

from collections.abc import Mapping

from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.reading import read_item
from skeinwright.services.studio import Studio


def add_to_shelf(studio: Studio, kind: str, said: Mapping[str, str]) -> tuple[Kept[Item], Change]:
    """The new thing of `kind` from typed words by field name, and the change that can be taken back.

    Raises ManyBadInputs (`where` is the field) or Conflict where the name is taken.
    """
    with studio.store.writing() as writing:
        item = read_item(kind, said, habits=writing.settings().habits())
        kept = writing.add_item(item, now=studio.now())
        return kept, writing.made[-1]
