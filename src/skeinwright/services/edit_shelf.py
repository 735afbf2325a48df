"""Change a thing on the shelf."""

from __future__ import annotations

from collections.abc import Mapping

from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.reading import read_item
from skeinwright.services.studio import Studio


def edit_shelf(studio: Studio, kind: str, key: int | str, said: Mapping[str, str], *, revision: int | None = None) -> tuple[Kept[Item], Change | None]:
    """The thing as changed, and the change (None where nothing differs). Fields that are not said keep their value, swatches too.

    `revision` is the one the writer has seen (None: whatever it is). Raises ManyBadInputs, NotFound, or Conflict where it was changed elsewhere
    or the new name is taken; then nothing is changed.
    """
    with studio.store.writing() as writing:
        present = writing.item(kind, key)
        item = read_item(kind, {field: text for field, text in said.items() if field != "revision"}, habits=writing.settings().habits(), keep=present.thing)
        kept = writing.replace_item(kind, present.id, item, revision=revision, now=studio.now())
        return kept, writing.made[-1] if writing.made else None
