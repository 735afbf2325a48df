"""Settings: what this studio takes as given."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.change_settings import change_settings, say_settings
from skeinwright.web.act import texts
from skeinwright.web.forms import form_of
from skeinwright.web.notes import Note
from skeinwright.web.page import go, render, studio_of


def show(request: Request) -> Response:
    """The settings as they stand."""
    return render(request, "settings.html", {"form": form_of(Settings, say_settings(studio_of(request)))})


def save(request: Request, form: FormData) -> Response:
    """Writes the settings down."""
    said = texts(form)
    try:
        change_settings(studio_of(request), said)
    except (BadInput, ManyBadInputs) as error:
        return render(request, "settings.html", {"form": form_of(Settings, said, error=error)}, status=422)
    return go(request, str(request.app.url_path_for("settings")), Note("The settings are kept."))
