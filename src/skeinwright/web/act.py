"""How a URL that changes something is made: its form is read within limits, its token is checked, and only then the page's function runs."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from skeinwright.core.foundations.errors import BadInput
from skeinwright.web import errors
from skeinwright.web.headers import FIELD, HEADER
from skeinwright.web.security import is_token_right

MAX_FIELDS = 600
MAX_FILES = 12
MAX_TEXT_BYTES = 512 * 1024
TOO_OLD = "The page was too old to be trusted, so nothing was changed. Go back, reload it and do it again."

Show = Callable[[Request], Response]
Act = Callable[[Request, FormData], Response]


def shows(path: str, function: Show, name: str) -> Route:
    """A URL that only shows."""
    return Route(path, function, methods=["GET"], name=name)


def acts(path: str, function: Act, name: str) -> Route:
    """A URL that changes something: POST, with the token. `function` gets the request and its form, and runs in a thread of its own."""
    return Route(path, _checked(function), methods=["POST"], name=name)


def _checked(function: Act) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        async with request.form(max_files=MAX_FILES, max_fields=MAX_FIELDS, max_part_size=MAX_TEXT_BYTES) as form:
            given = request.headers.get(HEADER) or str(form.get(FIELD, ""))
            if not is_token_right(request.scope, given):
                return errors.show(request, 403, TOO_OLD)
            return await run_in_threadpool(function, request, form)

    return endpoint


def text(form: FormData, key: str) -> str:
    """A typed value, without blanks around it, "" where it was not sent."""
    value = form.get(key, "")
    return value.strip() if isinstance(value, str) else ""


def texts(form: FormData) -> dict[str, str]:
    """Everything typed, by field."""
    return {key: value.strip() for key, value in form.items() if isinstance(value, str) and key != FIELD}


def upload(form: FormData, key: str, *, what: str = "a file") -> tuple[str, bytes]:
    """(name, content) of an uploaded file."""
    value = form.get(key)
    if not isinstance(value, UploadFile) or not value.filename:
        raise BadInput(f"Choose {what} first.", where=key)
    return value.filename, value.file.read()
