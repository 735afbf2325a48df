"""The pots of a lot over time, as they were run: temperature, pH, and what goes on each base."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.services.follow_lot import follow_lot
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.web.page import render, studio_of
from skeinwright.web.pot_view import shown_pot


def show(request: Request) -> Response:
    """Every pot of the lot."""
    studio = studio_of(request)
    view = get_lot(studio, str(request.path_params["code"]).upper())
    currency = get_settings(studio).currency
    pots = [(one.vessel, shown_pot(one.sheet, currency)) for one in follow_lot(studio, view.lot.code)]
    return render(request, "lots/pot.html", {"code": view.lot.code, "pots": pots, "begun": bool(view.entries)})
