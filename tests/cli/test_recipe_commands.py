"""The recipe commands: reach, triangle, use-up, keep, trial, correct; a fade kept; a match over, and like, what a studio holds."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.parts import Parts
from skeinwright.core.colour.spaces import hex_to_lab


@pytest.fixture
def demo(ask: Any, real: Parts, tmp_path: Path) -> str:
    path = str(tmp_path / "demo.skeinwright")
    assert ask("demo", "--to", path, parts=real).code == 0
    return path


def test_reach_gives_colours_that_are_apart_and_needs_no_studio(ask: Any, swatches: str) -> None:
    found = ask("recipe", "reach", "--dyes", swatches, "--apart", "20", "--json").json
    lightness = [one["lab"][0] for one in found["colours"]]
    assert len(lightness) > 5
    assert lightness == sorted(lightness, reverse=True)
    assert {"illuminant", "observer", "inputs", "warnings", "assumed"} <= set(found)
    fewer = ask("recipe", "reach", "--dyes", swatches, "--apart", "20", "--without", "kelp", "--json").json
    assert not any("Kelp" in one["doses"] for one in fewer["colours"])


def test_a_triangle_has_all_parts_and_its_depth_everywhere(ask: Any, swatches: str, tmp_path: Path) -> None:
    corners = [word for name in ("Kelp", "Ember", "Sloe") for word in ("--dye", name)]
    found = ask("recipe", "triangle", "--dyes", swatches, *corners, "--depth", "0.8 %", "--parts", "3", "--out", str(tmp_path / "t.pdf"), "--json").json
    assert len(found["mixtures"]) == 10
    assert all(sum(one["parts"]) == 3 and sum(one["doses"].values()) == pytest.approx(0.8, abs=1e-4) for one in found["mixtures"])
    assert found["mixtures"][0]["doses"] == {"Kelp": pytest.approx(0.8)}
    assert (tmp_path / "t.pdf").read_bytes().startswith(b"%PDF")
    assert ask("recipe", "triangle", "--dyes", swatches, *corners, "--out", str(tmp_path / "b.pdf"), "--paper", "a7").code == 2
    assert not (tmp_path / "b.pdf").exists()
    assert ask("recipe", "triangle", "--dyes", swatches, "--dye", "Kelp", "--dye", "Ember").code == 2


def test_more_water_is_told_and_makes_what_is_given_paler(ask: Any, real: Parts, demo: str) -> None:
    on = ("--studio", demo, "--base", "Quay Sock", "--json")
    corners = [word for name in ("Kelp", "Ember", "Sloe") for word in ("--dye", name)]
    for command, key in (
        (("fade", "--from", "Kelp=2 %", "--to", "Ember=2 %", "--skeins", "2"), "skeins"),
        (("recipe", "triangle", *corners, "--parts", "1", "--depth", "2 %"), "mixtures"),
        (("recipe", "use-up", "--fibre", "400 g", "--below", "12 g"), "pots"),
        (("recipe", "reach", "--apart", "40"), "colours"),
    ):
        usual = ask(*command, *on, parts=real).json
        thin = ask(*command, *on, "--liquor-ratio", "120:1", parts=real).json
        assert "liquor_ratio" not in usual["inputs"]
        assert thin["inputs"]["liquor_ratio"] == 120
        assert "120:1" in thin["assumed"][-1]
        (one, *_), (other, *_) = usual[key], thin[key]
        assert 0.5 < one["spread_de00"] < 10
        if key == "colours":
            assert other["lab"] == one["lab"]
            assert all(other["doses"][name] > pct for name, pct in one["doses"].items())
        else:
            assert other["doses"] == pytest.approx(one["doses"], rel=1e-4)
            assert other["lab"][0] > one["lab"][0] + 0.3
        assert ask(*command, *on, "--liquor-ratio", "120", parts=real).code == 2


def test_a_trial_that_came_out_as_forecast_needs_nothing(ask: Any, swatches: str) -> None:
    doses = ("--dose", "Kelp=0.4 %", "--dose", "Ember=0.2 %")
    lab = ask("forecast", "--dyes", swatches, *doses, "--json").json["lab"]
    said = ",".join(str(one) for one in lab)
    found = ask("recipe", "correct", "--dyes", swatches, *doses, f"--target={said}", f"--measured={said}", "--json").json
    assert found["recipe"] == {"Kelp": pytest.approx(0.4, rel=0.02), "Ember": pytest.approx(0.2, rel=0.02)}
    assert found["trial_de00"] == 0
    paler = ",".join(str(one) for one in (lab[0] + 5, *lab[1:]))
    weak = ask("recipe", "correct", "--dyes", swatches, *doses, f"--target={said}", f"--measured={paler}", "--json").json
    assert weak["top_up"]
    assert all(weak["recipe"][name] > pct for name, pct in (("Kelp", 0.4), ("Ember", 0.2)))
    assert ask("recipe", "correct", "--dyes", swatches, *doses, f"--measured={said}").code == 2


def test_what_a_studio_holds_is_kept_tried_corrected_and_matched(ask: Any, real: Parts, demo: str) -> None:
    on = ("--studio", demo, "--base", "Quay Sock")
    kept = ask("recipe", "keep", "Kelp bath", "--dose", "Kelp=0.5 %", "--target=50,-20,-2", *on, "--json", parts=real)
    assert (kept.code, kept.json["colourway"]) == (0, "Kelp bath")
    assert ask("recipe", "keep", "kelp bath", "--dose", "Kelp=0.5 %", *on, "--json", parts=real).json["colourway"] == "kelp bath 2"
    tried = ask("recipe", "trial", "Small", "--dose", "Kelp=0.5 %", "--skein", "8 g", "--target=50,-20,-2", *on, "--json", parts=real).json
    assert tried["assumed"], "what the plan of the trial takes for granted is said"
    lot = tried["lot"]
    large = ask("recipe", "trial", "Large", "--dose", "Kelp=0.5 %", "--skein", "500 g", *on, parts=real)
    assert (large.code, large.err.partition(":")[0]) == (2, "--skein")
    correct = ("recipe", "correct", "--studio", demo, "--lot", lot)
    assert ask(*correct, parts=real).code == 2  # nothing was measured yet
    dry = ask(*correct, "--measured=60,-22,-1", "--json", parts=real).json
    assert dry["inputs"]["target"].startswith("50, -20, -2")
    assert dry["top_up"]["Kelp"] > 0
    wet = ask(*correct, "--measured=60,-22,-1", "--wet", "--json", parts=real).json
    assert wet["top_up"]["Kelp"] > dry["top_up"]["Kelp"]  # dry it is paler still
    assert any("read wet" in one for one in wet["assumed"])
    assert ask(*correct, "--dose", "Kelp=1 %", "--measured=60,-22,-1", parts=real).code == 2
    like = ask("match", *on, "--like-lot", lot, "--json", parts=real).json
    assert "as forecast" in like["inputs"]["target"]
    assert like["matches"][0]["de00"] < 0.5
    over = ask("match", *on, "--over", lot, "--target=85,0,10", "--json", parts=real).json
    assert over["reachable"] is False
    assert ask("match", *on, "--like-lot", lot, "--target=85,0,10", parts=real).code == 2
    assert ask("match", *on, "--like-colourway", "Kelp bath", "--json", parts=real).json["matches"][0]["de00"] < 0.5
    fade = ask("fade", "--from", "Kelp=0.5 %", "--to", "Gorse=0.5 %", "--skeins", "3", *on, "--keep", "Shore", "--json", parts=real).json
    assert fade["colourways"] == ["Shore 1", "Shore 2", "Shore 3"]
    assert ask("fade", "--from", "Kelp=0.5 %", "--to", "Gorse=0.5 %", "--skeins", "3", *on, "--keep", "Shore", parts=real).code == 2


def test_what_is_nearly_gone_is_used_up_to_the_last(ask: Any, real: Parts, demo: str) -> None:
    found = ask("recipe", "use-up", "--studio", demo, "--base", "Quay Sock", "--fibre", "150 g", "--below", "400 g", "--json", parts=real).json
    assert found["left_g"]
    for pot in found["pots"]:
        assert pot["fibre_g"] == 150
        assert all(grams <= found["left_g"][name] + 1e-6 for name, grams in pot["takes_g"].items())
        assert len(hex_to_lab(pot["hex"]).values) == 3


def test_a_base_that_is_not_on_the_shelf_is_no_base_of_assumed_colour(ask: Any, real: Parts, demo: str) -> None:
    for words in (("match", "--target=40,25,10"), ("fade", "--from", "Kelp=1 %", "--to", "Sloe=1 %", "--skeins", "3"), ("recipe", "reach")):
        told = ask(*words, "--studio", demo, "--base", "QuaySock", parts=real)
        assert (told.code, told.out) == (2, "")
        assert "no base called 'QuaySock'" in told.err
        assert "Quay Sock" in told.err


def test_a_lot_is_looked_up_in_a_studio_only(ask: Any, swatches: str) -> None:
    for words in (("match", "--dyes", swatches, "--target=40,0,0", "--over", "2026-11-28-A"), ("match", "--dyes", swatches, "--like-lot", "2026-11-28-A")):
        told = ask(*words)
        assert told.code == 2
        assert "--studio" in told.err
    assert ask("fade", "--dyes", swatches, "--from", "Kelp=1 %", "--to", "Sloe=1 %", "--skeins", "3", "--keep", "Shore").code == 2
