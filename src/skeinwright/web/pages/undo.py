"""Undo: takes one change back, and can itself be taken back."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import Conflict
from skeinwright.services.undo_change import undo_change
from skeinwright.web.act import text
from skeinwright.web.notes import Note
from skeinwright.web.page import back, go, studio_of


def take_back(request: Request, form: FormData) -> Response:
    """Takes the change back and returns to the page that it was asked from; where that cannot be done, the page says why."""
    try:
        made = undo_change(studio_of(request), int(request.path_params["change"]))
    except Conflict as error:
        return go(request, back(text(form, "back")), Note(error.sentence))
    return go(request, back(text(form, "back")), Note(made.sentence, made.id))
