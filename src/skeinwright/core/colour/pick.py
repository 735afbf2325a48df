"""The colour of a patch in a photograph, with a white spot in the same light as the only help.

The average is made in linear light. Each channel is divided by the white spot's, so that the spot is neutral with
a Y of 0.9, about that of paper.
Without a card this is uncertain by about 5 in each of L*, a*, b* (`Reading.PHOTO`); a photo sheet does better.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.colour.spaces import linear_rgb_to_xyz, xyz_to_lab
from skeinwright.core.colour.tables import Array, white_xyz
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Lab

WHITE_Y = 0.9
"""Reflectance of the white spot [assumed: white paper]."""
_TOO_BRIGHT = 0.98
_TOO_DARK = 0.02
_UNEVEN = 0.25


@dataclass(frozen=True, slots=True)
class Spot:
    """A round spot in a picture: centre column `x`, row `y`, and `radius`, in pixels."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class Picked:
    """The Lab (D65, 2 degree) of a patch, and what to be careful about."""

    lab: Lab
    warnings: tuple[str, ...]


def pick_colour(linear_rgb: Array, patch: Spot, white: Spot) -> Picked:
    """The colour of `patch` in a picture (rows, columns, 3) of linear light, 0-1, balanced on `white`.

    The darkest 20 % (gaps between strands) and the brightest 2 % (glints) of the patch are left out. Raises BadInput for spots outside the picture,
    and for a white spot that is burnt out or too dark to balance on.
    """
    white_values = _pixels(linear_rgb, white, "white spot")
    if np.mean(np.any(white_values >= _TOO_BRIGHT, axis=1)) > 0.1:
        raise BadInput("The white spot is burnt out in this photo. Take the photo again a little darker, or choose another white spot.", where="white spot")
    light = np.median(white_values, axis=0)
    if float(light.min()) < _TOO_DARK:
        raise BadInput("The white spot is too dark to balance on. Choose a piece of white paper in the same light as the yarn.", where="white spot")
    values = _pixels(linear_rgb, patch, "patch")
    order = np.argsort(values.sum(axis=1))
    held = values[order[int(0.2 * len(order)) : max(int(np.ceil(0.98 * len(order))), int(0.2 * len(order)) + 1)]]
    mean = held.mean(axis=0) / light * WHITE_Y
    L, a, b = (float(value) for value in xyz_to_lab(linear_rgb_to_xyz(mean), white_xyz("D65", 2)))
    return Picked(Lab(L, a, b, "D65", 2), _warnings(held, light))


def _pixels(picture: Array, spot: Spot, where: str) -> Array:
    rows, columns = picture.shape[:2]
    top, bottom = max(int(spot.y - spot.radius), 0), min(int(spot.y + spot.radius) + 1, rows)
    left, right = max(int(spot.x - spot.radius), 0), min(int(spot.x + spot.radius) + 1, columns)
    if not (0 <= spot.x < columns and 0 <= spot.y < rows):
        raise BadInput(f"The {where} lies outside the picture. Choose it again.", where=where)
    y, x = np.mgrid[top:bottom, left:right]
    inside = (x - spot.x) ** 2 + (y - spot.y) ** 2 <= max(spot.radius, 0.8) ** 2
    values: Array = np.asarray(picture[top:bottom, left:right], dtype=float)[inside]
    return values


def _warnings(held: Array, light: Array) -> tuple[str, ...]:
    warnings = []
    if np.mean(np.any(held >= _TOO_BRIGHT, axis=1)) > 0.02:
        warnings.append("Part of the patch is burnt out: its colour is stronger than the photo shows.")
    if float(light.max() / light.min()) > 2.5:
        warnings.append("The light is strongly coloured. Daylight from a window gives a truer colour.")
    brightness = held.mean(axis=1)
    if float(brightness.std()) > _UNEVEN * max(float(brightness.mean()), 1e-6):
        warnings.append("The patch is uneven. Choose a smaller one of a single colour.")
    return tuple(warnings)
