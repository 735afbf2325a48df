"""Sizes in a photo that has no photo sheet: by a rectangle of known size, or by one known length. Colours are only relative."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from skeinwright.core.measure.without_sheet import Plane

    Array = NDArray[Any]

Place = tuple[float, float]
"""0-1 of the photo's width and height, from its top left."""
LEAST_SHARE = 0.0005
ASSUMED = "Sizes: each place is pointed at within half a per cent of the photo's long side; ± holds nine in ten."


@dataclass(frozen=True, kw_only=True, slots=True)
class SizeWithoutSheet:
    """Two points and the `length` between them, or four corners (clockwise from the top left) of a rectangle `width` by `height`, as typed; outlines."""

    photo: bytes
    points: tuple[Place, ...]
    length: str = ""
    width: str = ""
    height: str = ""
    outlines: tuple[tuple[Place, ...], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class SizedPiece:
    """One outline: area, the longest straight line across it, each with the half width of its 90 %; how far its colour lies from the first's, as seen."""

    number: int
    area_cm2: float
    area_spread_cm2: float
    longest_mm: float
    longest_spread_mm: float
    apart_de00: float | None
    hex: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Sized:
    """The scale and the outlines measured by it; `warnings` say what is uncertain, `assumed` what the spreads rest on."""

    px_per_mm: float
    pieces: tuple[SizedPiece, ...]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...] = (ASSUMED,)


def size_without_sheet(request: SizeWithoutSheet) -> Sized:
    """The sizes. Raises PhotoRefused for a file that is no photo, BadInput for points, lengths or outlines that cannot be meant."""
    import numpy as np

    from skeinwright.core.measure.without_sheet import POINTING, sizes_of
    from skeinwright.files.photos import open_picture

    picture, _ = open_picture(request.photo)
    pixels = np.asarray(picture)
    size = np.array([picture.width, picture.height], dtype=float)
    points = np.array(request.points, dtype=float).reshape(-1, 2) * size
    made = _plane_maker(request, len(points))
    plane = made(points)
    pieces: list[SizedPiece] = []
    first: Array | None = None
    for number, outline in enumerate(request.outlines, 1):
        px = np.array(outline, dtype=float).reshape(-1, 2) * size
        mean = _mean(pixels, px, number)
        lab = _lab(mean)
        first = lab if first is None else first
        sizes = sizes_of(made, points, px, POINTING * float(size.max()))
        pieces.append(
            SizedPiece(
                number=number,
                area_cm2=sizes.area_mm2 / 100,
                area_spread_cm2=sizes.area_spread_mm2 / 100,
                longest_mm=sizes.longest_mm,
                longest_spread_mm=sizes.longest_spread_mm,
                apart_de00=None if number == 1 else _apart(first, lab),
                hex="#" + "".join(f"{round(255 * value):02x}" for value in _encoded(mean)),
            )
        )
    return Sized(px_per_mm=plane.px_per_mm, pieces=tuple(pieces), warnings=plane.warnings)


def _plane_maker(request: SizeWithoutSheet, count: int) -> Callable[[Array], Plane]:
    """What makes a plane of as many points (pixels). Raises BadInput."""
    from skeinwright.core.measure.without_sheet import by_length, by_rectangle

    if count == 4:
        width, height = _mm(request.width, "width"), _mm(request.height, "height")
        return lambda points: by_rectangle(points, width, height)
    if count == 2:
        length = _mm(request.length, "length")
        return lambda points: by_length((points[0][0], points[0][1]), (points[1][0], points[1][1]), length)
    raise BadInput("Point at the two ends of a known length, or at the four corners of a rectangle.", where="points")


def _mm(typed: str, where: str) -> float:
    if not typed.strip():
        raise BadInput("Give its length, for example 20 cm or 85.6 mm.", where=where)
    value = float(parse("length", typed, where=where).value)
    if value <= 0:
        raise BadInput("A length is more than nothing.", where=where, text=typed)
    return value


def _mean(picture: Array, outline: Array, number: int) -> Array:
    import cv2
    import numpy as np

    from skeinwright.core.measure.flatten import decode

    mask = np.zeros(picture.shape[:2], np.uint8)
    if len(outline) >= 3:
        cv2.fillPoly(mask, [np.rint(outline).astype(np.int32)], 1)
    if int(mask.sum()) < LEAST_SHARE * mask.size:
        raise BadInput(f"Outline {number} holds too little of the photo. Draw it again, round the yarn.", where="outlines")
    return np.asarray(decode(picture[mask > 0]).mean(axis=0, dtype=float))


def _lab(linear: Array) -> Array:
    from skeinwright.core.measure.reference import lab_of

    return lab_of(linear)


def _apart(one: Array, other: Array) -> float:
    from skeinwright.core.colour.difference import ciede2000

    return float(ciede2000(one, other))


def _encoded(linear: Array) -> tuple[float, ...]:
    import numpy as np

    values = np.clip(linear, 0, 1)
    return tuple(float(one) for one in np.where(values <= 0.0031308, 12.92 * values, 1.055 * values ** (1 / 2.4) - 0.055))
