"""What colouring a light does, on lights of our own making and on real ones."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import linear_rgb_to_xyz, srgb_to_lab, srgb_to_linear, xyz_to_lab
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import Light, render
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.views import VIEWS, view_light

COLOURS = ((0.02, 0.12, 0.18), (0.55, 0.30, 0.05), (0.75, 0.72, 0.62), (0.25, 0.01, 0.05), (0.03, 0.03, 0.035))
SIZE = {"width": 240, "height": 160}


def patch(shade: float, alpha: float = 1.0, mat: float = 1.0) -> Light:
    """A light that is the same everywhere."""
    return Light(*(np.full((4, 6), value, dtype=np.float32) for value in (shade, alpha, mat)))


def test_full_light_shows_the_colour_itself() -> None:
    """A fully lit flat patch is the colour's own sRGB code (spaces.py is held to IEC 61966-2-1 elsewhere); one code of rounding."""
    for code in ((38, 97, 118), (215, 162, 73), (120, 120, 120)):
        linear = tuple(srgb_to_linear(np.array(code) / 255.0))
        assert np.abs(render(patch(1.0), linear)[0, 0].astype(int) - np.array(code)).max() <= 1


@pytest.mark.parametrize("grey", [0x80, 0xB9, 0xE4])
def test_bare_mat_is_its_neutral_grey(grey: int) -> None:
    assert np.abs(render(patch(0.5, alpha=0.0), (0.9, 0.1, 0.1), mat=grey).astype(int) - grey).max() <= 1


def test_a_shadow_on_the_mat_stays_neutral() -> None:
    picture = render(patch(0.5, alpha=0.0, mat=0.6), (0.9, 0.1, 0.1))
    assert np.ptp(picture, axis=2).max() == 0
    assert picture.max() < 0xB9


@pytest.mark.parametrize("view", list(VIEWS))
@pytest.mark.parametrize("colour", COLOURS)
def test_the_yarn_as_a_whole_has_the_colour(view: str, colour: tuple[float, float, float]) -> None:
    """Mean of the picture over pixels that are all yarn, in linear light, over their mean light, is the colour within 1 (CIEDE2000)."""
    light = view_light(view, StrandLook(3, 22.0, 1.6, 0.4), **SIZE)
    yarn = light.alpha > 0.999
    linear = srgb_to_linear(render(light, colour)[yarn] / 255.0).mean(axis=0) / light.shade[yarn].mean()
    white = linear_rgb_to_xyz(np.ones(3))
    pair = [xyz_to_lab(linear_rgb_to_xyz(np.asarray(c)), white) for c in (linear, colour)]
    assert ciede2000(*pair) < 1.0


def test_shade_is_more_saturated_than_light() -> None:
    """Light from the depth of dyed wool has met more dye: the ratio of channels grows in the shade."""
    shade = np.repeat(np.array([[0.3], [1.2]], dtype=np.float32), 50, axis=1)
    picture = srgb_to_linear(render(Light(shade, np.ones_like(shade), np.ones_like(shade)), (0.4, 0.1, 0.1)) / 255.0)
    ratio = picture[..., 0] / picture[..., 1]
    assert ratio[0].mean() > 1.1 * ratio[1].mean()


def test_grey_yarn_is_grey_everywhere() -> None:
    picture = render(view_light("twisted", StrandLook(), **SIZE), (0.2, 0.2, 0.2))
    assert np.ptp(picture, axis=2).max() == 0


def test_more_light_is_never_darker() -> None:
    ramp = np.linspace(0.05, 1.5, 200, dtype=np.float32)[None, :]
    picture = render(Light(ramp, np.ones_like(ramp), np.ones_like(ramp)), (0.8, 0.4, 0.2)).astype(int)
    assert (np.diff(picture, axis=1) >= 0).all()
    assert picture.max() < 255


@pytest.mark.parametrize("colour", [(0.1, 0.2), (0.1, 0.2, float("nan"))])
def test_a_colour_is_three_numbers(colour: tuple[float, ...]) -> None:
    with pytest.raises(BadInput, match="three linear values"):
        render(patch(1.0), colour)


def test_lab_of_the_mat_is_neutral() -> None:
    """The mat has no chroma to speak of."""
    lab = srgb_to_lab(render(patch(0.5, alpha=0.0), (0.5, 0.5, 0.5))[0, 0])
    assert abs(lab[1]) < 0.05
    assert abs(lab[2]) < 0.05
