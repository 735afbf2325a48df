"""The reference of the command line is complete and true: every command and option is described, and nothing is described that does not exist."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import typer

from skeinwright.cli.app import app, run
from skeinwright.cli.parts import Parts

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "command-line.md"


def _commands(group: Any, before: str = "") -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            found |= _commands(command, f"{before}{name} ")
        elif not command.hidden:
            found[f"{before}{name}"] = command
    return found


COMMANDS = _commands(typer.main.get_command(app))


def _sections() -> dict[str, str]:
    """The text below each heading that is a command: ## `amounts`."""
    pieces = re.split(r"^## `([^`]+)`$", PAGE.read_text(encoding="utf-8"), flags=re.M)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def _options(command: Any) -> set[str]:
    shown = (one for one in command.params if one.param_type_name == "option" and not one.hidden)
    return {text for one in shown for text in one.opts if text.startswith("--")} - {"--help"}


def _arguments(command: Any) -> set[str]:
    return {one.metavar or one.name.upper() for one in command.params if one.param_type_name == "argument"}


def test_every_command_has_its_section_and_every_section_its_command() -> None:
    assert set(_sections()) == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_described_and_every_described_option_exists(name: str) -> None:
    rows = re.findall(r"^\| `(--[a-z-]+)", _sections()[name], flags=re.M)
    assert sorted(rows) == sorted(_options(COMMANDS[name]))


@pytest.mark.parametrize("name", COMMANDS)
def test_every_argument_is_in_the_first_line(name: str) -> None:
    first = _sections()[name].strip().splitlines()[0]
    assert first.startswith(f"`skeinwright {name}")
    assert all(argument in first for argument in _arguments(COMMANDS[name]))


BLOCKS = re.findall(r"```console\n(.*?)```", PAGE.read_text(encoding="utf-8"), flags=re.S)
EXAMPLES = [line[2:] for block in BLOCKS for line in block.splitlines() if line.startswith("$ ")]


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_prints_what_the_page_shows(example: str, capsys: pytest.CaptureFixture[str]) -> None:
    (block,) = (block for block in BLOCKS if f"$ {example}\n" in block)
    shown = block.split(f"$ {example}\n", 1)[1].split("\n$ ", 1)[0].rstrip("\n")
    program, *arguments = shlex.split(example)
    assert program == "skeinwright"
    assert run(arguments, Parts(open_studio=None, serve=None, place=None)) == 0
    assert capsys.readouterr().out.rstrip("\n") == shown


PAGES = [
    PAGE.parents[2] / "README.md",
    *sorted(PAGE.parents[1].glob("*.md")),
    *sorted((PAGE.parents[1] / "how-to").glob("*.md")),
    PAGE.parent / "studio-file.md",
]
TYPED = [
    (page.name, line)
    for page in PAGES
    for line in re.findall(r"^ {4,}(?:skeinwright|python3 run\.py) ([a-z].*)$", page.read_text(encoding="utf-8"), flags=re.M)
]
OF_RUN_PY = ("test", "prove")


@pytest.mark.parametrize(("page", "line"), TYPED)
def test_every_command_that_a_page_has_you_type_exists_with_its_options(page: str, line: str) -> None:
    words = shlex.split(re.split(r"\s{3,}|[#|>]", line)[0])
    name = next((each for each in (" ".join(words[:2]), words[0]) if each in COMMANDS), words[0])
    if name in OF_RUN_PY:
        return
    assert name in COMMANDS, f"{page}: {line}"
    unknown = {word.partition("=")[0] for word in words if word.startswith("--")} - _options(COMMANDS[name])
    assert not unknown, f"{page}: {line}"
    needed = {one.opts[0] for one in COMMANDS[name].params if one.param_type_name == "option" and one.required}
    assert needed <= {word.partition("=")[0] for word in words}, f"{page}: {line} lacks {needed}"
