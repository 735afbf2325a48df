"""`skeinwright open`: the studio's pages in the browser."""

from __future__ import annotations

import os
import socket
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import progress
from skeinwright.cli.options import StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

HOME = "127.0.0.1"
LOOPBACK = (HOME, "localhost", "::1")
EVERYWHERE = ("0.0.0.0", "::")
SIGN = "skeinwright_csrf="
"""The cookie that every studio gives to a browser it does not know yet."""
CAUTION = "Whoever reaches this address can read and change the studio, and nothing on the way is encrypted: use it only on a network you trust."


def open_(
    context: typer.Context,
    studio: StudioFile = None,
    host: Annotated[str, typer.Option(metavar="ADDRESS", help="Where to listen. Other machines reach the studio only if you name an address here.")] = HOME,
    port: Annotated[int | None, typer.Option(metavar="NUMBER", min=1, max=65535, help="The port to listen on; 8470 if not said.")] = None,
    name: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A name or address by which other machines reach this one; may be repeated.")] = None,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Do not open the browser.")] = False,
) -> None:
    """Open the studio in the browser and serve it until Ctrl-C."""
    parts = parts_of(context)
    wanted = parts.port if port is None else port
    if port is None and studio is None and host == HOME and _is_studio(host, wanted):
        _already_open(wanted, no_browser)
        return
    _check_free(host, wanted)
    names = _names(host, name or ())
    with parts.open_studio(studio) as opened:
        _announce(opened.path, host, wanted, names)
        with suppress(KeyboardInterrupt):
            parts.serve(opened, host, wanted, not no_browser, names)
        progress("The studio is closed.")


def _names(host: str, given: Sequence[str]) -> tuple[str, ...]:
    """The names that the pages answer under, besides this machine's own."""
    own = () if host in LOOPBACK else ((socket.gethostname(),) if host in EVERYWHERE else (host,))
    return (*own, *given)


def _announce(path: Path, host: str, port: int, names: Sequence[str]) -> None:
    shown = names[0] if host in EVERYWHERE else host
    progress(f"The studio {path} is open at http://{shown}:{port}/ - press Ctrl-C here to close it.")
    if host not in LOOPBACK:
        progress(CAUTION)


def _check_free(host: str, port: int) -> None:
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)[0]
    except OSError as error:
        raise BadInput(f"'{host}' is not an address of this machine; give one, or leave --host out.", where="--host") from error
    with socket.socket(family[0], socket.SOCK_STREAM) as trial:
        if os.name == "posix":  # elsewhere this would let two programs share one port
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind(family[4])
        except OSError as error:
            raise BadInput(f"Port {port} cannot be used here ({error.strerror or error}): choose another with --port.", where="--port") from error


def _is_studio(host: str, port: int) -> bool:
    """True where a studio already answers there."""
    with socket.socket() as trial:
        trial.settimeout(0.5)
        if trial.connect_ex((host, port)):
            return False
    from urllib.error import URLError
    from urllib.request import ProxyHandler, build_opener

    try:
        with build_opener(ProxyHandler({})).open(f"http://{host}:{port}/", timeout=5) as page:
            return any(cookie.startswith(SIGN) for cookie in page.headers.get_all("Set-Cookie") or ())
    except (URLError, OSError, ValueError):
        return False


def _already_open(port: int, no_browser: bool) -> None:
    address = f"http://{HOME}:{port}/"
    progress(f"The studio is already open at {address} - close it in the window where it was started.")
    if not no_browser:
        import webbrowser

        webbrowser.open(address)
