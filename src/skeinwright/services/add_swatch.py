"""Add a swatch to a dye."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import cast

from skeinwright.core.shelf.items import Dye, Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.swatch_reading import read_swatch
from skeinwright.services.read_swatches import lab_of_hex
from skeinwright.services.studio import Studio


def add_swatch(studio: Studio, dye: int | str, said: Mapping[str, str], *, revision: int | None = None) -> tuple[Kept[Item], Change]:
    """The dye with one swatch more, kept in the order of depth, and the change; `said` as the core's `read_swatch` reads it.

    Raises ManyBadInputs, NotFound, Conflict.
    """
    with studio.store.writing() as writing:
        present = writing.item("dye", dye)
        typed = {field: text for field, text in said.items() if field != "revision"}
        swatch = read_swatch(typed, hex_to_lab=lab_of_hex, habits=writing.settings().habits())
        thing = cast(Dye, present.thing)
        swatches = tuple(sorted((*thing.swatches, swatch), key=lambda each: each.depth))
        kept = writing.replace_item("dye", present.id, dataclasses.replace(thing, swatches=swatches), revision=revision, now=studio.now())
        return kept, writing.made[-1]
