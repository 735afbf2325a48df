"""Strands in space: the centre lines that every view hands over to be drawn.

x to the right, y down, z to the eye; lengths in pixels of the final picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.picture.light import Floats


@dataclass(frozen=True, eq=False)
class Centres:
    """Short straight pieces of the centre lines of strands, all float32.

    at: (3, n) middle; along: (3, n) unit tangent; piece: (n,) its length; bulge: how much longer the outside of a bend is,
    1 + radius * curvature; radius: of the strand; strand: (n,) int32, its number;
    length: arc length along the strand at the middle; light: a factor for the place, about 1.
    """

    at: Floats
    along: Floats
    piece: Floats
    bulge: Floats
    radius: Floats
    strand: NDArray[np.int32]
    length: Floats
    light: Floats

    def only(self, keep: NDArray[np.bool_] | NDArray[np.int64]) -> Centres:
        """The pieces that `keep` picks: a mask (n,) or numbers."""
        chosen = np.flatnonzero(keep) if keep.dtype == np.bool_ else keep
        return Centres(
            self.at.take(chosen, axis=1),
            self.along.take(chosen, axis=1),
            self.piece.take(chosen),
            self.bulge.take(chosen),
            self.radius.take(chosen),
            self.strand.take(chosen),
            self.length.take(chosen),
            self.light.take(chosen),
        )


def from_curves(
    place: Floats, *, radius: float, at: Floats, light: Floats | None = None, seen: NDArray[np.bool_] | None = None, first: int = 0, closed: bool = False
) -> Centres:
    """Pieces from whole curves: place (3, strands, points), arc length `at` (points,) or (strands, points), a light (strands, points); `seen` picks points.

    `closed`: each curve goes on from its last point to its first.
    """
    _, strands, points = place.shape
    along = _gradient(place, closed)
    piece = np.sqrt((along * along).sum(axis=0))
    along /= np.maximum(piece, np.float32(1e-6))
    bend = _gradient(along, closed)
    bulge = np.minimum(1.0 + np.float32(radius) * np.sqrt((bend * bend).sum(axis=0)) / np.maximum(piece, np.float32(1e-6)), np.float32(4.0))

    chosen = None if seen is None else np.flatnonzero(seen)

    def kept(field: Floats) -> Floats:
        flat = field.reshape(*field.shape[:-2], -1)
        return (flat if chosen is None else flat.take(chosen, axis=-1)).astype(np.float32, copy=False)

    number = np.broadcast_to(np.arange(first, first + strands, dtype=np.int32)[:, None], (strands, points))
    number = number.ravel() if chosen is None else number.reshape(-1).take(chosen)
    length = kept(np.broadcast_to(at, (strands, points)))
    bright = np.ones(len(number), dtype=np.float32) if light is None else kept(light)
    return Centres(
        kept(place),
        kept(along),
        kept(piece),
        kept(bulge),
        np.full(len(number), radius, dtype=np.float32),
        number,
        length,
        bright,
    )


def _gradient(place: Floats, closed: bool) -> Floats:
    """Half the way from the point before to the point behind, along the last axis."""
    found: Floats = np.gradient(place, axis=2)
    if closed:
        found[..., 0] = 0.5 * (place[..., 1] - place[..., -1])
        found[..., -1] = 0.5 * (place[..., 0] - place[..., -2])
    return found


@dataclass(frozen=True, eq=False)
class Placed:
    """Strands in space, and where each of them (by number) comes from on the skein or the yarn: see `scene.Drawn`. Lengths are in pixels."""

    centres: Centres
    start: NDArray[np.float64]
    rate: NDArray[np.float64]
    row: NDArray[np.float64]
    face: NDArray[np.float64]

    def tables(self) -> tuple[NDArray[np.float64], ...]:
        """start, rate, row, face for the numbers that `join` gives: up to the last strand that has pieces."""
        last = int(self.centres.strand.max(initial=0)) + 1
        return tuple(np.resize(table, last) if len(table) == 1 else table[:last] for table in (self.start, self.rate, self.row, self.face))


def join(parts: list[Centres]) -> Centres:
    """Several sets of strands as one; strand numbers are made distinct."""
    first, numbers = 0, []
    for part in parts:
        numbers.append(part.strand + np.int32(first))
        first += int(part.strand.max(initial=0)) + 1
    names = ("at", "along", "piece", "bulge", "radius", "length", "light")
    at, along, piece, bulge, radius, length, light = (np.concatenate([getattr(p, name) for p in parts], axis=-1) for name in names)
    return Centres(at, along, piece, bulge, radius, np.concatenate(numbers), length, light)


def basis(along: Floats) -> tuple[Floats, Floats]:
    """Across (in the picture's plane) and towards the eye, (3, n) each, at right angles to the strand."""
    tx, ty, tz = along
    flat = np.maximum(np.sqrt(tx * tx + ty * ty), np.float32(1e-3))
    across = np.stack([ty / flat, -tx / flat, np.zeros_like(tx)])
    facing = np.stack([-tx * tz / flat, -ty * tz / flat, flat])
    return across, facing
