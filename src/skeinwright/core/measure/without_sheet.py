"""A photograph without a sheet: a rectangle of known size, or one known length, gives sizes in its plane; colours are only relative.

A rectangle (a card, a book, a sheet of paper) also takes the perspective out. A length alone does not, and holds where the camera looked straight down.
How sure a size is, rests on how well a finger points: with p the half width (90 %) of each coordinate that is pointed at, c_i those of the known
length or rectangle, and the outline drawn too wide or too narrow by p all round,

    area A:       sqrt(sum_i (p dA/dc_i)^2 + (p' U)^2)          U the outline's length round, p' = p in mm
    longest l:    sqrt(sum_i (p dl/dc_i)^2 + (2 p')^2)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput

Array = NDArray[np.float64]
RELATIVE = "Without the photo sheet colours are only relative: compare them within this photo, not with anything else."
NOT_SQUARE = "One length does not show from which side the photo was taken: sizes hold only if the camera looked straight down."

POINTING = 0.005
"""How well a place is pointed at: 90 % lie within this share of the photo's long side, in each direction. [assumed]"""
STEP_PX = 0.01


@dataclass(frozen=True, slots=True)
class Sizes:
    """An outline's area (mm2) and the longest straight line across it (mm), each with the half width of its 90 %."""

    area_mm2: float
    area_spread_mm2: float
    longest_mm: float
    longest_spread_mm: float


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane in the photo: `homography` (3, 3) takes millimetres in it to pixels; what is uncertain is said in `warnings`."""

    homography: Array
    px_per_mm: float
    warnings: tuple[str, ...]

    def to_px(self, plane_mm: Array) -> Array:
        """Pixels (..., 2) of places (..., 2) in the plane."""
        return _through(self.homography, plane_mm)

    def to_mm(self, px: Array) -> Array:
        """Places in the plane (..., 2), in mm, of pixels (..., 2)."""
        return _through(np.asarray(np.linalg.inv(self.homography), dtype=float), px)

    def length_mm(self, start_px: tuple[float, float], end_px: tuple[float, float]) -> float:
        """How far two pixels lie apart in the plane."""
        start, end = self.to_mm(np.array([start_px, end_px], dtype=float))
        return float(np.linalg.norm(end - start))

    def area_mm2(self, outline_px: Array) -> float:
        """The area of a polygon of pixels (n, 2) in the plane."""
        x, y = self.to_mm(np.asarray(outline_px, dtype=float)).T
        return 0.5 * abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))))


def by_rectangle(corners_px: Array, width_mm: float, height_mm: float) -> Plane:
    """The plane of a rectangle from its four corners (4, 2), clockwise from the top left. Raises BadInput for corners that make no rectangle."""
    corners = np.asarray(corners_px, dtype=float)
    if corners.shape != (4, 2) or min(width_mm, height_mm) <= 0:
        raise BadInput("Point at the four corners of the rectangle, and give its width and height.", where="rectangle")
    turns = [_cross(corners[i] - corners[i - 1], corners[(i + 1) % 4] - corners[i]) for i in range(4)]
    if min(turns) <= 0:
        raise BadInput("The four corners must go round the rectangle clockwise, from its top left.", where="rectangle")
    page = np.array([[0, 0], [width_mm, 0], [width_mm, height_mm], [0, height_mm]], dtype=float)
    homography = _homography(page, corners)
    middle = np.array([width_mm / 2, height_mm / 2])
    at = _through(homography, middle + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    return Plane(homography, float(np.sqrt(abs(_cross(at[1] - at[0], at[2] - at[0])))), (RELATIVE,))


def by_length(start_px: tuple[float, float], end_px: tuple[float, float], length_mm: float) -> Plane:
    """The plane from one known length between two pixels, as if seen from straight above. Raises BadInput where it is too short to go by."""
    distance = float(np.hypot(end_px[0] - start_px[0], end_px[1] - start_px[1]))
    if length_mm <= 0 or distance < 50:
        raise BadInput("The known length must be longer in the photo: 50 pixels at least. Point at its two ends again.", where="length")
    scale = distance / length_mm
    return Plane(np.diag([scale, scale, 1.0]), scale, (RELATIVE, NOT_SQUARE))


def sizes_of(made: Callable[[Array], Plane], points_px: Array, outline_px: Array, pointed_px: float) -> Sizes:
    """The sizes of an outline (n, 2) in the plane that `made` makes of the points (2 or 4, 2), where each coordinate is pointed at within `pointed_px`."""
    points = np.asarray(points_px, dtype=float)
    plane = made(points)
    at_mm = plane.to_mm(outline_px)
    here = np.array([plane.area_mm2(outline_px), _longest(at_mm)])
    moved = []
    for place in np.ndindex(points.shape):
        nearby = points.copy()
        nearby[place] += STEP_PX
        other = made(nearby)
        moved.append((np.array([other.area_mm2(outline_px), _longest(other.to_mm(outline_px))]) - here) / STEP_PX * pointed_px)
    wide_mm = pointed_px / plane.px_per_mm
    round_mm = float(np.linalg.norm(at_mm - np.roll(at_mm, 1, axis=0), axis=1).sum())
    area, longest = np.sqrt((np.array([*moved, (wide_mm * round_mm, 2 * wide_mm)]) ** 2).sum(axis=0))
    return Sizes(float(here[0]), float(area), float(here[1]), float(longest))


def _longest(points: Array) -> float:
    return float(np.linalg.norm(points[:, None] - points[None], axis=-1).max())


def _cross(one: Array, other: Array) -> float:
    return float(one[0] * other[1] - one[1] * other[0])


def _through(homography: Array, points: Array) -> Array:
    points = np.asarray(points, dtype=float)
    whole = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ homography.T
    found: Array = whole[..., :2] / whole[..., 2:]
    return found


def _homography(page: Array, pixels: Array) -> Array:
    """The projective map of four points to four points."""
    rows, wanted = [], []
    for (x, y), (u, v) in zip(page, pixels, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    found = np.append(np.linalg.solve(np.array(rows), np.array(wanted)), 1.0)
    homography: Array = found.reshape(3, 3)
    return homography
