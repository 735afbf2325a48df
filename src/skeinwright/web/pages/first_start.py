"""First start: an empty studio or the invented one. Nothing else is asked."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.services.is_first_start import is_first_start
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.web.act import text
from skeinwright.web.page import go, render, studio_of

NAME = "My studio"
"""What a new studio is called until its dyer changes it in the settings."""


def show(request: Request) -> Response:
    """The one question; in a studio that was begun, the way back to Today."""
    if not is_first_start(studio_of(request)):
        return go(request, str(request.app.url_path_for("today")))
    return render(request, "start.html")


def begin(request: Request, form: FormData) -> Response:
    """Begins as asked."""
    demo = text(form, "with") == "demo"
    set_up_studio(studio_of(request), name="" if demo else NAME, demo=demo)
    return go(request, str(request.app.url_path_for("today")))
