"""`overdye`: three overdyes as words, JSON and pictures; refusals by exit code."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from cli.conftest import Ask
from photo_proofs import speckled

DYES = """dye,depth_pct,L,a,b
Kelp,0.2,80,-18,6
Kelp,1,55,-30,4
Kelp,3,36,-26,2
Sloe,0.2,72,4,-16
Sloe,1,44,8,-30
Sloe,3,27,8,-26
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("overdye")
    (made / "skein.jpg").write_bytes(speckled().data)
    (made / "dyes.csv").write_text(DYES, encoding="utf-8")
    (made / "torn.jpg").write_bytes(speckled().data[:4000])
    return made


def test_as_json_with_its_pictures(ask: Ask, folder: Path, tmp_path: Path) -> None:
    said = ("overdye", str(folder / "skein.jpg"), "--dyes", str(folder / "dyes.csv"), "--fibre", "100 g", "--pictures", str(tmp_path))
    answer = ask(*said, "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert len(found["skein"]) == 3  # the ground and two specks
    assert len(found["overdyes"]) == len(found["pictures"]) - 1 == 3
    assert all(one["spread_de00"] > 0 and one["amounts"] for one in found["overdyes"])
    assert (found["illuminant"], found["observer"], found["target"]) == ("D65", 2, None)
    sizes = set()
    for place in found["pictures"]:
        with Image.open(place) as picture:
            sizes.add(picture.size)
    assert len(sizes) == 1
    again = ask(*said)
    assert again.code == 2  # nothing is written over
    assert "written over" in again.err


def test_in_words_toward_a_target(ask: Ask, folder: Path) -> None:
    answer = ask("overdye", str(folder / "skein.jpg"), "--dyes", str(folder / "dyes.csv"), "--target=30,0,-25", "--with", "sloe", "--max-dyes", "1")
    assert answer.code == 0
    assert "1. Nearest" in answer.out
    assert "Sloe" in answer.out
    assert "Kelp" not in answer.out
    assert "from the target" in answer.out
    assert "can only make the skein deeper" in answer.out


def test_what_is_refused(ask: Ask, folder: Path) -> None:
    torn = ask("overdye", str(folder / "torn.jpg"), "--dyes", str(folder / "dyes.csv"), "--json")
    assert torn.code == 3
    assert torn.json["overdyes"] == []
    assert ask("overdye", str(folder / "skein.jpg")).code == 2  # no dyes
    assert ask("overdye", str(folder / "skein.jpg"), "--dyes", str(folder / "dyes.csv"), "--piece", "9").code == 3
    assert ask("overdye", str(folder / "skein.jpg"), "--dyes", str(folder / "dyes.csv"), "--frame", "1,2").code == 2
