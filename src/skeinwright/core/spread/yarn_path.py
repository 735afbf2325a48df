"""The yarn's way through the skein: which row and face of the map a place on the unwound yarn came from.

    strand j = floor(l/P), s = l - j P;   row = a stride of about 0.382 rows from strand to strand, and a slow wander of +-3 rows;
    face = a smooth blend: a strand spends long stretches above or below, as strands cross over while a skein is wound.
How strands cross is assumed: the wander length is one loop unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import gcd

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.spread.skein_map import SkeinMap

Doubles = NDArray[np.float64]
WANDER_ROWS = 3.0
KNOTS = 4096
LOW, HIGH = 0.42, 0.58
"""Where the slow noise turns from one face to the other."""


@dataclass(frozen=True, slots=True)
class YarnPath:
    """The path through a map of `rows` rows with `round_mm` once round."""

    round_mm: float
    rows: int
    seed: int = 1
    wander_mm: float = 0.0
    """Length over which a strand changes its place; 0: one loop."""

    def at(self, running_mm: Doubles) -> tuple[Doubles, Doubles, Doubles]:
        """Row (0 up to rows, fractional), face (0 above - 1 below) and s (mm) of places on the yarn, each shaped like `running_mm`."""
        strand = np.floor(running_mm / self.round_mm)
        s = running_mm - strand * self.round_mm
        rows_noise, face_noise = _noises(self.seed)
        step = running_mm / (self.wander_mm or self.round_mm)
        row = (strand * stride(self.rows) + WANDER_ROWS * _smooth(rows_noise, 1.31 * step)) % self.rows
        up = _smooth(face_noise, 0.57 * step) * 0.25 + 0.5
        part = np.clip((up - LOW) / (HIGH - LOW), 0.0, 1.0)
        return row, part * part * (3.0 - 2.0 * part), s


def path_of(skein: SkeinMap, *, seed: int = 1, wander_mm: float = 0.0) -> YarnPath:
    """The path of the yarn of a map, in the map's own state."""
    return YarnPath(skein.round_mm, skein.rows, seed, wander_mm)


def reskeined(running_mm: Doubles, strand: Doubles, s_mm: Doubles, round_mm: float) -> Doubles:
    """Places on the yarn for strand and s on another circumference: running = start + strand x round + s."""
    places: Doubles = running_mm + strand * round_mm + s_mm
    return places


def stride(rows: int) -> int:
    """The step from strand to strand: near 0.382 rows and without a common divisor, so that all rows are visited."""
    if rows < 3:
        return 1
    near = max(1, round(0.382 * rows))
    return next(k for d in range(rows) for k in (near + d, near - d) if k > 0 and gcd(k, rows) == 1)


@lru_cache(maxsize=8)
def _noises(seed: int) -> tuple[Doubles, Doubles]:
    rng = np.random.default_rng([seed, 41])
    return rng.standard_normal(KNOTS), rng.standard_normal(KNOTS)


def _smooth(knots: Doubles, at: Doubles) -> Doubles:
    """Value noise through `knots` (it repeats after them all)."""
    left = np.floor(at)
    part = at - left
    index = left.astype(np.int64) % len(knots)
    blend = part * part * (3.0 - 2.0 * part)
    curve: Doubles = knots[index] * (1.0 - blend) + knots[(index + 1) % len(knots)] * blend
    return curve
