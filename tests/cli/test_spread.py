"""`skeinwright spread` keeps the contract."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

FILE = """
name = "A sprinkle"
[fibre]
mass = "50 g"
[base]
wool = 1.0
skein = "50 g"
length = "60 m"
round = "0.6 m"
[water]
volume = "0.4 L"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "30 x 20 x 10 cm"
[[dye]]
name = "Kelp"
class = "half-milling"
swatches = "none.csv"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "20 ml"
[[step]]
do = "lay in"
width = "10 cm"
[[step]]
do = "heat"
to = "80 C"
rate = "10 C/min"
[[step]]
do = "sprinkle"
dye = "Kelp"
amount = "0.05 g"
[[step]]
do = "wait"
time = "10 min"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "sprinkle.toml"
    path.write_text(FILE)
    return path


@pytest.mark.parametrize("quick", [True, False])
def test_the_answer_and_the_files(ask: Callable[..., Any], file: Path, tmp_path: Path, quick: bool) -> None:
    out, picture = tmp_path / "map.npz", tmp_path / "pan.png"
    answer = ask("spread", str(file), "--json", "--seed", "3", "--out", str(out), "--picture", str(picture), *(["--quick"] if quick else []))
    assert answer.code == 0, answer.err
    found = answer.json
    always = {"inputs", "warnings", "assumed"}
    assert always | {"mass_balance", "front_back", "speckle_mm", "coverage", "per_cm2", "per_gram", "bath_left_fraction", "by_dye"} <= set(found)
    assert abs(found["mass_balance"]) < 5e-6
    assert 0 < found["bath_left_fraction"] < 0.5
    assert found["by_dye"]["Kelp"]["depth"] == pytest.approx(0.001 * found["on_fibre_fraction"], rel=1e-3)
    assert found["speckle_mm"] > 0.3
    with np.load(out) as kept:
        assert kept["dye"].dtype == np.float32
        assert kept["dye"].shape[:2] == (1, 2)
        assert str(kept["state"]) == "wet"
        assert float(kept["dye"].mean()) == pytest.approx(found["by_dye"]["Kelp"]["depth"], rel=1e-5)
    assert picture.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert any("No swatches of Kelp" in one for one in found["warnings"])
    assert bool(found["ranges"]) is not quick
    for name, (low, high) in found["ranges"].items():
        assert low <= found[name] <= high, name


def test_the_same_seed_gives_the_same_map(ask: Callable[..., Any], file: Path, tmp_path: Path) -> None:
    maps = []
    for place, seed in enumerate(("1", "1", "2")):
        out = tmp_path / f"{place}.npz"
        assert ask("spread", str(file), "--quick", "--seed", seed, "--out", str(out), "--json").code == 0
        maps.append(out.read_bytes())
    assert maps[0] == maps[1] != maps[2]


def test_lines_for_a_person(ask: Callable[..., Any], file: Path) -> None:
    answer = ask("spread", str(file), "--quick")
    assert "Dye on the fibre" in answer.out
    assert "Assumed: " in answer.out


def test_the_full_forecast_tells_its_range_in_words(ask: Callable[..., Any], file: Path) -> None:
    said = next(line for line in ask("spread", str(file), "--seed", "3").out.splitlines() if line.startswith("Specks"))
    figure, low, high = (float(word) for word in re.findall(r"\d+(?:\.\d+)?", said))
    assert low <= figure <= high
    assert low < high


def test_a_file_without_dye_is_refused_with_one_sentence(ask: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "plain.toml"
    path.write_text('name = "Plain"\n[[step]]\ndo = "wait"\ntime = "5 min"\n')
    answer = ask("spread", str(path), "--json")
    assert answer.code == 2
    assert answer.out == ""
    assert answer.err.count("\n") == 1
    assert "No step lays any dye" in answer.err


def test_a_film_and_powder_for_a_wish(ask: Callable[..., Any], file: Path, tmp_path: Path) -> None:
    from PIL import Image

    short = tmp_path / "short.toml"
    short.write_text(file.read_text().replace('time = "10 min"', 'time = "2 min"'))
    found = ask("spread", str(short), "--film", str(tmp_path / "a.webp"), "--coverage", "15 %", "--json")
    assert found.code == 0
    powder = found.json["powder"]
    assert powder["coverage"] == pytest.approx(0.15)
    assert any("counting fails" in sentence for sentence in powder["sentences"])
    with Image.open(tmp_path / "a.webp") as film:
        assert film.n_frames > 3  # type: ignore[attr-defined]
    assert ask("spread", str(short), "--quick", "--coverage", "15 %", "--per-stitch", "2").code == 2
    assert ask("spread", str(short), "--quick", "--film", str(tmp_path / "b.webp")).code == 2
