"""How a page is made: one template environment, and the few answers a page can give."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, cast

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import NoMatchFound

from skeinwright.core.foundations.errors import SkeinwrightError
from skeinwright.services.get_settings import get_settings
from skeinwright.services.studio import Studio
from skeinwright.web.notes import Note
from skeinwright.web.once import fresh_key

HERE = Path(__file__).parent
SCREENS = (
    ("today", "Today"),
    ("shelf", "Shelf"),
    ("colourways", "Colourways"),
    ("lots", "Lots"),
    ("stove", "Stove"),
    ("measure", "Measure"),
    ("ledger", "Ledger"),
)
"""The words of the navigation, in order, by route name. A word is shown only where its route exists."""

ALSO_UNDER = {"colourways": ("/recipes",), "shelf": ("/tests",)}
"""Pages that belong under a word of the navigation though their address does not."""


_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:mg|g|kg|oz|lb|ml|l|cups?|tbsp|tsp|drops?|mm|cm|m|in|s|min|h|C|F|C/min|%)(?![\w/]))")


def unbroken(text: str) -> str:
    """The text with each number kept on one line with its unit."""
    return _NUMBER_AND_UNIT.sub("\N{NO-BREAK SPACE}", text)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=select_autoescape(default_for_string=True, default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["unbroken"] = unbroken
    made.globals["version"] = version("skeinwright")
    made.globals["fresh_key"] = fresh_key
    return made


def studio_of(request: Request) -> Studio:
    """The open studio that the app was made for."""
    return cast(Studio, request.app.state.studio)


def is_fragment(request: Request) -> bool:
    """True where htmx asks for a part of a page, not for the page."""
    return request.headers.get("hx-request-type") == "partial"


def screens(request: Request) -> list[dict[str, Any]]:
    """The navigation's words with their addresses, leaving out what has no page yet."""
    shown = []
    for name, word in SCREENS:
        try:
            url = str(request.app.url_path_for(name))
        except NoMatchFound:
            continue
        shown.append({"word": word, "url": url, "here": any(is_below(request.url.path, place) for place in (url, *ALSO_UNDER.get(name, ())))})
    return shown


def is_below(here: str, url: str) -> bool:
    return here == url or (url != "/" and here.startswith(url + "/"))


def studio_name(request: Request) -> str:
    """What this studio is called on every page. A page must come up even where the settings cannot be read."""
    try:
        return get_settings(studio_of(request)).studio or "Your studio"
    except SkeinwrightError:
        return "Your studio"


def render(request: Request, template: str, context: Mapping[str, Any] | None = None, *, status: int = 200) -> HTMLResponse:
    """A page or fragment from `templates/`, with what every template may use.

    Every template has: `request`, `path_for(name, **parts)`, `csrf_token`, `screens`, `studio_name`, `today`, and `note` (what to offer Undo for, or None).
    """
    given: dict[str, Any] = {
        "request": request,
        "path_for": lambda name, **parts: str(request.app.url_path_for(name, **parts)),
        "csrf_token": request.scope.get("csrf_token", ""),
        "screens": screens(request),
        "today": studio_of(request).now().date(),
        "note": request.app.state.notes.read(request.query_params.get("note", "")),
        "studio_name": studio_name(request),
    }
    given.update(context or {})
    return HTMLResponse(_environment().get_template(template).render(given), status_code=status)


def go(request: Request, url: str, note: Note | None = None) -> Response:
    """Sends the browser on to `url` after something was done; the page there shows `note` with its Undo."""
    if note is not None:
        path, hash_, anchor = url.partition("#")
        url = f"{path}{'&' if '?' in path else '?'}note={request.app.state.notes.keep(note)}{hash_}{anchor}"
    if request.headers.get("hx-request") == "true":
        return Response(status_code=204, headers={"HX-Redirect": url})
    return RedirectResponse(url, status_code=303)


def back(text: str, default: str = "/") -> str:
    """A place inside this studio to go back to; anything that could lead out of it becomes `default`."""
    return text if text.startswith("/") and not text.startswith(("//", "/\\")) and "\n" not in text and "\r" not in text else default
