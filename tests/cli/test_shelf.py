"""`skeinwright shelf import` and `export`, on a real studio file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.files import Beside
from skeinwright.cli.parts import Parts

DYES = "name,strength,on_hand_g\nKelp,80 %,50 g\nEmber,,\n"
SWATCHES = "dye,depth_pct,L,a,b\nKelp,0.5,58,-22,16\nKelp,2,36,-20,10\n"


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "dye.csv").write_text(DYES, encoding="utf-8")
    (tmp_path / "swatches.csv").write_text(SWATCHES, encoding="utf-8")
    return tmp_path


def test_in_and_out_and_in_again_changes_nothing(ask: Any, real: Parts, place: Path, studio_file: Path) -> None:
    at = ("--studio", str(studio_file), "--json")
    first = ask("shelf", "import", str(place / "dye.csv"), *at, parts=real)
    assert (first.code, first.err) == (0, "")
    assert (first.json["new"], first.json["wrong"]) == (2, 0)
    assert ask("shelf", "import", str(place / "swatches.csv"), *at, parts=real).json["changed"] == 1
    for what, name in ((), "shelf.toml"), (("--what", "dye"), "again-dye.csv"), (("--what", "swatches"), "again-swatches.csv"):
        written = ask("shelf", "export", *what, "--out", str(place / name), *at, parts=real)
        assert (written.code, written.err) == (0, "")
        kind = ("--kind", "dye") if name.startswith("again-dye") else ()
        again = ask("shelf", "import", str(place / name), *kind, *at, parts=real)
        assert (again.code, again.err) == (0, "")
        assert (again.json["new"], again.json["changed"], again.json["wrong"]) == (0, 0, 0)
        assert again.json["same"] >= 1


def test_a_preview_writes_nothing(ask: Any, real: Parts, place: Path, studio_file: Path) -> None:
    at = ("--studio", str(studio_file), "--json")
    for _ in range(2):
        assert ask("shelf", "import", str(place / "dye.csv"), "--preview", *at, parts=real).json["new"] == 2


def test_a_wrong_row_is_named_and_nothing_is_written_unless_it_is_left_out(ask: Any, real: Parts, place: Path, studio_file: Path) -> None:
    (place / "dye.csv").write_text("name,strength\nKelp,80 %\nEmber,strong\n", encoding="utf-8")
    at = ("--studio", str(studio_file))
    refused = ask("shelf", "import", str(place / "dye.csv"), *at, parts=real)
    assert (refused.code, refused.out) == (2, "")
    assert "dye.csv, line 3" in refused.err
    taken = ask("shelf", "import", str(place / "dye.csv"), "--leave-out-wrong", *at, "--json", parts=real)
    assert taken.code == 0
    assert (taken.json["new"], taken.json["wrong"]) == (1, 1)


@pytest.mark.parametrize(("name", "content"), [("x.csv", b""), ("x.csv", b"\x00\x01"), ("x.toml", b"= broken"), ("odd.csv", b"a,b\n1,2\n")])
def test_a_file_that_is_no_shelf_gets_a_sentence(ask: Any, real: Parts, place: Path, studio_file: Path, name: str, content: bytes) -> None:
    (place / name).write_bytes(content)
    answer = ask("shelf", "import", str(place / name), "--studio", str(studio_file), parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.strip()


def test_files_beside_are_reached_and_no_others(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (inside / "swatches.csv").write_bytes(b"x")
    (tmp_path / "secret.csv").write_bytes(b"y")
    beside = Beside(inside)
    assert beside["swatches.csv"] == b"x"
    assert list(beside) == ["swatches.csv"]
    assert len(beside) == 1
    for name in ("../secret.csv", str(tmp_path / "secret.csv"), "none.csv", ""):
        assert name not in beside


@pytest.mark.parametrize(("what", "name", "ends"), [([], "shelf.csv", ".toml"), ([], "shelf", ".toml"), (["--what", "dye"], "dyes.toml", ".csv")])
def test_an_export_whose_name_would_not_be_read_back_is_refused(
    ask: Any, real: Parts, place: Path, studio_file: Path, what: list[str], name: str, ends: str
) -> None:
    assert ask("shelf", "import", str(place / "dye.csv"), "--studio", str(studio_file), parts=real).code == 0
    answer = ask("shelf", "export", *what, "--out", str(place / name), "--studio", str(studio_file), parts=real)
    assert answer.code == 2
    assert answer.err.startswith("--out: ")
    assert f"the name ends in {ends}" in answer.err
    assert not (place / name).exists()
