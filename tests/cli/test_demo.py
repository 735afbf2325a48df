"""`skeinwright demo` makes a studio of its own and never touches one that is there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skeinwright.cli.parts import Parts


def test_the_demo_is_a_studio_that_the_other_commands_can_use(ask: Any, real: Parts, tmp_path: Path) -> None:
    file = tmp_path / "demo.skeinwright"
    made = ask("demo", "--to", str(file), "--json", parts=real)
    assert (made.code, made.err) == (0, "")
    assert "invented" in made.json["studio"]
    names = [one["name"] for one in ask("colourway", "list", "--studio", str(file), "--json", parts=real).json["colourways"]]
    assert names
    for name in names:
        started = ask("lot", "start", name, "--studio", str(file), "--json", parts=real)
        assert (started.code, started.err) == (0, "")


def test_a_file_that_is_there_is_left_alone(ask: Any, real: Parts, tmp_path: Path) -> None:
    file = tmp_path / "mine.skeinwright"
    file.write_bytes(b"precious")
    answer = ask("demo", "--to", str(file), parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert file.read_bytes() == b"precious"
