"""Where the yarn is: everything in the sheet's window that is neither paper nor the grey insert, or what the dyer has drawn.

A pixel is yarn if its Oklab chroma is above 0.035, or its L below 0.60, or its texture (standard deviation of L over 0.8 mm) above 0.03 with L below 0.93;
on the grey insert the same is asked of its distance from the insert. Small gaps are closed, fringe and dust are dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.flatten import Floats, cut_of
from skeinwright.core.measure.oklab import oklab
from skeinwright.core.measure.sheet import Box

Mask = NDArray[np.bool_]
Outline = tuple[tuple[float, float], ...]

CHROMA, DARK, TEXTURE, BRIGHT = 0.035, 0.60, 0.03, 0.93
TEXTURE_MM, CLOSE_MM, OPEN_MM, FRINGE_MM = 0.8, 1.0, 1.2, 0.8
SMALLEST_SHARE = 0.10
SMALLEST_CM2 = 0.5
TAP_MM = 4.0
"""A tap this near to a piece of yarn means it."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One skein or swatch: `mask` over the picture of the window, its outline on the page, its area (of the print; a ruler check scales it), its middle."""

    mask: Mask
    outline_mm: Outline
    area_mm2: float
    middle_mm: tuple[float, float]
    drawn: bool = False


def find_yarn(window: Floats, box: Box, px_per_mm: float, keep_off: tuple[Box, ...] = ()) -> tuple[Piece, ...]:
    """The pieces of yarn in the evened picture of the window, from left to right and then down; none where there is none."""
    mask = yarn_mask(window, px_per_mm)
    for other in keep_off:
        mask[cut_of(other.grown(1), box, px_per_mm, (mask.shape[0], mask.shape[1]))] = False
    return _pieces(mask, box, px_per_mm)


def drawn_yarn(outlines: Sequence[Outline], box: Box, px_per_mm: float, shape: tuple[int, int]) -> tuple[Piece, ...]:
    """The pieces as the dyer drew them, in that order. Raises BadInput for an outline that is none or lies outside the window."""
    import cv2

    pieces = []
    for number, outline in enumerate(outlines, 1):
        points = (np.array(outline, dtype=float).reshape(-1, 2) - [box.x_mm, box.y_mm]) * px_per_mm
        mask = np.zeros(shape, np.uint8)
        if len(points) >= 3:
            cv2.fillPoly(mask, [np.rint(points * 16).astype(np.int32)], 1, shift=4)
        if int(mask.sum()) < 25 * px_per_mm**2:
            raise BadInput(f"Outline {number} holds no yarn inside the window. Draw it again, round the yarn.", where="outline")
        pieces.append(_piece(mask > 0, box, px_per_mm, drawn=True))
    return tuple(pieces)


def tapped(pieces: Sequence[Piece], taps_mm: Sequence[tuple[float, float]], box: Box, px_per_mm: float) -> tuple[Piece, ...]:
    """The pieces in the order in which they were tapped. Raises BadInput for a tap beside all yarn, and for one piece tapped twice."""
    order: list[int] = []
    for number, (x, y) in enumerate(taps_mm, 1):
        distances = [_distance_mm(piece, ((x - box.x_mm) * px_per_mm, (y - box.y_mm) * px_per_mm), px_per_mm) for piece in pieces]
        if not distances or min(distances) > TAP_MM:
            raise BadInput(f"There is no yarn where tap {number} points. Tap on a swatch, or draw round it.", where="tap")
        chosen = int(np.argmin(distances))
        if chosen in order:
            both = f"Taps {order.index(chosen) + 1} and {number} point at one piece of yarn."
            raise BadInput(f"{both} Lay swatches a finger apart, or draw round each.", where="tap")
        order.append(chosen)
    return tuple(pieces[place] for place in order)


def inner(mask: Mask, px_per_mm: float, by_mm: float = FRINGE_MM) -> Mask:
    """The mask without its rim: no fringe, no contact shadow."""
    import cv2

    found: Mask = cv2.erode(mask.astype(np.uint8), _disc(by_mm, px_per_mm), borderValue=0) > 0
    return found


def yarn_mask(window: Floats, px_per_mm: float) -> Mask:
    """True on yarn, over the whole picture of the window. Found at half the resolution."""
    import cv2

    small = cv2.resize(window, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    scale = px_per_mm / 2
    lab = oklab(small)
    texture = _texture(lab[..., 0], scale)
    mask = _is_yarn(lab, texture, _ground_of(lab, texture, scale)).astype(np.uint8)
    closed = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, _disc(CLOSE_MM, scale))
    opened = cv2.morphologyEx(closed, cv2.MORPH_OPEN, _disc(OPEN_MM, scale))
    large = cv2.resize(_filled(opened), (window.shape[1], window.shape[0]), interpolation=cv2.INTER_NEAREST)
    return np.asarray(large, dtype=bool)


def _ground_of(lab: Floats, texture: Floats, scale: float) -> Floats | None:
    """The Oklab of a grey insert that the yarn lies on, or None where it lies on the paper."""
    rim = max(2, round(2.5 * scale))
    edge = np.ones(lab.shape[:2], dtype=bool)
    edge[rim:-rim, rim:-rim] = False
    colours, rough = lab[edge], texture[edge]
    flat = (np.hypot(colours[:, 1], colours[:, 2]) < 0.06) & (rough < TEXTURE) & (colours[:, 0] < 0.85)
    if flat.mean() < 0.6:
        return None
    return np.median(colours[flat], axis=0).astype(np.float32)


def _is_yarn(lab: Floats, texture: Floats, ground: Floats | None) -> Mask:
    lightness, chroma = lab[..., 0], np.hypot(lab[..., 1], lab[..., 2])
    if ground is None:
        paper: Mask = (chroma > CHROMA) | (lightness < DARK) | ((texture > TEXTURE) & (lightness < BRIGHT))
        return paper
    tint = np.hypot(lab[..., 1] - ground[1], lab[..., 2] - ground[2])
    bare_paper = (lightness > 0.96) & (chroma < CHROMA) & (texture < TEXTURE)
    other = (tint > CHROMA) | (lightness > ground[0] + 0.10) | (lightness < ground[0] - 0.20) | (texture > TEXTURE)
    found: Mask = other & ~bare_paper
    return found


def _texture(lightness: Floats, scale: float) -> Floats:
    import cv2

    side = max(3, 2 * round(TEXTURE_MM * scale / 2) + 1)
    mean = cv2.blur(lightness, (side, side))
    square = cv2.blur(lightness * lightness, (side, side))
    return np.sqrt(np.maximum(square - mean * mean, 0)).astype(np.float32)


def _filled(mask: NDArray[Any]) -> NDArray[Any]:
    import cv2

    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.zeros_like(mask)
    cv2.drawContours(filled, outlines, -1, 1, cv2.FILLED)
    return filled


def _pieces(mask: Mask, box: Box, px_per_mm: float) -> tuple[Piece, ...]:
    import cv2

    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8))
    areas = stats[1:, cv2.CC_STAT_AREA] / px_per_mm**2
    if count < 2:
        return ()
    large = [number for number, area in enumerate(areas, 1) if area >= max(SMALLEST_SHARE * areas.max(), SMALLEST_CM2 * 100)]
    found = [_piece(labels == number, box, px_per_mm) for number in large]
    height = max((float(np.ptp(np.array(each.outline_mm)[:, 1])) for each in found), default=1.0)
    return tuple(sorted(found, key=lambda piece: (round(piece.middle_mm[1] / max(height, 1.0)), piece.middle_mm[0])))


def _piece(mask: Mask, box: Box, px_per_mm: float, drawn: bool = False) -> Piece:
    import cv2

    outlines, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    largest = cv2.approxPolyDP(max(outlines, key=cv2.contourArea), 0.25 * px_per_mm, True).reshape(-1, 2)
    points = [(float(box.x_mm + (x + 0.5) / px_per_mm), float(box.y_mm + (y + 0.5) / px_per_mm)) for x, y in largest]
    rows, columns = np.nonzero(mask)
    middle = (float(box.x_mm + (columns.mean() + 0.5) / px_per_mm), float(box.y_mm + (rows.mean() + 0.5) / px_per_mm))
    return Piece(mask, tuple(points), float(mask.sum()) / px_per_mm**2, middle, drawn)


def _distance_mm(piece: Piece, at_px: tuple[float, float], px_per_mm: float) -> float:
    import cv2

    column, row = round(at_px[0]), round(at_px[1])
    if 0 <= row < piece.mask.shape[0] and 0 <= column < piece.mask.shape[1] and piece.mask[row, column]:
        return 0.0
    outlines, _ = cv2.findContours(piece.mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    return min(abs(float(cv2.pointPolygonTest(each, at_px, True))) for each in outlines) / px_per_mm


def _disc(radius_mm: float, px_per_mm: float) -> NDArray[np.uint8]:
    import cv2

    side = 2 * max(1, round(radius_mm * px_per_mm)) + 1
    disc: NDArray[np.uint8] = np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), dtype=np.uint8)
    return disc
