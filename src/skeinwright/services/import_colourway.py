"""Keep the colourway that a TOML file describes."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.reading import read_colourway_document, swatch_files
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.swatch import Swatch
from skeinwright.files.documents import read_document
from skeinwright.services.read_swatches import read_swatches
from skeinwright.services.studio import Studio


def import_colourway(
    studio: Studio, data: bytes, *, name: str = "the file", swatches: Mapping[str, bytes] | None = None, replace: bool = False
) -> tuple[Kept[Colourway], Change | None]:
    """The colourway as kept, and the change. `swatches` holds the CSV files that the document names for its dyes, by the name as written there.

    With `replace`, one of the same name is replaced; otherwise that is a Conflict. Raises BadInput or ManyBadInputs where the file is wrong.
    """
    with studio.store.writing() as writing:
        colourway = understand_colourway(data, name=name, swatches=swatches, habits=writing.settings().habits())
        try:
            present = writing.colourway(colourway.name) if replace else None
        except NotFound:
            present = None
        if present is None:
            kept = writing.add_colourway(colourway, now=studio.now())
        else:
            kept = writing.replace_colourway(present.id, dataclasses.replace(colourway, name=present.thing.name), revision=present.revision, now=studio.now())
        return kept, writing.made[-1] if writing.made else None


def understand_colourway(data: bytes, *, name: str = "the file", swatches: Mapping[str, bytes] | None = None, habits: Habits = HABITS) -> Colourway:
    """The colourway in the TOML `data`, without keeping it. Raises BadInput or ManyBadInputs."""
    document = read_document(data, name=name)
    by_dye: dict[str, Sequence[Swatch]] = {}
    for dye, file in swatch_files(document).items():
        if swatches is None or file not in swatches:
            raise BadInput(f"The file names '{file}' for the swatches of {dye}. Give it too, or write the swatches into the file.", where=name)
        by_dye[dye] = _of_dye(dye, file, swatches[file])
    return read_colourway_document(document, swatches=by_dye, habits=habits)


def _of_dye(dye: str, file: str, data: bytes) -> tuple[Swatch, ...]:
    rows = read_swatches(data, name=file)
    if problems := tuple(problem for row in rows for problem in row.problems):
        raise ManyBadInputs(problems)
    return tuple(row.swatch for row in rows if row.swatch is not None and not row.is_undyed and row.dye.casefold() == dye.casefold())
