"""The pot's centre line alone, for a slider or a key that is held down: the quickest answer that the page asks for."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.services.follow_pot import follow_pot
from skeinwright.web.act import text
from skeinwright.web.colourway_form import colourway_in, kept_in, own_base
from skeinwright.web.page import render, studio_of
from skeinwright.web.pot_form import FIELDS, asked_in
from skeinwright.web.pot_view import shown_pot


def line(request: Request, form: FormData) -> Response:
    """The chart with its lines, without bands. Nothing is kept."""
    studio = studio_of(request)
    kept = kept_in(studio, form)
    colourway = colourway_in(form, kept.thing if kept else None)
    asked = asked_in({key: text(form, key) for key in FIELDS})
    sheet = follow_pot(studio, colourway, base=own_base(colourway, text(form, "shown")), draws=0, asked=asked.question)
    return render(request, "colourway/pot_line.html", {"pot": shown_pot(sheet, ""), "asked": asked})
