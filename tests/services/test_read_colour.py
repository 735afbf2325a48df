"""A colour as typed or picked, with how it was read and how sure that is."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.pick import Spot
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import READING_SD, Reading
from skeinwright.services.read_colour import ColourRequest, read_colour


def test_typed_lab() -> None:
    read = read_colour(ColourRequest(text="41.2, -8, -20"))
    assert read.lab.values == (41.2, -8.0, -20.0)
    assert (read.lab.illuminant, read.lab.observer) == ("D65", 10)
    assert (read.reading, read.sd) == (Reading.TYPED, READING_SD[Reading.TYPED])


def test_hex_is_two_degree() -> None:
    read = read_colour(ColourRequest(text="#3A5F7B"))
    assert (read.lab.illuminant, read.lab.observer) == ("D65", 2)
    assert (read.reading, read.srgb, read.said) == (Reading.HEX, (0x3A, 0x5F, 0x7B), "#3a5f7b")
    assert not read.warnings


@pytest.mark.parametrize("text", ["#ff0040", "#00ffaa"])
def test_hex_at_its_ends_is_warned_of(text: str) -> None:
    assert any("lie beyond" in sentence for sentence in read_colour(ColourRequest(text=text)).warnings)


def test_matched_by_eye_is_as_wide_as_an_eye() -> None:
    assert read_colour(ColourRequest(text="#3a5f7b", by_eye=True)).sd == READING_SD[Reading.EYE]


def test_an_impossible_colour_is_warned_of() -> None:
    assert any("No dyed yarn" in sentence for sentence in read_colour(ColourRequest(text="50, 0, -140")).warnings)


def test_a_patch_in_a_photo_of_bytes() -> None:
    picture = np.zeros((40, 60, 3), dtype=np.uint8)
    picture[:, :30] = 243  # linear 0.9
    picture[:, 30:] = (0x6A, 0x4F, 0x8C)
    read = read_colour(ColourRequest(picture=picture, patch=Spot(45, 20, 8), white=Spot(12, 20, 6)))
    assert (read.reading, read.sd) == (Reading.PHOTO, 5.0)
    assert np.abs(np.array(read.srgb) - [0x6A, 0x4F, 0x8C]).max() <= 1
    assert any("white spot" in sentence for sentence in read.assumed)


@pytest.mark.parametrize("request_", [ColourRequest(), ColourRequest(text="#12"), ColourRequest(text="blue"), ColourRequest(picture=np.zeros((9, 9, 3)))])
def test_what_cannot_be_read_is_refused(request_: ColourRequest) -> None:
    with pytest.raises(BadInput):
        read_colour(request_)
