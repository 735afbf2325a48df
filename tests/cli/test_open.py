"""`skeinwright open`: where it listens, what it says, and that it never takes a port that is not free."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from types import SimpleNamespace
from typing import Any

import pytest

from skeinwright.cli.parts import Parts
from skeinwright.web import security, server
from skeinwright.wiring import place


class Stage:
    """A studio that notes how it was opened and served."""

    def __init__(self, port: int) -> None:
        self.opened: list[Path | None] = []
        self.served: list[tuple[str, int, bool, tuple[str, ...]]] = []
        self.closed = 0
        self.stop: BaseException | None = None
        self.parts = Parts(open_studio=self._open, serve=self._serve, place=place, port=port)

    @contextmanager
    def _open(self, path: Path | None, must_exist: bool = False) -> Iterator[Any]:
        self.opened.append(path)
        try:
            yield SimpleNamespace(path=path or Path("usual.skeinwright"))
        finally:
            self.closed += 1

    def _serve(self, studio: Any, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None:
        self.served.append((host, port, open_browser, tuple(names)))
        if self.stop is not None:
            raise self.stop


@pytest.fixture
def stage() -> Stage:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return Stage(free.getsockname()[1])


def test_this_machine_only_unless_asked(ask: Any, stage: Stage) -> None:
    answer = ask("open", parts=stage.parts)
    assert answer.code == 0
    assert answer.out == ""
    assert stage.opened == [None]
    assert stage.closed == 1
    assert stage.served == [("127.0.0.1", stage.parts.port, True, ())]
    assert f"http://127.0.0.1:{stage.parts.port}/" in answer.err


def test_file_port_and_browser_are_as_asked(ask: Any, stage: Stage, tmp_path: Path) -> None:
    port = stage.parts.port
    assert ask("open", "--no-browser", "--port", str(port), "--studio", str(tmp_path / "mine.skeinwright"), parts=stage.parts).code == 0
    assert stage.opened == [tmp_path / "mine.skeinwright"]
    assert stage.served == [("127.0.0.1", port, False, ())]


def test_other_machines_only_with_a_caution_and_under_names_that_were_given(ask: Any, stage: Stage) -> None:
    answer = ask("open", "--host", "0.0.0.0", "--name", "192.168.1.20", parts=stage.parts)
    assert answer.code == 0
    assert stage.served[0][3] == (socket.gethostname(), "192.168.1.20")
    assert "network you trust" in answer.err


def test_a_port_in_use_is_said_before_a_studio_is_opened(ask: Any, stage: Stage) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", stage.parts.port))
        taken.listen()
        answer = ask("open", "--port", str(stage.parts.port), parts=stage.parts)
    assert answer.code == 2
    assert answer.err.startswith("--port: ")
    assert stage.opened == []


def test_an_address_of_another_machine_is_refused(ask: Any, stage: Stage) -> None:
    answer = ask("open", "--host", "192.0.2.1", parts=stage.parts)
    assert answer.code == 2
    assert stage.opened == []


@contextmanager
def _another_program(port: int, *headers: tuple[str, str]) -> Iterator[None]:
    """Answers on `port` with these headers for as long as the block lasts."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            for name, value in headers:
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *arguments: object) -> None:
            """Says nothing."""

    with HTTPServer(("127.0.0.1", port), Page) as other:
        thread = Thread(target=other.serve_forever)
        thread.start()
        try:
            yield
        finally:
            other.shutdown()
            thread.join()


def test_starting_twice_shows_the_studio_that_is_open(ask: Any, stage: Stage) -> None:
    with _another_program(stage.parts.port, ("Set-Cookie", f"{security.COOKIE}=anything; Path=/")):
        answer = ask("open", "--no-browser", parts=stage.parts)
    assert answer.code == 0
    assert "already open" in answer.err
    assert stage.opened == []


def test_another_program_on_the_usual_port_is_not_taken_for_a_studio(ask: Any, stage: Stage) -> None:
    with _another_program(stage.parts.port):
        answer = ask("open", "--no-browser", parts=stage.parts)
    assert answer.code == 2
    assert answer.err.startswith("--port: ")


def test_ctrl_c_closes_the_studio_quietly(ask: Any, stage: Stage) -> None:
    stage.stop = KeyboardInterrupt()
    answer = ask("open", parts=stage.parts)
    assert (answer.code, stage.closed) == (0, 1)
    assert answer.err.endswith("The studio is closed.\n")


def test_the_usual_port_and_host_are_the_servers() -> None:
    assert Parts.__dataclass_fields__["port"].default == server.PORT
    assert server.HOST == "127.0.0.1"


@pytest.mark.skipif(os.name == "nt", reason="sends the signal that Ctrl-C sends")
def test_the_program_serves_a_real_studio_until_ctrl_c(stage: Stage, tmp_path: Path) -> None:
    port, file = stage.parts.port, tmp_path / "mine.skeinwright"
    command = [sys.executable, "-m", "skeinwright", "open", "--no-browser", "--port", str(port), "--studio", str(file)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        for _ in range(3000):
            assert process.poll() is None, "the program ended at once"
            with socket.socket() as trial:
                if trial.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=120) as page:
            assert page.status == 200
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
    finally:
        process.kill()
        process.wait()
    assert (process.returncode, out) == (0, "")
    assert err.endswith("The studio is closed.\n")
    assert file.exists()
