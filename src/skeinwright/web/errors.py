"""Errors, caught once: a sentence fit to be read, as a page or as a fragment that can stand where the answer was to stand."""

from __future__ import annotations

from html import escape

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound, PhotoRefused, SkeinwrightError
from skeinwright.web.headers import HEADERS
from skeinwright.web.page import is_fragment, render

STATUS: dict[type[SkeinwrightError], int] = {NotFound: 404, Conflict: 409, BadInput: 422, ManyBadInputs: 422, PhotoRefused: 422}
TITLES = {
    403: "Not from here",
    404: "Not here",
    405: "Not so",
    409: "Changed meanwhile",
    413: "Too large",
    422: "That could not be read",
    500: "Something went wrong",
}
GENERAL = {
    404: "There is nothing at this address. It may have been renamed.",
    405: "This address cannot be used in that way.",
    413: "That is larger than the studio takes at once. Nothing was changed.",
    500: "The studio made a mistake. Nothing was written down half; go back and try again. What happened is printed in the window that runs the studio.",
}


def status_of(error: SkeinwrightError) -> int:
    """The HTTP status that goes with an error of ours."""
    return next((status for kind, status in STATUS.items() if isinstance(error, kind)), 422)


def plain(status: int, sentence: str) -> HTMLResponse:
    """An answer that needs neither studio nor templates, for what is refused at the door."""
    title = TITLES.get(status, "Not from here")
    return HTMLResponse(
        f"<!doctype html><html lang=en><meta charset=utf-8><title>{escape(title)}</title>"
        "<meta name=viewport content='width=device-width'>"
        "<link rel=stylesheet href=/static/skeinwright.css>"
        f"<main class='sheet'><h1>{escape(title)}</h1><p>{escape(sentence)}</p><p><a href=/>Today</a></p></main></html>",
        status_code=status,
    )


def show(request: Request, status: int, sentence: str) -> Response:
    """The error as a fragment for htmx, or as a page."""
    template = "error_fragment.html" if is_fragment(request) else "error.html"
    return render(request, template, {"title": TITLES.get(status, "Something went wrong"), "sentence": sentence}, status=status)


def on_known(request: Request, error: Exception) -> Response:
    """An error that the program raised on purpose: its own sentence."""
    assert isinstance(error, SkeinwrightError)
    return show(request, status_of(error), str(error))


def on_http(request: Request, error: Exception) -> Response:
    """An error of the web itself, such as an address that does not exist."""
    assert isinstance(error, HTTPException)
    return show(request, error.status_code, GENERAL.get(error.status_code, str(error.detail)))


def on_too_large(request: Request, error: Exception) -> Response:
    """More was sent than is taken."""
    return show(request, 413, GENERAL[413])


def on_unknown(request: Request, error: Exception) -> Response:
    """A mistake of ours. It is shown without details; the server prints them."""
    answer = show(request, 500, GENERAL[500])
    answer.headers.update(HEADERS)  # this one is made outside the guard
    return answer
