"""The frame of the command line: help, mistakes in the options, faults of the program, and how an answer is printed."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import typer

from skeinwright.cli import answers, crash
from skeinwright.cli.app import app
from skeinwright.cli.parts import Parts
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, PhotoRefused
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.swatch import Lab


@pytest.fixture
def a_command(monkeypatch: pytest.MonkeyPatch) -> Callable[[BaseException], None]:
    """Adds a command `go-wrong` that raises what the test gives."""

    def with_error(error: BaseException) -> None:
        def go_wrong() -> None:
            """Goes wrong."""
            raise error

        monkeypatch.setattr(app, "registered_commands", [*app.registered_commands])
        app.command("go-wrong")(go_wrong)

    return with_error


def test_without_a_command_the_help_is_shown(ask: Any) -> None:
    answer = ask()
    assert answer.code == 0
    assert "Commands:" in answer.out
    assert answer.err == ""


def test_the_version(ask: Any) -> None:
    answer = ask("--version")
    assert answer.code == 0
    assert re.fullmatch(r"Skeinwright \d+\.\d+\.\d+\n", answer.out)


@pytest.mark.parametrize("arguments", [("no-such-command",), ("--no-such-option",), ("amounts", "--no-such-option"), ("amounts", "--fibre")])
def test_a_mistake_in_the_options_is_one_sentence_that_says_where_to_read_more(ask: Any, arguments: tuple[str, ...]) -> None:
    answer = ask(*arguments)
    assert answer.code == 2
    assert answer.out == ""
    assert len(answer.err.splitlines()) == 1
    assert "--help'" in answer.err


def test_bad_input_is_its_own_sentence(ask: Any, a_command: Any) -> None:
    a_command(BadInput("This is not a mass; write '300 g'.", where="--fibre"))
    answer = ask("go-wrong")
    assert (answer.code, answer.out, answer.err) == (2, "", "--fibre: This is not a mass; write '300 g'.\n")


def test_many_bad_inputs_are_a_line_each(ask: Any, a_command: Any) -> None:
    a_command(ManyBadInputs((BadInput("One.", where="row 2"), BadInput("Two.", where="row 5"))))
    answer = ask("go-wrong")
    assert (answer.code, answer.err) == (2, "row 2: One.\nrow 5: Two.\n")


def test_a_refused_photo_is_exit_3(ask: Any, a_command: Any) -> None:
    a_command(PhotoRefused("The photo is too dark."))
    assert ask("go-wrong").code == 3


@pytest.mark.parametrize("error", [RuntimeError("inner trouble"), ZeroDivisionError(), KeyError("x"), RecursionError()])
def test_a_fault_is_written_to_a_file_and_no_traceback_is_shown(
    ask: Any, a_command: Any, error: Exception, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.delenv(crash.DEBUG, raising=False)
    a_command(error)
    answer = ask("go-wrong")
    (note,) = tmp_path.glob("skeinwright-fault-*.txt")
    assert answer.code == 1
    assert answer.out == ""
    assert "Traceback" not in answer.err
    assert answer.err.endswith(f"what happened is written in {note}.\n")
    text = note.read_text(encoding="utf-8")
    assert "Traceback" in text
    assert "Asked: go-wrong" in text


def test_the_traceback_can_be_asked_for(ask: Any, a_command: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setenv(crash.DEBUG, "1")
    a_command(RuntimeError("inner trouble"))
    assert "Traceback" in ask("go-wrong").err


def test_a_fault_that_cannot_be_written_down_is_still_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*args: object, **kwargs: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.delenv(crash.DEBUG, raising=False)
    monkeypatch.setattr("tempfile.mkstemp", full)
    assert "\n" not in crash.report(RuntimeError("x"), ["amounts"])


def test_stopping_by_the_keyboard_is_quiet(ask: Any, a_command: Any) -> None:
    a_command(KeyboardInterrupt())
    answer = ask("go-wrong")
    assert (answer.code, answer.out) == (130, "")
    assert "Traceback" not in answer.err


def test_an_answer_always_has_inputs_warnings_and_assumed(capsys: pytest.CaptureFixture[str]) -> None:
    answers.show({"dye_g": 11.25}, [], as_json=True)
    assert json.loads(capsys.readouterr().out) == {"inputs": {}, "warnings": [], "assumed": [], "dye_g": 11.25}


def test_plain_lines_end_with_warnings_and_assumptions(capsys: pytest.CaptureFixture[str]) -> None:
    answers.show({"warnings": ["Too much."], "assumed": ["25 C."]}, ["Dye 11.3 g"], as_json=False)
    assert capsys.readouterr().out == "Dye 11.3 g\nWarning: Too much.\nAssumed: 25 C.\n"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0.1 + 0.2, 0.3),
        (math.nan, None),
        (math.inf, None),
        (True, True),
        (3, 3),
        (Origin.MEASURED, "measured by you"),
        (date(2026, 11, 24), "2026-11-24"),
        (("a", 1.0), ["a", 1.0]),
        ({"x": {1: None}}, {"x": {"1": None}}),
        (Lab(93, 0, 8), {"L": 93, "a": 0, "b": 8, "illuminant": "D65", "observer": 10}),
    ],
)
def test_what_json_says(value: object, said: object) -> None:
    found = answers.plain(value)
    assert found == said
    assert type(found) is type(said)


def test_every_command_has_help_on_one_screen(ask: Any) -> None:
    for name in typer.main.get_command(app).commands:
        answer = ask(name, "--help")
        assert answer.code == 0
        assert "Usage: skeinwright" in answer.out
        assert len(answer.out.splitlines()) < 60


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("lot", "list", "--limit", "many"), "--limit: a whole number is needed here"),
        (("lot", "list", "--limit", "0"), "--limit: a number of 1 or more is needed here"),
        (("open", "--port", "99999"), "--port: a number of 65535 or less is needed here"),
    ],
)
def test_a_number_that_cannot_be_one_is_said_in_plain_words(ask: Any, arguments: tuple[str, ...], says: str) -> None:
    answer = ask(*arguments)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.startswith(says)


def test_what_it_says_to_type_is_written_as_it_was_called(ask: Any, real: Parts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "see 'skeinwright amounts --help'" in ask("amounts").err
    monkeypatch.setenv("SKEINWRIGHT_CALLED", "python3 run.py")
    assert ask("amounts", "--help").out.startswith("Usage: python3 run.py amounts ")
    assert "see 'python3 run.py amounts --help'" in ask("amounts").err
    place = tmp_path / "my studio.skeinwright"
    assert "begin one with 'python3 run.py open'" in ask("lot", "list", "--studio", str(place), parts=real).err
    assert f'python3 run.py open --studio "{place}"' in " ".join(ask("demo", "--to", str(place), parts=real).out.split())
