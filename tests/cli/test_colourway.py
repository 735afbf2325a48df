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


PAN = """name = "Rock pool"
[fibre]
mass = "15 g"
[base]
wool = 1.0
skein = "15 g"
length = "48 m"
round = "0.8 m"
[water]
volume = "0.2 L"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "30 x 20 x 8 cm"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "8 ml"
[[step]]
do = "lay in"
width = "12 cm"
[[step]]
do = "heat"
to = "80 C"
rate = "20 C/min"
[[step]]
do = "sprinkle"
dye = "Kelp"
amount = "0.05 g"
[[step]]
do = "wait"
time = "3 min"
"""


def test_where_its_dye_lies_with_picture_map_and_film(ask: Any, real: Parts, file: Path, studio_file: Path, tmp_path: Path) -> None:
    from PIL import Image

    pan = tmp_path / "pan.toml"
    pan.write_text(PAN, encoding="utf-8")
    at = ("--studio", str(studio_file), "--json")
    for one in (pan, file):
        assert ask("colourway", "import", str(one), *at, parts=real).code == 0
    quick = ask("colourway", "forecast", "Rock pool", *at, parts=real)
    assert (quick.code, quick.err) == (0, "")
    laid = quick.json["bases"][0]["laid"]
    assert laid["forecast"] == "quick"
    assert laid["mass_balance"] < 5e-6
    drawn, npz, loop = tmp_path / "skein.png", tmp_path / "map.npz", tmp_path / "session.gif"
    files = ("--picture", str(drawn), "--view", "open", "--map", str(npz), "--film", str(loop))
    full = ask("colourway", "forecast", "Rock pool", "--full", *files, *at, parts=real)
    assert full.json["bases"][0]["laid"]["forecast"] == "full"
    assert "minute" in full.err
    with Image.open(drawn) as picture, Image.open(loop) as film:
        assert picture.size == (900, 600)
        assert film.n_frames > 5  # type: ignore[attr-defined]
    assert npz.stat().st_size > 10_000
    even = ask("colourway", "forecast", "Tidewrack", "--film", str(tmp_path / "none.webp"), *at, parts=real)
    assert (even.code, "has a film" in even.err) == (2, True)
    assert ask("colourway", "forecast", "Tidewrack", *at, parts=real).json["bases"][0]["laid"] is None
    assert ask("colourway", "forecast", "Nothing", *at, parts=real).code == 2
