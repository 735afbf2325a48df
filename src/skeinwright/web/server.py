"""Runs the studio's pages on this machine."""

from __future__ import annotations

import threading
import webbrowser
from collections.abc import Sequence

from skeinwright.services.studio import Studio

HOST = "127.0.0.1"
PORT = 8470
WARM_AFTER_S = 2.0
"""The first page comes before the pictures are made ready."""


def serve(studio: Studio, host: str = HOST, port: int = PORT, open_browser: bool = True, *, allowed_hosts: Sequence[str] = ()) -> None:
    """Serves the studio until it is stopped, and opens it in the browser.

    Only this machine can reach it while `host` is 127.0.0.1; for other machines the dyer names the host to listen on and the names it is reached by.
    """
    import uvicorn

    from skeinwright.web.app import create_app

    app = create_app(studio, allowed_hosts=allowed_hosts)
    server = uvicorn.Server(uvicorn.Config(app, host=host, port=port, log_level="warning", server_header=False, ws="none", lifespan="off"))
    if open_browser:
        _open_when_ready(server, f"http://{HOST if host == '0.0.0.0' else host}:{port}/")
    _warm_later(studio)
    server.run()


def _warm_later(studio: Studio) -> None:
    """Makes the inner loops of pots and pictures ready in the background, so that the first forecast does not wait for them to compile."""

    def warm() -> None:
        from skeinwright.services.warm_up import warm_up

        warm_up(studio)

    timer = threading.Timer(WARM_AFTER_S, warm)
    timer.daemon = True
    timer.start()


def _open_when_ready(server: object, url: str) -> None:
    def wait_and_open(tries: int = 100) -> None:
        if getattr(server, "started", False):
            webbrowser.open(url)
        elif tries:
            timer = threading.Timer(0.1, wait_and_open, args=(tries - 1,))
            timer.daemon = True
            timer.start()

    wait_and_open()
