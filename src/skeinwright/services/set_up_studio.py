"""Set a studio up at its first start: empty, or as the invented demo."""

from __future__ import annotations

import dataclasses
from importlib import resources
from importlib.resources.abc import Traversable

from skeinwright.core.foundations.errors import Conflict, ManyBadInputs
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.import_colourway import understand_colourway
from skeinwright.services.preview_shelf_import import ShelfFile, preview_with
from skeinwright.services.studio import Studio


def set_up_studio(studio: Studio, *, name: str = "", demo: bool = False) -> Settings:
    """Writes the settings of a new studio; with `demo`, fills it from the files in `skeinwright/demo` and marks it as invented.

    All in one transaction. Raises Conflict where anything is in the studio already.
    """
    with studio.store.writing() as writing:
        if writing.changes(1) or writing.lots(limit=1):
            raise Conflict("This studio has been begun already. The command demo makes the invented one in a file of its own.")
        settings = dataclasses.replace(writing.settings(), studio=name.strip() or ("Demo studio (invented)" if demo else ""), demo=demo, begun=True)
        writing.set_settings(settings)
        beside = {file.name: file.read_bytes() for file in _demo_files(".csv")} if demo else {}
        for file in _demo_files(".toml") if demo else ():
            preview = preview_with(writing, ShelfFile(data=file.read_bytes(), name=file.name, beside=beside))
            if problems := tuple(problem for row in preview.rows for problem in row.problems):
                raise ManyBadInputs(problems)
            for row in preview.rows:
                assert row.thing is not None
                if row.present is None:
                    writing.add_item(row.thing, now=studio.now())
                else:
                    writing.replace_item(row.kind, row.present.id, row.thing, revision=None, now=studio.now())
        for file in _demo_files(".toml", "colourways") if demo else ():
            writing.add_colourway(understand_colourway(file.read_bytes(), name=file.name, swatches=beside, habits=settings.habits()), now=studio.now())
        return settings


def demo_folder() -> Traversable:
    """Where the invented studio lies as files."""
    return resources.files("skeinwright") / "demo"


def _demo_files(ending: str, folder: str = "") -> list[Traversable]:
    """The files of the demo with this ending, by name."""
    place = demo_folder() / folder
    return sorted((file for file in place.iterdir() if file.name.endswith(ending)), key=lambda file: file.name) if place.is_dir() else []
