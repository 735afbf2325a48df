"""Undo: takes changes back, and can itself be taken back."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.shelf.kept import Change
from skeinwright.services.undo_change import undo_change
from skeinwright.web.act import text
from skeinwright.web.notes import Note, note_of_many
from skeinwright.web.page import back, go, studio_of


def take_back(request: Request, form: FormData) -> Response:
    """Takes the changes back, the last one first, and returns to the page that it was asked from; where that cannot be done, the page says why."""
    numbers = text(form, "changes").split(",")
    if not all(number.isdigit() for number in numbers):
        raise BadInput("There is no such change to take back.")
    made: list[Change] = []
    try:
        for number in reversed(numbers):
            made.append(undo_change(studio_of(request), int(number)))
    except Conflict as error:
        return go(request, back(text(form, "back")), Note(error.sentence, tuple(change.id for change in made)))
    sentence = made[0].sentence if len(made) == 1 else f"Took back {len(made)} changes."
    return go(request, back(text(form, "back")), note_of_many(made, sentence))
