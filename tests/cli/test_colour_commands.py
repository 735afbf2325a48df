"""`dye fit`, `match`, `difference`, `fade` keep the contract: keys, order, exit codes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest


def test_dye_fit(ask: Any, swatches: str) -> None:
    answer = ask("dye", "fit", swatches, "--json")
    assert (answer.code, answer.err) == (0, "")
    assert set(answer.json["dyes"]) == {"Kelp", "Ember", "Sloe"}
    assert [len(answer.json["dyes"][name]["residual_de00"]) for name in ("Kelp", "Sloe")] == [3, 1]
    assert all("flags" in one for one in answer.json["dyes"].values())
    assert "from the others alone" in ask("dye", "fit", swatches).out


def test_match(ask: Any, swatches: str) -> None:
    found = ask("match", "--dyes", swatches, "--target", "45,10,12", "--json").json
    assert found["reachable"] is True
    assert 1 <= len(found["matches"]) <= 20
    first = found["matches"][0]
    assert {"doses", "lab", "de00", "spread_de00", "inconstancy", "metamerism"} <= set(first)
    assert all(depth > 0 for depth in first["doses"].values())
    assert {"inputs", "warnings", "assumed"} <= set(found)
    assert max(len(match["doses"]) for match in ask("match", "--dyes", swatches, "--target", "45,10,12", "--max-dyes", "1", "--json").json["matches"]) == 1


def test_match_says_what_is_out_of_reach(ask: Any, swatches: str) -> None:
    found = ask("match", "--dyes", swatches, "--target=50,0,-120", "--json").json
    assert found["reachable"] is False
    assert found["matches"][0]["de00"] > 10
    assert found["warnings"]


def test_match_for_a_spectrum(ask: Any, swatches: str, tmp_path: Path) -> None:
    path = tmp_path / "target.csv"
    path.write_text("\n".join(f"{nm},{0.2 + (nm - 400) / 1500}" for nm in range(400, 701, 10)), encoding="utf-8")
    first = ask("match", "--dyes", swatches, "--target-spectrum", str(path), "--json").json["matches"][0]
    assert set(first["metamerism"]) == {"A", "FL11", "LED-B3"}


def test_difference(ask: Any) -> None:
    """Pair 25 of Sharma, Wu & Dalal 2005: 1.2644; CMC(2:1) 1.4205, by two codings."""
    pair = ("60.2574,-34.0099,36.2677", "60.4626,-34.1751,39.4387")
    assert ask("difference", *pair, "--method", "ciede2000", "--json").json["difference"] == pytest.approx(1.2644, abs=1e-4)
    assert ask("difference", *pair, "--method", "cmc", "--json").json["difference"] == pytest.approx(1.4205, abs=1e-4)
    assert "careful eye" in ask("difference", *pair).out


def test_fade(ask: Any, swatches: str) -> None:
    asked = ("fade", "--dyes", swatches, "--from", "Kelp=0.5 %", "--to", "Ember=0,8 %", "--skeins", "4")
    found = ask(*asked, "--json").json
    assert [len(found["skeins"]), len(found["steps_de00"])] == [4, 3]
    assert "1: " in ask(*asked, "--fibre", "100 g").out


@pytest.mark.parametrize(
    "arguments",
    [
        ("match", "--target", "45,10,12"),
        ("match", "--dyes", "FILE"),
        ("match", "--dyes", "FILE", "--target", "45,10"),
        ("match", "--dyes", "FILE", "--target", "45,10,12", "--must", "Rosehip"),
        ("match", "--dyes", "none.csv", "--target", "45,10,12"),
        ("dye", "fit", "none.csv"),
        ("difference", "50,0", "50,0,0"),
        ("difference", "50,0,0", "50,0,0", "--method", "x"),
        ("fade", "--dyes", "FILE", "--from", "Kelp", "--to", "Ember=1 %", "--skeins", "3"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(ask: Any, swatches: str, arguments: tuple[str, ...]) -> None:
    answer = ask(*(swatches if text == "FILE" else text for text in arguments))
    assert answer.code == 2
    assert answer.out == ""
    assert len(answer.err.strip().splitlines()) == 1
