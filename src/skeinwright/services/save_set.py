"""Keep a set: colourways in order."""

from __future__ import annotations

import dataclasses

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.reading import read_name
from skeinwright.services.studio import Studio


def save_set(
    studio: Studio, colourway_set: ColourwaySet, *, key: int | str | None = None, revision: int | None = None
) -> tuple[Kept[ColourwaySet], Change | None]:
    """The set as kept, and the change (None where nothing differs). `key` names the one it replaces; None makes a new one.

    Its colourways are named as they are kept. Raises BadInput where one is unknown, Conflict where the name is taken or the set was changed elsewhere.
    """
    with studio.store.writing() as writing:
        try:
            members = tuple(writing.colourway(name).thing.name for name in colourway_set.colourways)
        except NotFound as problem:
            raise BadInput(problem.sentence, where="colourways") from problem
        checked = dataclasses.replace(colourway_set, name=read_name(colourway_set.name), colourways=members)
        kept = (
            writing.add_set(checked, now=studio.now())
            if key is None
            else writing.replace_set(writing.set_(key).id, checked, revision=revision, now=studio.now())
        )
        return kept, writing.made[-1] if writing.made else None
