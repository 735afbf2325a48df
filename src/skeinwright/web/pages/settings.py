"""Settings: what this studio takes as given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.safety.drain import drain_limits
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.change_settings import change_settings, say_settings
from skeinwright.services.get_settings import get_settings
from skeinwright.web.act import texts
from skeinwright.web.forms import asks, form_from
from skeinwright.web.notes import Note, note_of
from skeinwright.web.page import go, render, studio_of

DRAIN = ("drain_low_ph", "drain_high_ph")


def show(request: Request) -> Response:
    """The settings as they stand."""
    return _page(request, say_settings(studio_of(request)))


def save(request: Request, form: FormData) -> Response:
    """Writes the settings down."""
    said = texts(form)
    try:
        _, change = change_settings(studio_of(request), said)
    except (BadInput, ManyBadInputs) as error:
        return _page(request, said, error)
    return go(request, str(request.app.url_path_for("settings")), note_of(change) or Note("The settings are as they were."))


def _page(request: Request, said: Mapping[str, str], error: BadInput | ManyBadInputs | None = None) -> Response:
    """The form; the help of the drain's limits is what slip and sheet say of them, as they are kept now."""
    asked = asks(Settings)
    kept = get_settings(studio_of(request))
    drain = drain_limits(kept).said
    asked |= {name: replace(asked[name], help=f"{asked[name].help} {drain}") for name in DRAIN}
    return render(request, "settings.html", {"form": form_from(asked, said, error=error), "is_demo": kept.demo}, status=422 if error else 200)
