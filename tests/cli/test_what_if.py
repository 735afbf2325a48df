"""`skeinwright colourway what-if`: the same service as the page, as JSON and as a picture; and one pair taken."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from skeinwright.cli.parts import Parts
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.studio import Studio, one_worker
from what_if_studio import keep_rock_pool

TWO = ("--down-value", "150 ml", "--down-value", "900 ml", "--across-value", "4 ml", "--across-value", "8 ml")


@pytest.fixture
def here(real: Parts, studio_file: Path) -> Parts:
    """A studio with a colourway, whose pictures are worked out in this process."""

    @contextmanager
    def opened(path: Path | None, must_exist: bool = False) -> Iterator[Studio]:
        with real.open_studio(path, must_exist) as studio:
            yield dataclasses.replace(studio, workers=one_worker)

    with real.open_studio(studio_file) as studio:
        keep_rock_pool(studio)
    return dataclasses.replace(real, open_studio=opened)


def test_a_grid_as_json_and_as_a_picture(ask: Callable[..., Any], here: Parts, studio_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "grid.png"
    answer = ask("colourway", "what-if", "Rock pool", *TWO, "--studio", str(studio_file), "--out", str(out), "--json", parts=here)
    assert answer.code == 0, answer.err
    assert "4 of 4 pictures." in answer.err
    found = answer.json
    assert [(one["down"], one["across"], one["as_it_is"]) for one in found["patches"]] == [
        ("150 ml", "4 ml", False), ("150 ml", "8 ml", False), ("900 ml", "4 ml", False), ("900 ml", "8 ml", False)
    ]  # fmt: skip
    assert found["inputs"]["down"] == "water"
    assert all(one["front_back"] > 0 and 0 <= one["bath_left_fraction"] <= 1 for one in found["patches"])
    assert any("assumed" in sentence for sentence in found["assumed"])
    with Image.open(out) as drawn:
        assert drawn.format == "PNG"


def test_one_pair_is_taken(ask: Callable[..., Any], here: Parts, studio_file: Path) -> None:
    one = ("--down-value", "900 ml", "--across-value", "4 ml", "--take")
    assert ask("colourway", "what-if", "Rock pool", *one, "--studio", str(studio_file), parts=here).code == 0
    with here.open_studio(studio_file) as studio:
        steps = get_colourway(studio, "Rock pool").thing.steps
    assert (steps[0].get("volume"), steps[1].get("amount")) == ("900 ml", "4 ml")


@pytest.mark.parametrize(
    ("options", "said"),
    [(("--down", "salt"), "no 'salt' to try"), (("--across-value", "blue", "--across-value", "4 ml"), "across 1"), (("--take",), "one value")],
)
def test_bad_input_is_a_sentence_and_exit_2(ask: Callable[..., Any], here: Parts, studio_file: Path, options: tuple[str, ...], said: str) -> None:
    answer = ask("colourway", "what-if", "Rock pool", *options, "--studio", str(studio_file), parts=here)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
