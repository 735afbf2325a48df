"""The program itself, as a process of its own: exit codes, the two streams, and nonsense typed at it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st


def _program(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "skeinwright", *arguments], capture_output=True, text=True, check=False)


def test_one_json_object_on_stdout_and_nothing_else() -> None:
    done = _program("amounts", "--fibre", "300 g", "--depth", "3 %", "--strength", "80 %", "--solution", "1 %", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["dye_g"] == 11.25


def test_bad_input_is_exit_2_with_an_empty_stdout() -> None:
    done = _program("amounts", "--fibre", "1,500 g", "--depth", "3 %", "--json")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "--fibre: '1,500' could be 1.5 or 1500: write 1500 or 1.5.\n"


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = [sys.executable, "-c", "import sys; sys.exit(__import__('skeinwright.wiring').wiring.main())", "amounts", "--fibre", "300 g", "--depth", "3 %"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    process.wait()
    assert "Traceback" not in said


WORDS = st.one_of(
    st.sampled_from(["amounts", "bath", "--fibre", "--depth", "--water", "--json", "--spoons", "--parts", "3 %", "300 g", "4 L", "-1", "1:100", "½", "", "--"]),
    st.text(max_size=12),
)


@settings(deadline=None, max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(first=st.sampled_from(["amounts", "bath"]), rest=st.lists(WORDS, max_size=8))
def test_nonsense_gets_a_sentence_or_an_answer_never_a_fault(ask: Any, first: str, rest: list[str]) -> None:
    answer = ask(first, *rest)
    assert answer.code in (0, 2), answer
    assert "Traceback" not in answer.err
    if answer.code == 2:
        assert answer.out == ""
        assert answer.err.strip()


@settings(deadline=None, max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(fibre=st.text(max_size=20), depth=st.text(max_size=12), parts=st.text(max_size=20))
def test_any_text_at_all_can_be_given_to_an_option(ask: Any, fibre: str, depth: str, parts: str) -> None:
    answer = ask("amounts", f"--fibre={fibre}", f"--depth={depth}", f"--parts={parts}")
    assert answer.code in (0, 2), answer


ON_SHELF = ("shelf import", "shelf export", "colourway list", "colourway import", "colourway export", "forecast")
COMMANDS = (*ON_SHELF, "lot start", "lot list", "lot show", "slip", "backup", "restore")
VALUES = ("--out=x", "--kind=dye", "--what=dye", "--what=soup", "--row=a, 2", "--row=a", "--day=2026-02-30", "--limit=0", "--dose=Kelp=1 %")
OPTIONS = (*VALUES, "--json", "--preview", "--sheet")
TEXTS = st.text(alphabet=st.characters(exclude_characters="/\\.-\0", exclude_categories=["Cs"]), min_size=1, max_size=8)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(command=st.sampled_from(COMMANDS), rest=st.lists(st.one_of(st.sampled_from(OPTIONS), TEXTS), max_size=4), named=st.booleans())
def test_the_commands_that_use_a_studio_take_nonsense_as_well(
    ask: Any, real: Any, studio_file: Path, monkeypatch: pytest.MonkeyPatch, command: str, rest: list[str], named: bool
) -> None:
    monkeypatch.chdir(studio_file.parent)
    studio = studio_file if named or command == "restore" else studio_file.with_name("none.skeinwright")
    answer = ask(*command.split(), *rest, f"--studio={studio}", parts=real)
    assert answer.code in (0, 2), answer
    if answer.code == 2:
        assert answer.out == ""
        assert answer.err.strip()
