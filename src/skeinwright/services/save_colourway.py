"""Keep a colourway: a new one, or a new state of one that is kept."""

from __future__ import annotations

import dataclasses

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.reading import read_steps
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import Habits, parse_fibre
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.reading import read_name
from skeinwright.services.studio import Studio


def save_colourway(studio: Studio, colourway: Colourway, *, key: int | str | None = None, revision: int | None = None) -> tuple[Kept[Colourway], Change | None]:
    """The colourway as kept, and the change (None where nothing differs). `key` names the one it replaces; None makes a new one.

    Raises ManyBadInputs (`where` is "name", "fibre" or "step 3 (heat): to"), NotFound, or Conflict where the name is taken or it was changed elsewhere.
    """
    with studio.store.writing() as writing:
        colourway = checked(colourway, writing.settings().habits())
        if key is None:
            kept = writing.add_colourway(colourway, now=studio.now())
        else:
            kept = writing.replace_colourway(writing.colourway(key).id, colourway, revision=revision, now=studio.now())
        return kept, writing.made[-1] if writing.made else None


def checked(colourway: Colourway, habits: Habits) -> Colourway:
    """The colourway with its name tidied. Raises ManyBadInputs where its name, fibre or steps cannot be understood."""
    problems: list[BadInput] = []
    name = colourway.name
    try:
        name = read_name(colourway.name)
    except BadInput as problem:
        problems.append(problem)
    try:
        parse_fibre(colourway.fibre, skein_g=100.0, where="fibre", habits=habits)
    except BadInput as problem:
        problems.append(problem)
    try:
        read_steps(colourway.steps, habits=habits)
    except ManyBadInputs as many:
        problems += many.problems
    if len(set(map(str.casefold, colourway.bases))) != len(colourway.bases):
        problems.append(BadInput("A base is named twice.", where="bases"))
    if problems:
        raise ManyBadInputs(tuple(problems))
    return dataclasses.replace(colourway, name=name)
