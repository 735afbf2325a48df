"""Undo: takes changes back, and can itself be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlsplit

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.shelf.items import KINDS
from skeinwright.core.shelf.kept import Change
from skeinwright.services.undo_change import undo_change
from skeinwright.web.act import text
from skeinwright.web.notes import Note, note_of_many
from skeinwright.web.page import back, go, is_below, studio_of
from skeinwright.web.pages.shelf import drawer_of


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
        return go(request, _still_there(request, back(text(form, "back")), made), Note(error.sentence, tuple(change.id for change in made)))
    sentence = made[0].sentence if len(made) == 1 else f"Did {len(made)} changes again." if made[0].is_again else f"Took back {len(made)} changes."
    return go(request, _still_there(request, back(text(form, "back")), made), note_of_many(made, sentence))


def _still_there(request: Request, place: str, made: Sequence[Change]) -> str:
    """The page to return to: where the thing that it shows is gone by now, the list in which it was."""
    for change in made:
        path = _page_of(request, change)
        if change.after is None and path and is_below(urlsplit(place).path, path):
            return drawer_of(request, change.kind) if change.kind in KINDS else str(request.app.url_path_for("colourways"))
    return place


def _page_of(request: Request, change: Change) -> str:
    """The address of the thing that was changed; "" where it has no page of its own."""
    if change.kind in KINDS:
        return str(request.app.url_path_for("shelf_edit", kind=change.kind, id=change.thing_id))
    return str(request.app.url_path_for(change.kind, id=change.thing_id)) if change.kind in ("colourway", "set") else ""
