"""`skeinwright reading`: what a photo gives is kept, listed, held against another and taken back, by the same services as the page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from measured_ladder import ladder, refused
from skeinwright.cli.parts import Parts
from skeinwright.core.colour.difference import ciede2000
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.get_from_shelf import get_from_shelf


@pytest.fixture
def studio(real: Parts, studio_file: Path) -> str:
    with real.open_studio(studio_file) as opened:
        add_to_shelf(opened, "dye", {"name": "Kelp"})
    return str(studio_file)


def test_a_ladder_is_kept_listed_compared_and_taken_back(ask: Any, real: Parts, studio: str, studio_file: Path, tmp_path: Path) -> None:
    photo = tmp_path / "ladder.jpg"
    photo.write_bytes(ladder().data)
    kept = ask("reading", "keep", str(photo), "--dye", "Kelp", "--depth", "1=3 %", "--depth", "2=0.4 %", "--studio", studio, "--json", parts=real)
    assert (kept.code, kept.json["verdict"]) == (0, "accept")
    with real.open_studio(studio_file) as opened:
        assert [one.depth for one in get_from_shelf(opened, "dye", "Kelp").thing.swatches] == pytest.approx([0.004, 0.03])
    listed = ask("reading", "list", "--studio", studio, "--json", parts=real).json["readings"]
    assert [one["label"] for one in listed] == ["Kelp, 0.4 %", "Kelp, 3 %"]
    for one, truth in zip(listed, (ladder().yarns[1], ladder().yarns[0]), strict=True):
        assert float(ciede2000(np.array(one["lab"]), truth.mean_lab)) < one["spread_de00"]
    pale, deep = (str(one["number"]) for one in listed)
    beside = ask("reading", "beside", pale, deep, "--studio", studio, "--json", parts=real).json
    wanted = float(ciede2000(ladder().yarns[1].mean_lab, ladder().yarns[0].mean_lab))
    assert abs(beside["de00"] - wanted) < 1.5 < beside["spread_de00"]
    out = tmp_path / "readings.csv"
    assert ask("reading", "export", "--out", str(out), "--studio", studio, parts=real).code == 0
    assert out.read_text(encoding="utf-8-sig").splitlines()[0].startswith("number,made_at,lot")
    assert ask("reading", "forget", pale, "--studio", studio, parts=real).code == 0
    assert "Kelp, 0.4 %" not in ask("reading", "list", "--studio", studio, parts=real).out
    missing = ask("reading", "beside", pale, deep, "--studio", studio, parts=real)
    assert (missing.code, f"no reading {pale}" in missing.err) == (2, True)
    wrong = ask("reading", "keep", str(photo), "--dye", "Kelp", "--depth", "3 %", "--studio", studio, parts=real)
    assert (wrong.code, "2=0.5 %" in wrong.err) == (2, True)


def test_a_refused_photo_keeps_no_reading(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    photo = tmp_path / "blurred.jpg"
    photo.write_bytes(refused().data)
    found = ask("reading", "keep", str(photo), "--studio", studio, parts=real)
    assert found.code == 3
    assert found.err.startswith("Refused: ")
    assert ask("reading", "list", "--studio", studio, "--json", parts=real).json["readings"] == []
    assert list(Path(studio).parent.rglob("*.jpg")) == []  # nor is its file left


@pytest.mark.parametrize(
    ("said", "where"), [(("--lot", "2020-01-01-Z"), "2020-01-01-Z"), (("--piece", "9"), "9"), (("--dye", "Nobody", "--depth", "1=1 %"), "Nobody")]
)
def test_a_photo_of_which_nothing_came_to_be_kept_is_not_left_behind(
    ask: Any, real: Parts, studio: str, tmp_path: Path, said: tuple[str, ...], where: str
) -> None:
    photo = tmp_path / "ladder.jpg"
    photo.write_bytes(ladder().data)
    found = ask("reading", "keep", str(photo), *said, "--studio", studio, parts=real)
    assert (found.code, found.out) == (2, "")
    assert where in found.err
    assert list(Path(studio).parent.rglob("*.jpg")) == []


def test_sizes_without_the_sheet_by_hand(ask: Any, tmp_path: Path) -> None:
    """320 px across; 10 to 60 % are 160 px and 16 cm; an outline of 160 x 96 px is then 153.6 cm2."""
    photo = tmp_path / "plain.png"
    Image.new("RGB", (320, 240), (190, 190, 190)).save(photo)
    found = ask("reading", "size", str(photo), "--points", "10,10 60,10", "--length", "16 cm", "--outline", "10,20 60,20 60,60 10,60", "--json").json
    assert found["px_per_mm"] == pytest.approx(1.0)
    assert found["pieces"][0]["area_cm2"] == pytest.approx(153.6)
    assert ask("reading", "size", str(photo), "--points", "10,10 60").code == 2
