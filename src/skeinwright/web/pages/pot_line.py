"""The pot's centre line alone, for a slider or a key that is held down: the quickest answer that the page asks for."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.services.follow_pot import follow_pot
from skeinwright.services.get_colourway import get_colourway
from skeinwright.web.act import text
from skeinwright.web.colourway_form import colourway_in
from skeinwright.web.page import render, studio_of
from skeinwright.web.pot_form import FIELDS, asked_in
from skeinwright.web.pot_view import shown_pot


def line(request: Request, form: FormData) -> Response:
    """The chart with its lines, without bands. Nothing is kept."""
    studio, id = studio_of(request), text(form, "id")
    colourway = colourway_in(form, get_colourway(studio, int(id)).thing if id.isdigit() else None)
    asked = asked_in({key: text(form, key) for key in FIELDS})
    shown = text(form, "shown")
    sheet = follow_pot(studio, colourway, base=shown if shown in colourway.bases else None, draws=0, asked=asked.question)
    return render(request, "colourway/pot_line.html", {"pot": shown_pot(sheet, ""), "asked": asked})
