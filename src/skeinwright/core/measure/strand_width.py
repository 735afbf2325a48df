"""How thick one strand is in a photo close up: its edges are looked for across the line that a person has laid along it.

At many places along the line the brightness is read across it. Outside is the ground, in the middle the strand; an edge lies half-way between the two.
The width is the mean distance of the two edges, times cos of the angle between the line and the strand's own middle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput

Doubles = NDArray[np.float64]
Point = tuple[float, float]
PROFILES, LEAST_PROFILES = 96, 24
REACH = 0.28
"""How far to either side the brightness is read, over the length of the line."""
STEP_PX = 0.5
LEAST_CONTRAST = 0.08
"""Of strand against ground, on the scale 0-1 of the photo's own values."""
EDGE_PX, POINT_PX = 0.7, 2.0
"""One standard deviation of where an edge lies, and of where a person points [assumed]."""
WITHIN_90 = 1.645
APART = 4
"""Profiles so close together are not independent: every fourth counts [assumed]."""


@dataclass(frozen=True, slots=True)
class StrandWidth:
    """The mean width in pixels, its standard deviation along the strand, and from how many places."""

    width_px: float
    sd_px: float
    places: int

    def mm(self, ruler_px: float, ruler_mm: float) -> tuple[float, float, float]:
        """(width, low, high) in mm, the 90 % interval from the edges, the unevenness of the strand and the two points on the ruler."""
        width = self.width_px * ruler_mm / ruler_px
        edges = np.hypot(self.sd_px / np.sqrt(max(1.0, self.places / APART)), EDGE_PX) / self.width_px
        off = WITHIN_90 * width * float(np.hypot(edges, np.sqrt(2.0) * POINT_PX / ruler_px))
        return width, max(width - off, 0.0), width + off


def strand_width(grey: NDArray[np.float32], start: Point, end: Point) -> StrandWidth:
    """The width of the strand along which the line from `start` to `end` (x, y in pixels) lies in `grey` (height, width), 0-1.

    Raises BadInput where the line is too short, or no strand stands out from its ground there.
    """
    line = np.subtract(end, start).astype(np.float64)
    long = float(np.hypot(*line))
    if long < 60.0:
        raise BadInput("The line along the strand is too short: point farther apart, or move the camera closer.", where="strand")
    across = np.arange(-REACH * long, REACH * long + STEP_PX, STEP_PX)
    shares = np.linspace(0.04, 0.96, PROFILES)
    found = [edges for profile in _profiles(grey, np.asarray(start), line, across, shares) if (edges := _edges(profile, across)) is not None]
    if len(found) < LEAST_PROFILES:
        raise BadInput(
            "No strand stands out along this line: lay one strand straight on a ground much darker or lighter than it, and point along its middle.",
            where="strand",
        )
    left, right, place = np.array(found).T
    widths, middles = right - left, 0.5 * (right + left)
    typical = np.median(widths)
    kept = np.abs(widths - typical) <= 0.5 * typical
    lean = np.polyfit(place[kept] * long, middles[kept], 1)[0] if kept.sum() > 2 else 0.0
    straight = widths[kept] * np.cos(np.arctan(lean))
    return StrandWidth(float(straight.mean()), float(straight.std()), int(kept.sum()))


def _profiles(grey: NDArray[np.float32], start: Doubles, line: Doubles, across: Doubles, shares: Doubles) -> list[tuple[Doubles, float]]:
    """The brightness across the line at each share of its length."""
    from scipy.ndimage import map_coordinates

    normal = np.array([-line[1], line[0]]) / np.hypot(*line)
    x = start[0] + shares[:, None] * line[0] + across[None, :] * normal[0]
    y = start[1] + shares[:, None] * line[1] + across[None, :] * normal[1]
    read = map_coordinates(grey, [y, x], order=1, mode="nearest")
    return [(row.astype(np.float64), float(share)) for row, share in zip(read, shares, strict=True)]


def _edges(profile: tuple[Doubles, float], across: Doubles) -> tuple[float, float, float] | None:
    """(left edge, right edge, share along the line) in pixels from the line; None where the strand does not stand out."""
    read, share = profile
    count = len(read)
    outer = max(3, count // 8)
    grounds = float(np.median(read[:outer])), float(np.median(read[-outer:]))
    ground = np.linspace(*grounds, count)
    stands = np.abs(read - ground)
    smooth = np.convolve(stands, np.ones(5) / 5.0, mode="same")
    near = slice(count // 3, count - count // 3)
    top = int(np.argmax(smooth[near])) + count // 3
    body = smooth[max(0, top - 2) : top + 3].mean()
    if body < LEAST_CONTRAST:
        return None
    inside = smooth >= 0.5 * body
    left, right = top, top
    gap = max(2, outer // 4)
    while left > 0 and inside[max(0, left - gap) : left].any():
        left -= 1
    while right < count - 1 and inside[right + 1 : right + 1 + gap].any():
        right += 1
    if left <= outer // 2 or right >= count - 1 - outer // 2:
        return None
    return _crossing(smooth, left, -1, 0.5 * body, across), _crossing(smooth, right, 1, 0.5 * body, across), share


def _crossing(smooth: Doubles, at: int, way: int, level: float, across: Doubles) -> float:
    """Where the curve falls through the level, between the last sample inside and the first outside."""
    other = min(max(at + way, 0), len(smooth) - 1)
    inner, outer = smooth[at], smooth[other]
    if inner < level or inner == outer:
        return float(across[at])
    part = min(1.0, (inner - level) / (inner - outer))
    return float(across[at] + part * (across[other] - across[at]))
