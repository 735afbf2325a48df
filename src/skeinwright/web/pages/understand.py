"""What a typed value was understood as: the small answer that stands below a field after it was left."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.understand_text import understand_text
from skeinwright.web.page import render, studio_of


def show(request: Request) -> Response:
    """The value as understood, or the sentence that says why it cannot be read. `field` names the value among the query's parameters."""
    query = request.query_params
    field = query.get("field", "text")
    text = query.get(field, query.get("text", ""))
    try:
        understood, wrong = understand_text(studio_of(request), query.get("kind", ""), text[:2000], field), ""
    except BadInput as error:
        understood, wrong = "", error.sentence
    return render(request, "understood.html", {"understood": understood, "typed": text.strip(), "wrong": wrong})
