"""`skeinwright colourway import`, `list` and `export`, on a real studio file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.parts import Parts

TIDEWRACK = """name = "Tidewrack"
[fibre]
mass = "200 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
[water]
volume = "6 L"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
[[step]]
do = "add dye"
dye = "Kelp"
depth = "0.8 %"
[[step]]
do = "hold"
to = "92 C"
time = "10 min"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    (tmp_path / "swatches.csv").write_text("dye,depth_pct,L,a,b\nKelp,0.5,58,-22,16\n", encoding="utf-8")
    path = tmp_path / "tidewrack.toml"
    path.write_text(TIDEWRACK, encoding="utf-8")
    return path


def test_in_listed_and_out_again(ask: Any, real: Parts, file: Path, studio_file: Path) -> None:
    at = ("--studio", str(studio_file), "--json")
    kept = ask("colourway", "import", str(file), *at, parts=real)
    assert (kept.code, kept.err) == (0, "")
    assert (kept.json["name"], kept.json["steps"]) == ("Tidewrack", 2)
    assert [one["name"] for one in ask("colourway", "list", *at, parts=real).json["colourways"]] == ["Tidewrack"]
    out = file.with_name("again.toml")
    assert ask("colourway", "export", "Tidewrack", "--out", str(out), *at, parts=real).code == 0
    twice = ask("colourway", "import", str(out), *at, parts=real)
    assert twice.code == 2
    assert "Tidewrack" in twice.err
    assert ask("colourway", "import", str(out), "--replace", *at, parts=real).code == 0
    third = file.with_name("third.toml")
    ask("colourway", "export", "Tidewrack", "--out", str(third), *at, parts=real)
    assert third.read_bytes() == out.read_bytes()


@pytest.mark.parametrize("change", [("swatches.csv", "../swatches.csv"), ('do = "hold"', 'do = "juggle"'), ("name =", "= name"), ("0.8 %", "1,500 %")])
def test_a_file_that_is_wrong_gets_a_sentence_and_nothing_is_kept(ask: Any, real: Parts, file: Path, studio_file: Path, change: tuple[str, str]) -> None:
    file.write_text(TIDEWRACK.replace(*change), encoding="utf-8")
    answer = ask("colourway", "import", str(file), "--studio", str(studio_file), parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.strip()
    assert ask("colourway", "list", "--studio", str(studio_file), "--json", parts=real).json["colourways"] == []


def test_one_that_is_not_there(ask: Any, real: Parts, studio_file: Path, tmp_path: Path) -> None:
    answer = ask("colourway", "export", "Nowhere", "--out", str(tmp_path / "x.toml"), "--studio", str(studio_file), parts=real)
    assert answer.code == 2
    assert not (tmp_path / "x.toml").exists()
