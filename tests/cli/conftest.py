"""Runs the command line inside the test, with parts of the test's own."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.app import run
from skeinwright.cli.parts import Parts


@dataclass(frozen=True)
class Answer:
    """What a command gave back."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The one JSON object on stdout."""
        found = json.loads(self.out)
        assert isinstance(found, dict)
        return found


@contextmanager
def _no_studio(path: Path | None, must_exist: bool = False) -> Iterator[Any]:
    raise AssertionError("a pure command opened a studio")
    yield


def _no_serving(studio: Any, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None:
    raise AssertionError("a command served pages unasked")


def _no_place(path: Path | None) -> tuple[Path, Path]:
    raise AssertionError("a pure command looked for a studio")


PURE = Parts(open_studio=_no_studio, serve=_no_serving, place=_no_place)
Ask = Callable[..., Answer]


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """`ask("amounts", "--fibre", "300 g")`: the command's exit code, stdout and stderr. No studio can be opened."""

    def asked(*arguments: str, parts: Parts = PURE) -> Answer:
        capsys.readouterr()
        code = run(arguments, parts)
        said = capsys.readouterr()
        return Answer(code, said.out, said.err)

    return asked


@pytest.fixture
def real() -> Parts:
    """The parts of the program itself, but nothing is served."""
    from skeinwright.wiring import place, studio_opened

    return Parts(open_studio=studio_opened, serve=_no_serving, place=place)


@pytest.fixture
def studio_file(tmp_path: Path, real: Parts) -> Path:
    """An empty studio."""
    path = tmp_path / "place" / "mine.skeinwright"
    with real.open_studio(path):
        pass
    return path
