"""`skeinwright forecast` keeps the contract: keys, light and observer, the assumed base, refusals. The colour itself is tested in `tests/reference`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

ROWS = """dye,depth_pct,L,a,b
Kelp,0.1,78,-12,14
Kelp,0.5,58,-22,16
Kelp,2,36,-20,10
Ember,0.1,80,18,22
Ember,0.5,62,38,34
Ember,2,45,50,36
"""


@pytest.fixture
def swatches(tmp_path: Path) -> str:
    path = tmp_path / "swatches.csv"
    path.write_text(ROWS, encoding="utf-8")
    return str(path)


def test_the_keys_of_the_contract(ask: Any, swatches: str) -> None:
    answer = ask("forecast", "--dyes", swatches, "--dose", "Kelp=0.5 %", "--dose", "Ember=0,2 %", "--base-lab=92,0,8", "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert (found["illuminant"], found["observer"]) == ("D65", 10)
    assert len(found["lab"]) == 3
    assert len(found["srgb"]) == 3
    assert all(isinstance(value, int) and 0 <= value <= 255 for value in found["srgb"])
    assert isinstance(found["clipped"], bool)
    assert found["spread_de00"] > 0
    assert {"inputs", "warnings", "assumed"} <= set(found)


def test_a_rung_of_the_ladder_comes_back_as_it_was_read(ask: Any, swatches: str) -> None:
    found = ask("forecast", "--dyes", swatches, "--dose", "Kelp=0.5 %", "--base-lab=93,0,8", "--json").json
    assert found["lab"] == pytest.approx([58, -22, 16], abs=2.5)


def test_a_base_that_is_not_said_is_assumed_and_said(ask: Any, swatches: str) -> None:
    found = ask("forecast", "--dyes", swatches, "--dose", "Kelp=0.5 %", "--json").json
    assert any("93, 0, 8" in sentence for sentence in found["assumed"])


def test_more_dye_is_darker(ask: Any, swatches: str) -> None:
    lightness = [ask("forecast", "--dyes", swatches, "--dose", f"Kelp={depth} %", "--json").json["lab"][0] for depth in ("0.2", "0.7", "2", "3")]
    assert lightness == sorted(lightness, reverse=True)


def test_the_same_seed_gives_the_same_spread(ask: Any, swatches: str) -> None:
    once, again, other = (ask("forecast", "--dyes", swatches, "--dose", "Kelp=1 %", "--seed", seed, "--json").out for seed in ("1", "1", "2"))
    assert once == again
    assert once != other


def test_plain_lines(ask: Any, swatches: str) -> None:
    out = ask("forecast", "--dyes", swatches, "--dose", "Kelp=1 %").out
    assert "D65, 10 degree" in out
    assert "90 %" in out


@pytest.mark.parametrize(
    "arguments",
    [
        ("--dose", "Rosehip=1 %"),
        ("--dose", "Kelp"),
        ("--dose", "Kelp=3"),
        ("--dose", "Kelp=1 %", "--dose", "kelp=1 %"),
        ("--dose", "Kelp=1 %", "--base-lab=white"),
        (),
    ],
)
def test_bad_input_is_one_sentence(ask: Any, swatches: str, arguments: tuple[str, ...]) -> None:
    answer = ask("forecast", "--dyes", swatches, *arguments)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 1


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00", b"a,b\n1,2\n", b"dye,depth_pct,hex\nKelp,1,purple\n"])
def test_a_file_that_is_no_table_of_swatches(ask: Any, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    answer = ask("forecast", "--dyes", str(path), "--dose", "Kelp=1 %")
    assert (answer.code, answer.out) == (2, "")


def test_a_file_that_is_not_there(ask: Any, tmp_path: Path) -> None:
    answer = ask("forecast", "--dyes", str(tmp_path / "none.csv"), "--dose", "Kelp=1 %")
    assert answer.code == 2
    assert answer.err.startswith("--dyes: ")
