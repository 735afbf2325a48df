"""The studio is served on this machine alone unless the dyer asks for more."""

from __future__ import annotations

from typing import Any

import pytest

from skeinwright.services.studio import Studio
from skeinwright.web import server


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """The servers that would have run, and the addresses that would have been opened."""
    import uvicorn

    seen: list[Any] = []

    def run(self: uvicorn.Server) -> None:
        seen.append(self.config)

    monkeypatch.setattr(uvicorn.Server, "run", run)
    monkeypatch.setattr(server, "_open_when_ready", lambda _, url: seen.append(url))
    return seen


def test_it_listens_on_this_machine_and_opens_the_browser(studio: Studio, served: list[Any]) -> None:
    server.serve(studio)
    assert served[0] == "http://127.0.0.1:8470/"
    assert served[1].host == "127.0.0.1"


def test_other_machines_are_let_in_only_when_asked(studio: Studio, served: list[Any]) -> None:
    server.serve(studio, host="0.0.0.0", port=9000, open_browser=False, allowed_hosts=("tablet.local",))
    assert [config.host for config in served] == ["0.0.0.0"]
    guard = served[0].app.user_middleware[0]
    assert guard.kwargs["allowed_hosts"] == ("tablet.local",)
