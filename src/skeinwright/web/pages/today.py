"""Today: one column like a slate by the door. A section appears only when it has something."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import NoMatchFound

from skeinwright.services.is_first_start import is_first_start
from skeinwright.services.list_today import Slate, SlateLine, list_today
from skeinwright.web.page import render, studio_of


def show(request: Request) -> Response:
    """The slate; on the very first start, the one question that comes before it."""
    studio = studio_of(request)
    if is_first_start(studio):
        return RedirectResponse(str(request.app.url_path_for("start")), status_code=303)
    slate = list_today(studio)
    return render(request, "today.html", {"is_quiet": slate.is_quiet, "sections": _sections(request, slate), "starts": _starts(request)})


def _sections(request: Request, slate: Slate) -> list[dict[str, Any]]:
    named = (
        ("Hot now", slate.hot_now),
        ("Next", slate.next),
        ("Drying", slate.drying),
        ("To photograph", slate.to_photograph),
        ("Running low", slate.running_low),
    )
    return [{"title": title, "lines": [_line(request, line) for line in lines]} for title, lines in named if lines]


def _line(request: Request, line: SlateLine) -> dict[str, str]:
    url = _url(request, "lot", code=line.lot) if line.lot else _url(request, "shelf_edit", kind=line.kind, id=line.id)
    return {"what": line.what, "says": line.says, "url": url}


def _starts(request: Request) -> list[dict[str, str]]:
    """The starting points; one whose page does not exist is left out."""
    wanted = (
        ("colourway_new", "Write a colourway", "An idea as steps: what goes into the pot, and when. Amounts and a picture come as you write."),
        ("lot_unplanned", "Start a pot now", "Note what you do as you do it, and keep it as a colourway afterwards."),
        ("shelf", "Fill the shelf", "Your dyes with their swatches, your bases, acids, water and pots."),
        ("shelf_import", "Bring in what you have", "A spreadsheet of dyes, bases or swatches, row by row, with a look before anything is kept."),
    )
    return [{"url": url, "title": title, "text": text} for name, title, text in wanted if (url := _url(request, name))][:3]


def _url(request: Request, name: str, **parts: object) -> str:
    try:
        return str(request.app.url_path_for(name, **parts))
    except NoMatchFound:
        return ""
