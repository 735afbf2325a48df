"""What the computing commands take from a studio, and only where one is named."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.parts import Parts
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.change_settings import change_settings


@pytest.fixture
def studio(real: Parts, studio_file: Path) -> str:
    """Australian spoons, soft water, a base with its undyed colour."""
    with real.open_studio(studio_file) as opened:
        change_settings(opened, {"spoons": "au"})
        add_to_shelf(opened, "water", {"name": "Tap", "alkalinity_mg_l": "20 mg/L"})
        add_to_shelf(opened, "base", {"name": "Quay Sock", "fibres": "100 % wool", "skein_g": "100 g", "length_mm": "400 m", "undyed": "88, 1, 12"})
    return str(studio_file)


def test_the_studios_spoons_and_water_are_used_unless_others_are_named(ask: Any, real: Parts, studio: str) -> None:
    bath = ("bath", "--water", "4 L", "--vinegar", "1 tbsp", "--json")
    here = ask(*bath, "--studio", studio, parts=real).json["ph"]
    assert here == ask(*bath, "--spoons", "au", "--alkalinity", "20 mg/L").json["ph"]
    assert here != ask(*bath).json["ph"]
    named = ask(*bath, "--studio", studio, "--spoons", "us", "--alkalinity", "120", parts=real).json["ph"]
    assert named == ask(*bath, "--alkalinity", "120").json["ph"]


def test_two_waters_are_not_guessed_between(ask: Any, real: Parts, studio: str) -> None:
    with real.open_studio(Path(studio)) as opened:
        add_to_shelf(opened, "water", {"name": "Rain", "alkalinity_mg_l": "5 mg/L"})
    found = ask("bath", "--water", "4 L", "--citric", "1 g", "--studio", studio, "--json", parts=real).json
    assert any("120 mg/L" in sentence for sentence in found["assumed"])


def test_a_forecast_from_the_studios_swatches_and_base(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    rungs = (("0.1 %", "78, -12, 14"), ("0.5 %", "58, -22, 16"), ("2 %", "36, -20, 10"))
    table = tmp_path / "swatches.csv"
    table.write_text("dye,depth_pct,L,a,b\n" + "".join(f"Kelp,{depth[:-2]},{lab}\n" for depth, lab in rungs), encoding="utf-8")
    with real.open_studio(Path(studio)) as opened:
        kept, _ = add_to_shelf(opened, "dye", {"name": "Kelp"})
        for depth, lab in rungs:
            add_swatch(opened, kept.id, {"depth": depth, "colour": lab, "base": "Quay Sock"})
    asked = ("forecast", "--dose", "Kelp=1 %", "--json")
    here = ask(*asked, "--studio", studio, "--base", "Quay Sock", parts=real)
    assert (here.code, here.err) == (0, "")
    there = ask(*asked, "--dyes", str(table), "--base-lab=88,1,12").json
    assert here.json["lab"] == pytest.approx(there["lab"], abs=0.1)


def test_a_studio_that_is_not_there_is_not_made(ask: Any, real: Parts, tmp_path: Path) -> None:
    answer = ask("amounts", "--fibre", "300 g", "--depth", "3 %", "--studio", str(tmp_path / "none.skeinwright"), parts=real)
    assert answer.code == 2
    assert list(tmp_path.iterdir()) == []


def test_without_a_table_or_a_studio_there_is_nothing_to_forecast_from(ask: Any) -> None:
    answer = ask("forecast", "--dose", "Kelp=1 %")
    assert answer.code == 2
    assert answer.err.startswith("--dyes: ")
