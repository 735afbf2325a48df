"""A sock, hat, shawl or panel lying flat, to scale, filled with the knitting that the map's yarn makes: every stitch has the colour of its own yarn.

A point of the picture is traced back to its part, its row and its place across the row (0 at the edge where the row begins, seen from the front):
tubes show half of their stitches; a sock turns round a point in front of the ankle, and its heel is a wedge of short rows there; widths follow the
stitches of each row.
Within a stitch two legs lean outwards; light falls along them. Proportions: w = Kw^-1 l, h = Kc^-1 l (source: munden-1959). Shading is by eye.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.spaces import srgb_to_linear
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import MAT, Floats, Pixels, encode_table
from skeinwright.core.spread.yarn_path import YarnPath
from skeinwright.core.yarn.knitting import courses_per_mm, wales_per_mm
from skeinwright.core.yarn.pieces import LAST_OF_A_HAT, TOE_LEFT, Part, parts_of, rows_on_yarn

Doubles = NDArray[np.float64]
MARGIN = 0.06
FINE = 2
"""Sub-pixels a pixel, each way."""
BEND_MM = 9.0
"""From the front of the ankle to the point round which the heel turns."""
LEAN = 0.55
"""How far a leg of a stitch reaches into the next row."""
MEAN_LIGHT = 0.84
TIP_ROUND = 0.93
NONE = -1


@dataclass(frozen=True, kw_only=True, slots=True)
class Silhouette:
    """What is drawn. `rows` as in `pieces.parts_of`; alternate: rows of each of two skeins in turn, the second begins `second_mm` along the yarn."""

    piece: str
    stitches: int
    stitch_mm: float
    rows: int = 0
    alternate: int = 0
    second_mm: float = 0.0
    width: int = 900
    height: int = 700
    seed: int = 1
    mat: int = MAT


@dataclass(frozen=True, slots=True)
class Traced:
    """For each sub-pixel: the row (NONE: bare mat) counted over all parts, and the place across it, 0-1, of what is seen from the front."""

    row: NDArray[np.int32]
    across: Floats
    along: Floats
    """The fraction of the row that lies before the place, for its light."""
    seen: tuple[float, ...]
    """Share of each row's stitches that the front shows."""


def size_mm(piece: str, stitches: int, stitch_mm: float, rows: int = 0) -> tuple[float, float]:
    """Width and height in mm of the piece lying flat."""
    parts, w, h = parts_of(piece, stitches, rows), 1.0 / wales_per_mm(stitch_mm), 1.0 / courses_per_mm(stitch_mm)
    rows_in = [len(part.counts) for part in parts]
    if piece == "sock":
        wide = stitches / 2.0 * w
        ahead = rows_in[2] - _ankle_rows(wide, h, rows_in[2]) + rows_in[3]
        return wide + BEND_MM + ahead * h, rows_in[0] * h + BEND_MM + wide
    most = max(n for part in parts for n in part.counts)
    return (most / 2.0 if piece == "hat" else most) * w, sum(rows_in) * h


def _ankle_rows(wide_mm: float, row_mm: float, foot: int) -> int:
    """Rounds of the foot that lie round the bend: its length at a quarter of the tube's width."""
    return min(max(2, round((BEND_MM + 0.25 * wide_mm) * np.pi / 2.0 / row_mm)), foot - 1)


def silhouette(asked: Silhouette, colours: Floats, path: YarnPath) -> Pixels:
    """The picture (height, width, 3) uint8 sRGB. `colours` are the map's (2, rows, cells, 3) linear sRGB, `path` the yarn's way in the relaxed state."""
    if not (60 <= asked.width <= 2400 and 60 <= asked.height <= 1800):
        raise BadInput("A picture is 60 to 2400 pixels wide and 60 to 1800 high.", where="size")
    parts = parts_of(asked.piece, asked.stitches, asked.rows)
    traced = _traced(asked, parts)
    table = _stitch_colours(asked, parts, colours, path)
    rng = np.random.default_rng([asked.seed, 12])
    uneven = np.exp(0.05 * rng.standard_normal(table.shape[:2])).astype(np.float32)
    inside = traced.row >= 0
    row = np.maximum(traced.row, 0)
    counts = np.array([n for part in parts for n in part.counts], dtype=np.float32)
    seen = np.array(traced.seen, dtype=np.float32)
    place = np.clip(traced.across, 0.0, 0.9999) * (counts * seen)[row]
    half = (2.0 * place).astype(np.int32)
    light = _light(place - np.floor(place), traced) * uneven[row, half]
    light *= np.float32(MEAN_LIGHT) / max(float(light[inside].mean()), 1e-6)
    lit = np.minimum(table[row, half] * light[..., None], 1.0)
    bare = np.float32(float(srgb_to_linear(np.array(asked.mat / 255.0)))) * _fallen(inside)
    both = np.where(inside[..., None], lit, bare[..., None])
    fine = both.reshape(asked.height, FINE, asked.width, FINE, 3).mean(axis=(1, 3))
    found: Pixels = encode_table()[(4095.0 * np.clip(fine, 0.0, 1.0) + 0.5).astype(np.int16)]
    return found


def _stitch_colours(asked: Silhouette, parts: tuple[Part, ...], colours: Floats, path: YarnPath) -> Floats:
    """The colour (rows, 2 x most stitches, 3) of each half stitch, as it lies from the row's first edge seen from the front."""
    places = rows_on_yarn(parts, asked.alternate)
    most = max(place.stitches for place in places)
    half = (np.arange(2 * most) + 0.5) / 2.0
    stitches = np.array([place.stitches for place in places], dtype=np.float64)[:, None]
    back = np.array([place.back for place in places])[:, None]
    along = np.where(back, np.maximum(stitches - half[None, :], 0.0), half[None, :])
    start = np.array([place.start for place in places], dtype=np.float64)[:, None]
    second = np.array([place.second for place in places], dtype=np.float64)[:, None]
    found: Floats = colours_along((start + along) * asked.stitch_mm + second * asked.second_mm, colours, path)
    return found


def colours_along(running_mm: Doubles, colours: Floats, path: YarnPath) -> Floats:
    """Linear sRGB (..., 3) of places on the unwound yarn, read from the map's colours (2, rows, cells, 3)."""
    row, face, s = path.at(running_mm)
    rows, cells = colours.shape[1], colours.shape[2]
    at_row = np.minimum(row.astype(np.int64), rows - 1)
    cell = (s / path.round_mm * cells).astype(np.int64) % cells
    blend = face.astype(np.float32)[..., None]
    found: Floats = colours[0, at_row, cell] * (1.0 - blend) + colours[1, at_row, cell] * blend
    return found


def _traced(asked: Silhouette, parts: tuple[Part, ...]) -> Traced:
    wide, high = size_mm(asked.piece, asked.stitches, asked.stitch_mm, asked.rows)
    scale = min((1.0 - 2.0 * MARGIN) * asked.width / wide, (1.0 - 2.0 * MARGIN) * asked.height / high)
    x = ((np.arange(FINE * asked.width, dtype=np.float64) + 0.5) / FINE - asked.width / 2.0) / scale + wide / 2.0
    y = ((np.arange(FINE * asked.height, dtype=np.float64) + 0.5) / FINE - asked.height / 2.0) / scale + high / 2.0
    w, h = 1.0 / wales_per_mm(asked.stitch_mm), 1.0 / courses_per_mm(asked.stitch_mm)
    grid_x, grid_y = np.broadcast_to(x, (len(y), len(x))), np.broadcast_to(y[:, None], (len(y), len(x)))
    if asked.piece == "sock":
        return _sock(grid_x, grid_y, parts, w, h)
    return _upright(asked.piece, grid_x, grid_y, wide, high, parts, w, h)


def _upright(piece: str, x: Doubles, y: Doubles, wide: float, high: float, parts: tuple[Part, ...], w: float, h: float) -> Traced:
    """Rows one above the other from below, each as wide as its stitches, all about one middle line."""
    counts = np.array([n for part in parts for n in part.counts], dtype=np.float64)
    share = 0.5 if piece == "hat" else 1.0
    level = (high - y) / h
    soft = counts * share * w
    if piece == "hat":
        soft = wide * _rounded(counts / counts.max(), LAST_OF_A_HAT / counts.max())
    here = np.interp(level - 0.5, np.arange(len(counts)), soft)
    across = 0.5 - (x - wide / 2.0) / np.maximum(here, 1e-6)
    inside = (level >= 0.0) & (level < len(counts)) & (across >= 0.0) & (across <= 1.0)
    row, rest = _row_of(level, across * np.interp(level - 0.5, np.arange(len(counts)), counts) * share, len(counts))
    return Traced(np.where(inside, row, NONE).astype(np.int32), across.astype(np.float32), rest, (share,) * len(counts))


def _sock(x: Doubles, y: Doubles, parts: tuple[Part, ...], w: float, h: float) -> Traced:
    """Leg downwards, foot and toe to the right. Round the bend lie the foot's first rounds, and before them, behind the ankle, the heel's short rows."""
    leg, heel, foot, toe = (len(part.counts) for part in parts)
    n = parts[0].counts[0]
    wide = n / 2.0 * w
    turn_x, turn_y = wide + BEND_MM, leg * h
    tall = leg * h
    row = np.full(x.shape, NONE, dtype=np.int32)
    across, rest = np.zeros(x.shape, dtype=np.float32), np.zeros(x.shape, dtype=np.float32)

    def put(where: NDArray[np.bool_], level: Doubles, q: Doubles, counts: float, first: int, rows: int) -> None:
        at, part = _row_of(level, q * counts, rows)
        row[where] = (first + at)[where]
        across[where], rest[where] = q[where], part[where]

    q = (wide - x) / wide
    put((y >= 0.0) & (y < tall) & (q >= 0.0) & (q <= 1.0), y / h, q, n / 2.0, 0, leg)
    distance = np.hypot(x - turn_x, y - turn_y)
    angle = np.arctan2(y - turn_y, turn_x - x) / (np.pi / 2.0)
    q = (distance - BEND_MM) / wide
    fan = (y >= tall) & (x < turn_x) & (q >= 0.0) & (q <= 1.0) & (angle >= 0.0) & (angle <= 1.0)
    ankle = _ankle_rows(wide, h, foot)
    inward, wedge = _wedge(q, heel, ankle, parts[1].counts[0])
    put(fan & (angle >= wedge), (angle - wedge) / np.maximum(1.0 - wedge, 1e-6) * ankle, q, n / 2.0, leg + heel, ankle)
    turned = fan & (angle < wedge)
    at, part, place = _short_row(angle[turned] / wedge[turned], inward[turned], heel, parts[1].counts[0])
    row[turned], rest[turned], across[turned] = leg + at, part, place
    ahead = (x - turn_x) / h + ankle
    counts = np.array([*parts[2].counts, *parts[3].counts], dtype=np.float64)
    here = np.interp(ahead - 0.5, np.arange(len(counts)), _rounded(counts / n, TOE_LEFT)) * wide
    q = (y - turn_y - BEND_MM - wide / 2.0) / np.maximum(here, 1e-6) + 0.5
    on_foot = (ahead >= ankle) & (ahead < len(counts)) & (q >= 0.0) & (q <= 1.0)
    put(on_foot, ahead, q, n / 2.0, leg + heel, foot + toe)
    seen = [0.5] * leg + [0.5] * heel + [0.5] * (foot + toe)
    return Traced(row, across, rest, tuple(seen))


def _wedge(q: Doubles, heel: int, ankle: int, half: int) -> tuple[Doubles, Doubles]:
    """How far behind the middle of the side a place lies (0-1, up to the middle of the heel), and the share of the bend that the heel's rows take there.

    Of its `heel` rows, those that are long enough reach the place: 2 K of them, K = min(heel/2, half x inward); beside them lie the `ankle` rounds.
    """
    inward = np.clip(2.0 * q - 1.0, 0.0, 1.0)
    reach = 2.0 * np.minimum(heel / 2.0, half * inward)
    return inward, reach / (reach + ankle)


def _short_row(turn: Doubles, inward: Doubles, heel: int, half: int) -> tuple[NDArray[np.int32], Floats, Floats]:
    """Row of the heel, how far up its leg, and the place across the row (0 at the side), for places `turn` (0-1) of the way through the heel's rows there.

    Row k and its fellow from the end have half - k stitches and begin k stitches further back, so the first K and the last K rows are met.
    """
    reach = np.minimum(heel / 2.0, half * inward)
    stitch = half / 2.0 * inward
    high = turn * 2.0 * reach - LEAN * np.abs(2.0 * (stitch - np.floor(stitch)) - 1.0)
    high = np.where(high < reach, high, high + heel - 2.0 * reach)
    row = np.clip(np.floor(high), 0, heel - 1).astype(np.int32)
    begins = np.minimum(row, heel - 1 - row) / half
    place = np.clip((inward - begins) / (1.0 - begins), 0.0, 1.0)
    return row, (high - np.floor(high)).astype(np.float32), place.astype(np.float32)


def _rounded(share: Doubles, last: float) -> Doubles:
    """Width over the widest where stitches fall from 1 to the share `last`: worn, a crown or toe closes along a round line, not a straight one."""
    fallen = np.clip((1.0 - share) / (1.0 - last), 0.0, 1.0)
    rounded: Doubles = np.sqrt(1.0 - TIP_ROUND * fallen**2)
    return rounded


def _row_of(level: Doubles, place: Doubles, rows: int) -> tuple[NDArray[np.int32], Floats]:
    """The row whose stitch covers the place, and how far up its leg that is (0-1): legs lean outwards from the middle of their stitch."""
    lean = LEAN * np.abs(2.0 * (place - np.floor(place)) - 1.0)
    high = level - lean
    row = np.clip(np.floor(high), 0, rows - 1).astype(np.int32)
    return row, (high - np.floor(high)).astype(np.float32)


def _light(within: Floats, traced: Traced) -> Floats:
    """Light on a stitch: dark where its legs dive under the next row and between two wales, and towards the edges of the piece."""
    leg = 0.60 + 0.40 * np.maximum(np.sin(np.pi * np.clip(traced.along, 0.0, 1.0)), 0.0) ** 0.7
    gap = 1.0 - 0.30 * np.exp(-((np.minimum(within, 1.0 - within) / 0.10) ** 2)) - 0.16 * np.exp(-(((within - 0.5) / 0.09) ** 2))
    side = 1.0 + 0.10 * within
    round_off = 1.0 - 0.22 * np.abs(2.0 * np.clip(traced.across, 0.0, 1.0) - 1.0) ** 5
    light: Floats = (leg * gap * side * round_off).astype(np.float32)
    return light


def _fallen(inside: NDArray[np.bool_]) -> Floats:
    """The mat with the soft shadow of the piece on it, towards the lower right."""
    from scipy.ndimage import gaussian_filter

    step = 7 * FINE
    moved = np.zeros(inside.shape, dtype=np.float32)
    moved[step:, step:] = inside[:-step, :-step]
    shade: Floats = (1.0 - 0.28 * gaussian_filter(moved, 5.0 * FINE)).astype(np.float32)
    return shade
