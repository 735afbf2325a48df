"""Read the colour of a patch of yarn in a kept photo, balanced on a white spot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.find_photo import find_photo
from skeinwright.services.read_colour import ColourReading, ColourRequest, read_colour
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from typing import Any

    from numpy.typing import NDArray

RADIUS_SHARE = 0.012
"""The radius of a spot, as a share of the photo's shorter side."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PickInPhoto:
    """Where was pointed: (x, y) from the top left, 0-1 of the width and of the height."""

    photo: int
    white: tuple[float, float]
    patch: tuple[float, float]


def pick_in_photo(studio: Studio, request: PickInPhoto, *, opened: NDArray[Any] | None = None) -> ColourReading:
    """The colour of the patch. Where many are read in one photo, `opened` is the photo as `opened_photo` gave it.

    Raises NotFound for an unknown photo, BadInput for a spot outside it or one that cannot serve as white.
    """
    from skeinwright.core.colour.pick import Spot

    if not all(0 <= value <= 1 for value in (*request.white, *request.patch)):
        raise BadInput("The spot lies outside the photo. Point at it again.", where="photo")
    picture = opened_photo(studio, request.photo) if opened is None else opened
    height, width = picture.shape[:2]
    radius = max(3, round(RADIUS_SHARE * min(width, height)))

    def spot(at: tuple[float, float]) -> Spot:
        return Spot(min(round(at[0] * width), width - 1), min(round(at[1] * height), height - 1), radius)

    return read_colour(ColourRequest(picture=picture, patch=spot(request.patch), white=spot(request.white)))


def opened_photo(studio: Studio, photo: int) -> NDArray[Any]:
    """The pixels of a kept photo, (rows, columns, 3). Raises NotFound."""
    import numpy as np

    from skeinwright.files.photos import open_picture

    return np.asarray(open_picture(find_photo(studio, photo).read_bytes())[0])  # one that was kept to be measured in may be in P3
