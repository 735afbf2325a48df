"""`skeinwright own-test`: the same tests as on the pages, from the command line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from skeinwright.cli.parts import Parts
from skeinwright.core.learn.own_tests import OWN_TESTS
from skeinwright.services.add_to_shelf import add_to_shelf

KEYS = {"test", "of_kind", "of", "quantity", "value", "low", "high", "unit", "made_on", "lot", "note"}


@pytest.fixture
def studio(real: Parts, studio_file: Path) -> str:
    with real.open_studio(studio_file) as opened:
        add_to_shelf(opened, "vessel", {"name": "Steam pan", "shape": "rectangle", "length_mm": "50 cm", "width_mm": "30 cm", "height_mm": "10 cm"})
        add_to_shelf(opened, "dye", {"name": "Kelp"})
    return str(studio_file)


def test_a_test_is_kept_and_listed(ask: Any, real: Parts, studio: str) -> None:
    """The pan of 0.15 m2 at 85 C loses 2 x 783 g an hour in still air (bath note, section 7): 783 g in half an hour is once."""
    said = ("vessel=Steam pan", "temp=85 C", "time=30 min", "before=6 kg", "after=5217 g")
    kept = ask("own-test", "keep", "evaporation", *said, "--studio", studio, "--json", parts=real)
    assert kept.code == 0
    (found,) = kept.json["tests"]
    assert set(found) == KEYS
    assert (found["of"], found["quantity"], found["unit"]) == ("Steam pan", "evaporation_factor", "x")
    assert found["value"] == pytest.approx(1.0, rel=0.03)
    assert found["low"] < found["value"] < found["high"]
    assert kept.json["assumed"]
    listed = ask("own-test", "list", "--of", "steam pan", "--studio", studio, "--json", parts=real)
    assert listed.json["tests"] == kept.json["tests"]
    assert "times still air" in ask("own-test", "list", "--studio", studio, parts=real).out


@pytest.mark.parametrize(
    ("said", "where"),
    [
        (("vessel=Steam pan", "temp=85", "time=30 min", "before=6 kg", "after=5 kg"), "temp"),
        (("vessel=Sink",), "vessel"),
        (("vessel=Steam pan", "warmth=85 C"), "warmth"),
        (("Steam pan",), "FIELD=VALUE"),
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_is_kept(ask: Any, real: Parts, studio: str, said: tuple[str, ...], where: str) -> None:
    told = ask("own-test", "keep", "evaporation", *said, "--studio", studio, parts=real)
    assert (told.code, told.out) == (2, "")
    assert where in told.err
    assert ask("own-test", "list", "--studio", studio, "--json", parts=real).json["tests"] == []


def test_a_photo_that_is_none_is_refused(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    (tmp_path / "paper.jpg").write_bytes(b"no picture")
    told = ask("own-test", "keep", "footprint", "dye=Kelp", "--photo", str(tmp_path / "paper.jpg"), "--studio", studio, parts=real)
    assert told.code == 3
    assert ask("own-test", "keep", "evaporation", "--photo", str(tmp_path / "paper.jpg"), "--studio", studio, parts=real).code == 2


def test_strands_are_read_in_a_photo_by_their_places(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    """K/S of grey patches by hand: undyed R 0.8 has 0.025; 0.5 has 0.25, 0.3 has 0.817: the lifted strand has 28 % of the finished one's."""
    linear = np.array([0.9, 0.8, 0.3, 0.5, 0.4]) / 0.9 * 0.85  # the white spot is taken for a reflectance of 0.9
    encoded = np.round(255 * (1.055 * linear ** (1 / 2.4) - 0.055)).astype(np.uint8)
    picture = np.repeat(np.repeat(np.repeat(encoded[None, :, None], 120, axis=0), 80, axis=1), 3, axis=2)
    Image.fromarray(picture).save(tmp_path / "strands.png")
    with real.open_studio(Path(studio)) as opened:
        add_to_shelf(opened, "base", {"name": "Fen Single", "fibres": "wool", "skein_g": "100 g", "length_mm": "360 m"})
    places = [f"{key}={10 + 20 * number},50" for number, key in enumerate(("white", "undyed", "finished", "s1", "s2"))]
    at = [word for place in places for word in ("--at", place)]
    told = ask("own-test", "keep", "strike", "base=Fen Single", "--photo", str(tmp_path / "strands.png"), *at, "--studio", studio, "--json", parts=real)
    assert told.code == 0
    first, second = (float(line.split()[-2]) for line in told.json["inputs"]["strands"].splitlines())
    assert first == pytest.approx(100 * (0.25 - 0.025) / (0.8167 - 0.025), abs=2)
    assert second == pytest.approx(100 * (0.45 - 0.025) / (0.8167 - 0.025), abs=3)
    assert ask("own-test", "keep", "strike", "--at", "white=left", "--studio", studio, parts=real).code == 2


@pytest.mark.parametrize("key", OWN_TESTS)
def test_each_test_is_explained_without_a_studio(ask: Any, key: str) -> None:
    told = ask("own-test", "explain", key, "--json").json
    assert told["title"] == OWN_TESTS[key].title
    assert told["steps"]
    assert told["fields"]
    assert "You need" in ask("own-test", "explain", key).out
    assert ask("own-test", "explain", "tasting").code == 2


def test_a_thing_that_is_not_on_the_shelf_has_no_tests_to_list(ask: Any, real: Parts, studio: str) -> None:
    assert ask("own-test", "list", "--of", "Nobody", "--studio", studio, parts=real).err.startswith("--of: Nobody is not on the shelf")
    assert ask("own-test", "list", "--of", "kelp", "--studio", studio, parts=real).out == "Nothing was tested yet.\n"
