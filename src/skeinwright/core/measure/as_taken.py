"""A photograph without the photo sheet, read as it was taken: the yarn is what was framed, its colours are only relative.

A white spot that was pointed at takes the place of the paper. Without one the camera's own white is taken. Nothing is evened and no size is known.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.pick import WHITE_Y
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.colour import Correction
from skeinwright.core.measure.flatten import PX_PER_MM, Bytes, decode
from skeinwright.core.measure.gates import Verdict
from skeinwright.core.measure.palette import colours_of
from skeinwright.core.measure.reading import DRY, LabValues, PhotoReading, PieceColours
from skeinwright.core.measure.reference import lab_of
from skeinwright.core.measure.sheet import Box
from skeinwright.core.measure.without_sheet import RELATIVE
from skeinwright.core.measure.yarn import Mask, Piece, inner

Array = NDArray[np.float64]
Frame = tuple[float, float, float, float]
"""Left, top, right and bottom as shares (0-1) of the picture."""

ACROSS_MM = 300.0
"""What the long side of such a photo is taken to show: it sets how fine a spot may be. [assumed]"""
RELATIVE_DE00 = 10.0
"""Spread of colours that rest on a camera's own white. [assumed]"""
WHITE_DE00 = 8.0
LEAST_SHARE = 0.03
WHITE_REACH = 0.008
CUT_PX = 480
LEAST_YARN = 0.25
CAMERA_WHITE = "The camera's own white is taken as it is: point at something white beside the yarn, and colours are surer."


def read_as_taken(
    picture: Bytes, frame: Frame, rng: np.random.Generator, *, white: tuple[float, float] | None = None, matrix: Array | None = None
) -> PhotoReading:
    """The framed yarn of a picture (rows, columns, 3) as one piece. Raises BadInput for a frame or a white spot that cannot be meant."""
    import cv2

    left, top, right, bottom = frame
    if not (0 <= left < right <= 1 and 0 <= top < bottom <= 1 and right - left >= LEAST_SHARE and bottom - top >= LEAST_SHARE):
        raise BadInput("Frame the yarn by two opposite corners inside the photo, a thirtieth of it apart at least.", where="frame")
    scale = ACROSS_MM * PX_PER_MM / max(picture.shape[:2])
    if scale < 1:
        picture = np.asarray(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    relative = decode(picture, matrix) / _white(picture, white, matrix)
    rows, columns = relative.shape[:2]
    mask = _yarn_in(picture, (round(left * columns), round(top * rows), round(right * columns), round(bottom * rows)))
    box = Box(0.0, 0.0, columns / PX_PER_MM, rows / PX_PER_MM)
    window = relative.astype(np.float32)
    correction = Correction(
        lambda values: np.asarray(values, dtype=float) * WHITE_Y,
        "the white spot" if white else "the camera's white",
        assumed_de00=WHITE_DE00 if white else RELATIVE_DE00,
    )
    found = colours_of(window, mask, PX_PER_MM, rng)
    some = window[inner(mask, PX_PER_MM)][::7]
    labs = [_three(correction.lab(one)[0]) for one in (found.ground, *found.others)]
    seen_y, seen_x = (np.flatnonzero(mask.any(axis=axis)) / PX_PER_MM for axis in (1, 0))
    x0, x1, y0, y1 = float(seen_x[0]), float(seen_x[-1]), float(seen_y[0]), float(seen_y[-1])
    outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    piece = Piece(mask, outline, float(mask.sum()) / PX_PER_MM**2, ((x0 + x1) / 2, (y0 + y1) / 2), True)
    coloured = PieceColours(
        piece=piece,
        area_cm2=float("nan"),
        mean_lab=_three(lab_of(correction.apply(some.astype(float)).mean(axis=0))),
        ground_lab=labs[0],
        ground_share=found.ground_share,
        others=tuple(zip(labs[1:], found.shares, strict=True)),
        found=found,
    )
    return PhotoReading(
        verdict=Verdict.WARN,
        gates=(),
        window=window,
        window_box=box,
        correction=correction,
        pieces=(coloured,),
        warnings=(RELATIVE,),
        assumed=(*(() if white else (CAMERA_WHITE,)), DRY),
    )


def _yarn_in(picture: Bytes, frame: tuple[int, int, int, int]) -> Mask:
    """The yarn in a frame of pixels: what differs from its surroundings (graph cuts on colour statistics, rother2004), or all of it where little does."""
    import cv2

    left, top, right, bottom = frame
    whole = np.zeros(picture.shape[:2], dtype=bool)
    whole[top:bottom, left:right] = True
    scale = min(1.0, CUT_PX / max(picture.shape[:2]))
    small = np.ascontiguousarray(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)[..., ::-1])
    found = np.zeros(small.shape[:2], np.uint8)
    box = [max(1, round(value * scale)) for value in (left, top, right - left, bottom - top)]
    cv2.setRNGSeed(1)
    try:
        cv2.grabCut(small, found, box, np.zeros((1, 65)), np.zeros((1, 65)), 4, cv2.GC_INIT_WITH_RECT)
    except cv2.error:  # a frame round the whole picture leaves no surroundings to tell the yarn from
        return whole
    kept = ((found == cv2.GC_FGD) | (found == cv2.GC_PR_FGD)).astype(np.uint8)
    kept = cv2.morphologyEx(kept, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    mask = (cv2.resize(kept, (picture.shape[1], picture.shape[0]), interpolation=cv2.INTER_NEAREST) > 0) & whole
    return mask if mask.sum() > LEAST_YARN * whole.sum() else whole


def _white(picture: Bytes, white: tuple[float, float] | None, matrix: Array | None) -> Array:
    if white is None:
        return np.full(3, WHITE_Y)
    rows, columns = picture.shape[:2]
    reach = max(2, round(WHITE_REACH * max(rows, columns)))
    x, y = round(white[0] * (columns - 1)), round(white[1] * (rows - 1))
    spot = decode(picture[max(y - reach, 0) : y + reach + 1, max(x - reach, 0) : x + reach + 1], matrix).reshape(-1, 3)
    middle = np.median(spot, axis=0).astype(float)
    if middle.min() < 0.08:
        raise BadInput("The place that was pointed at is too dark to be white. Point at white paper in the same light.", where="white")
    return np.asarray(middle, dtype=float)


def _three(lab: Array) -> LabValues:
    return (float(lab[0]), float(lab[1]), float(lab[2]))
