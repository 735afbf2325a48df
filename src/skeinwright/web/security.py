"""What every request must pass, and what every answer carries.

The studio listens on this machine only. A page from elsewhere can still make a browser send requests here. So the Host is checked (against
foreign names that are made to point at this machine), the Origin is checked on everything that changes something, and such a request carries a
token that only our own pages know.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from skeinwright.web import errors
from skeinwright.web.headers import COOKIE, HEADERS

LOCAL_HOSTS = ("127.0.0.1", "localhost", "[::1]")
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
MAX_BODY_BYTES = 40 * 1024 * 1024
"""Room for a phone's largest photo. What a form may hold of text is limited in `forms.read_form`."""


class BodyTooLarge(Exception):
    """More was sent than the studio takes."""


def host_name(host: str) -> str:
    """The name in a Host header without its port, in lower case."""
    if host.startswith("["):
        return host.partition("]")[0].lower() + "]"
    return host.partition(":")[0].lower().rstrip(".")


class Guard:
    """ASGI middleware: Host, Origin, size of the body, the token's cookie, and the headers of every answer."""

    def __init__(self, app: ASGIApp, *, allowed_hosts: Sequence[str] = (), max_body_bytes: int = MAX_BODY_BYTES) -> None:
        self.app = app
        self.hosts = frozenset((*LOCAL_HOSTS, *(name.lower() for name in allowed_hosts)))
        self.max_body_bytes = max_body_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        token, is_new = _token(headers)
        scope["csrf_token"] = token

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                _add_headers(MutableHeaders(scope=message), token if is_new else None)
            await send(message)

        refusal = self._refusal(scope["method"], headers)
        if refusal is not None:
            await errors.plain(refusal[0], refusal[1])(scope, receive, send_with_headers)
            return
        await self.app(scope, self._counted(receive), send_with_headers)

    def _refusal(self, method: str, headers: Headers) -> tuple[int, str] | None:
        if host_name(headers.get("host", "")) not in self.hosts:
            return 421, "This studio answers only under the names it was opened with. Use the address that was printed when it started."
        if method not in SAFE_METHODS and not self._same_origin(headers):
            return 403, "This came from another page, so nothing was changed. Open the studio itself and do it there."
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > self.max_body_bytes:
            return 413, f"That is larger than the {self.max_body_bytes // (1024 * 1024)} MB that the studio takes at once. Nothing was changed."
        return None

    def _same_origin(self, headers: Headers) -> bool:
        origin = headers.get("origin")
        if origin is None:  # only old browsers and scripts leave it out; the token still guards those
            return headers.get("sec-fetch-site", "same-origin") in ("same-origin", "none")
        return urlsplit(origin).netloc.lower() == headers.get("host", "").lower()

    def _counted(self, receive: Receive) -> Receive:
        seen = 0

        async def receive_counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > self.max_body_bytes:
                raise BodyTooLarge
            return message

        return receive_counted


def is_token_right(scope: Scope, given: str) -> bool:
    """True where the token sent with the request is the one in the browser's cookie."""
    headers = Headers(scope=scope)
    kept, is_new = _token(headers)
    return not is_new and bool(given) and secrets.compare_digest(kept.encode(), given.encode())


def _token(headers: Headers) -> tuple[str, bool]:
    kept = cookie_parser(headers.get("cookie", "")).get(COOKIE, "")
    return (kept, False) if len(kept) >= 32 else (secrets.token_urlsafe(32), True)


def _add_headers(headers: MutableHeaders, new_token: str | None) -> None:
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
    if not headers.get("content-type", "").startswith("text/html"):
        return
    headers.setdefault("Cache-Control", "no-store")
    if new_token is not None:
        headers.append("Set-Cookie", f"{COOKIE}={new_token}; Path=/; HttpOnly; SameSite=Strict")
