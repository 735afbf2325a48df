"""`skeinwright process` and the fibre's part of `skeinwright bath` keep the contract."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

FILE = """
name = "A bath"
[fibre]
mass = "100 g"
[base]
wool = 1.0
skein = "100 g"
length = "400 m"
[water]
alkalinity = "80 mg/L"
[[step]]
do = "fill"
volume = "3 l"
[[step]]
do = "add dye"
dye = "Kelp"
depth = "0.8 %"
[[step]]
do = "lay in"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "45 ml"
[[step]]
do = "heat"
to = "88 C"
[[step]]
do = "hold"
time = "30 min"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "bath.toml"
    path.write_text(FILE, encoding="utf-8")
    return path


def test_json(ask: Any, file: Path) -> None:
    answer = ask("process", str(file), "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert {"time_s", "temp_c", "ph", "water_l", "uptake", "summary", "inputs", "warnings", "assumed"} <= set(found)
    assert {"exhaustion", "t50_s", "final_ph", "energy_kwh"} <= set(found["summary"])
    assert 0 < found["summary"]["exhaustion"] <= 1
    assert found["time_s"] == sorted(found["time_s"])


def test_lines(ask: Any, file: Path) -> None:
    answer = ask("process", str(file))
    assert answer.code == 0
    assert "Kelp" in answer.out
    assert "% on the yarn" in answer.out
    assert "Assumed: " in answer.out


@pytest.mark.parametrize("text", ["name = ", 'name = "X"\n[[step]]\ndo = "hold"\ntime = "5 min"\n'])
def test_bad_files(ask: Any, tmp_path: Path, text: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    answer = ask("process", str(path), "--json")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.strip()
    assert "Traceback" not in answer.err


def test_bath_with_wool(ask: Any) -> None:
    plain = ask("bath", "--water", "4 L", "--vinegar", "30 ml", "--alkalinity", "120", "--json").json
    wool = ask("bath", "--water", "4 L", "--vinegar", "30 ml", "--alkalinity", "120", "--wool", "100 g", "--json").json
    assert wool["ph"] == plain["ph"]
    assert wool["ph_after_uptake"] > wool["ph"]
    assert 0.5 < wool["acid_bound_mmol"] < 10
    superwash = ask("bath", "--water", "4 L", "--vinegar", "30 ml", "--alkalinity", "120", "--wool", "100 g", "--superwash", "--json").json
    assert superwash["ph_after_uptake"] == wool["ph_after_uptake"]
    blend = ask("bath", "--water", "4 L", "--vinegar", "30 ml", "--alkalinity", "120", "--wool", "100 g", "--nylon", "0.25", "--json").json
    assert plain["ph"] < blend["ph_after_uptake"] < wool["ph_after_uptake"]


@pytest.mark.parametrize(("acid", "option", "key", "unit"), [("vinegar", "--vinegar", "acid_ml", "ml"), ("citric", "--citric", "acid_g", "g")])
def test_the_target_is_after_uptake(ask: Any, acid: str, option: str, key: str, unit: str) -> None:
    arguments = ("bath", "--water", "4 L", "--alkalinity", "120", "--wool", "100 g")
    found = ask(*arguments, "--target-ph", "4.5", "--acid", acid, "--json").json
    assert found["ph_after_uptake"] == pytest.approx(4.5, abs=0.01)
    bare = ask("bath", "--water", "4 L", "--alkalinity", "120", "--target-ph", "4.5", "--acid", acid, "--json").json
    assert found[key] > bare[key]
    back = ask(*arguments, option, f"{found[key]} {unit}", "--json").json
    assert back["ph_after_uptake"] == pytest.approx(4.5, abs=0.01)


@pytest.mark.parametrize("arguments", [("--superwash",), ("--nylon", "0.25"), ("--wool", "100"), ("--wool", "100 g", "--nylon", "1.5"), ("--wool", "0 g")])
def test_yarn_that_cannot_be(ask: Any, arguments: tuple[str, ...]) -> None:
    answer = ask("bath", "--water", "4 L", *arguments)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 1
