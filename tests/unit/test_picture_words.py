"""Pictures in words, ladders, and pictures as files."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from skeinwright.core.colour.spaces import srgb_to_lab, srgb_to_linear
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.describe import colour_words, describe, describe_ladder
from skeinwright.core.picture.ladder import ladder
from skeinwright.core.picture.look import StrandLook
from skeinwright.files.pictures import picture_bytes


@pytest.mark.parametrize(
    ("code", "word"),
    [
        ((255, 0, 0), "red"),
        ((0, 128, 0), "green"),
        ((255, 255, 0), "yellow"),
        ((255, 165, 0), "orange"),
        ((128, 0, 128), "violet"),
        ((64, 224, 208), "turquoise"),
        ((139, 90, 43), "brown"),
        ((255, 182, 193), "pink"),
        ((0, 0, 0), "black"),
        ((255, 255, 255), "white"),
        ((128, 128, 128), "grey"),
        ((0, 90, 200), "blue"),
        ((239, 233, 220), "cream"),
    ],
)
def test_names_that_everybody_agrees_on(code: tuple[int, int, int], word: str) -> None:
    """The named colours of the CSS standard (and cream and brown, common practice) get a name that holds that word."""
    lab = tuple(float(v) for v in srgb_to_lab(np.array(code)))
    assert word in colour_words(lab)  # type: ignore[arg-type]


def test_every_colour_has_a_name() -> None:
    names = {colour_words((L, a, b)) for L in range(0, 101, 10) for a in range(-80, 81, 16) for b in range(-80, 81, 16)}
    assert all(names)
    assert len(names) > 60


def test_a_picture_in_words() -> None:
    said = describe("twisted", StrandLook(4, 30.0), (38.0, -12.0, -18.0), base="Quay Sock")
    assert said == "A twisted skein of Quay Sock, four plies twisted together, high twist, in a deep green blue."
    assert describe("knitted", StrandLook(1, 15.0), (95.0, 0.0, 0.0)) == "A patch of plain knit of yarn, a single ply, soft twist, in white."


def test_a_ladder_in_words() -> None:
    assert describe_ladder("Kelp", []) == "Kelp, no swatches yet."
    assert describe_ladder("Kelp", [(80.0, -20.0, 20.0), (30.0, -25.0, 20.0)]) == "Kelp, 2 swatches from light green to deep green."


def test_a_ladder_is_flat_patches_of_its_colours_edge_to_edge() -> None:
    """The mean of each patch, in linear light, is its colour within 1.5 % of white; neighbours meet without a gap."""
    colours = [(0.7, 0.6, 0.4), (0.4, 0.2, 0.1), (0.1, 0.03, 0.02)]
    picture = ladder(colours, width=300, height=40)
    assert picture.shape == (40, 300, 3)
    for k, colour in enumerate(colours):
        mean = srgb_to_linear(picture[:, 100 * k : 100 * k + 100] / 255.0).mean(axis=(0, 1))
        assert np.abs(mean - colour).max() < 0.015
    red = srgb_to_linear(picture[..., 0] / 255.0).mean(axis=0)
    assert (np.abs(red - 0.7) < 0.2)[:100].all()
    assert (np.abs(red - 0.4) < 0.15)[100:200].all()
    assert (np.abs(red - 0.1) < 0.05)[200:].all()


@pytest.mark.parametrize("count", [0, 65])
def test_ladders_that_cannot_be(count: int) -> None:
    with pytest.raises(BadInput, match="1 to 64"):
        ladder([(0.5, 0.5, 0.5)] * count)


def test_files_there_and_back() -> None:
    pixels = ladder([(0.7, 0.6, 0.4), (0.1, 0.03, 0.02)], width=120, height=20)
    png = picture_bytes(pixels)
    assert png == picture_bytes(pixels)
    with Image.open(BytesIO(png)) as image:
        assert np.array_equal(np.asarray(image), pixels)
        assert image.info == {}
    for form in ("jpeg", "webp"):
        with Image.open(BytesIO(picture_bytes(pixels, form))) as image:  # type: ignore[arg-type]
            assert image.format == form.upper()
            assert np.abs(np.asarray(image).astype(int) - pixels).mean() < 4.0
            assert not image.getexif()


def test_files_that_cannot_be_written() -> None:
    pixels = np.zeros((4, 4, 3), dtype=np.uint8)
    with pytest.raises(BadInput, match="png"):
        picture_bytes(pixels, "bmp")  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="height x width"):
        picture_bytes(pixels[..., 0])
