"""Runs the command line inside the test, with parts of the test's own. Every JSON answer is held against the reference on the way."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
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


REFERENCE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "command-line.md"
ALWAYS = {"inputs", "warnings", "assumed"}


@cache
def _sections() -> dict[str, str]:
    """The text of each command in the reference."""
    pieces = re.split(r"^## `([^`]+)`$", REFERENCE.read_text(encoding="utf-8"), flags=re.M)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def _named_in(command: str) -> set[str]:
    """The words in back quotes of a command's section; "as `stripes`" takes in that command's own. `value_ci` and `value_low` go with `value`."""
    text = _sections()[command]
    others = [other for other in re.findall(r"as `([^`]+)`", text) if other in _sections() and other != command]
    return set(re.findall(r"`([a-z0-9_]+)`", text)).union(*(_named_in(other) for other in others))


def undocumented(arguments: Sequence[str], answer: Mapping[str, Any]) -> list[str]:
    """Keys of an answer that the reference does not name for its command."""
    command = next((words for words in (" ".join(arguments[:2]), arguments[0]) if words in _sections()), "")
    named = _named_in(command) if command else set()
    return sorted(key for key in answer if key not in named | ALWAYS and re.sub(r"_(ci|low|high)$", "", key) not in named)


@contextmanager
def _no_studio(path: Path | None, must_exist: bool = False) -> Iterator[Any]:
    raise AssertionError("a pure command opened a studio")
    yield


def _no_serving(studio: Any, host: str, port: int, open_browser: bool, names: Sequence[str]) -> None:
    raise AssertionError("a command served pages unasked")


def _no_place(path: Path | None) -> tuple[Path, Path]:
    raise AssertionError("a pure command looked for a studio")


ROWS = """dye,depth_pct,L,a,b
,0,92,0,8
Kelp,0.1,78,-12,14
Kelp,0.5,58,-22,16
Kelp,2,36,-20,10
Ember,0.1,80,18,22
Ember,0.5,62,38,34
Ember,2,45,50,36
Sloe,0.5,48,2,-30
"""
"""Three invented dyes and the undyed base under them."""
PURE = Parts(open_studio=_no_studio, serve=_no_serving, place=_no_place)
Ask = Callable[..., Answer]


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """`ask("amounts", "--fibre", "300 g")`: the command's exit code, stdout and stderr. No studio can be opened."""

    def asked(*arguments: str, parts: Parts = PURE) -> Answer:
        capsys.readouterr()
        code = run(arguments, parts)
        said = capsys.readouterr()
        answer = Answer(code, said.out, said.err)
        if "--json" in arguments and code == 0:
            unknown = undocumented(arguments, answer.json)
            assert not unknown, f"docs/reference/command-line.md does not name {unknown} among what {' '.join(arguments[:2])} gives as JSON"
        return answer

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


@pytest.fixture
def swatches(tmp_path: Path) -> str:
    """A file of swatches: `ROWS`."""
    path = tmp_path / "swatches.csv"
    path.write_text(ROWS, encoding="utf-8")
    return str(path)
