"""The surface of one plied strand: n plies in a ring, turned about each other.

The outline of the ring in polar form, with the plies pressed together by `press` (1: plies just touch; less: they flatten and merge):
    q = press / sin(pi/n);  r_ply = 1/(1 + q);  r_ring = q/(1 + q);  r(d) = r_ring cos d + sqrt(r_ply^2 - r_ring^2 sin^2 d),  |d| <= pi/n
so that the crown of a ply is at 1. The press factors are chosen by eye.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.yarn.ply import cable, ring

Floats = NDArray[np.float32]
STEPS = 512
GROOVE = 0.05
"""Depth of the fine grooves of a cable's groups, by eye."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Tables over one ply, `STEPS` entries from the middle of a groove to the next: radius 0-1, slope r'/r, openness 0-1 (0 deep in the groove)."""

    plies: int
    radius: Floats
    slope: Floats
    openness: Floats


@lru_cache(maxsize=32)
def profile(plies: int, angle_deg: float) -> Profile:
    """The outline of a strand: firm twist keeps plies rounder, soft twist lets them merge. Above six plies the lobes are groups, each finely grooved."""
    lay = cable(plies)
    if plies == 1:
        flat = np.ones(STEPS, dtype=np.float32)
        return Profile(1, flat, np.zeros(STEPS, dtype=np.float32), flat)
    press = float(np.interp(angle_deg, [5.0, 20.0, 35.0], [0.74, 0.84, 0.92]))
    q = press / np.sin(np.pi / lay.groups)
    ply, ring = 1.0 / (1.0 + q), q / (1.0 + q)
    d = (np.arange(STEPS) + 0.5) / STEPS * 2.0 * np.pi / lay.groups - np.pi / lay.groups
    r = ring * np.cos(d) + np.sqrt(np.maximum(ply**2 - (ring * np.sin(d)) ** 2, 1e-6))
    if lay.per_group > 1:
        r = r * (1.0 - GROOVE * (1.0 - np.abs(np.sin((lay.per_group + 1) * (d * lay.groups / 2.0 + np.pi / 2.0)))))
    slope = np.clip(np.gradient(r, d) / r, -1.6, 1.6)
    openness = (r - r.min()) / (r.max() - r.min())
    return Profile(lay.groups, r.astype(np.float32), slope.astype(np.float32), np.sqrt(openness).astype(np.float32))


def turns_per_diameter(plies: int, angle_deg: float) -> float:
    """Turns of the ply helix in a length of one outline diameter D, from the slope beta of the plies' centre lines.

    tan(beta) = 2 pi r_c t with r_c = (D - d_s)/2, so D t = tan(beta)/pi * D/(D - d_s); one ply is its own outline: tan(beta)/pi.
    """
    outline = ring(plies).outline
    return float(np.tan(np.radians(angle_deg)) / np.pi * (outline / (outline - 1.0) if plies > 1 else 1.0))


def table_index(angle: Floats, plies: int) -> NDArray[np.int32]:
    """The place in the profile tables for angles (rad) round the strand, in its own turning frame."""
    scaled = angle * np.float32(plies * STEPS / (2.0 * np.pi))
    index: NDArray[np.int32] = np.floor(scaled).astype(np.int32) & (STEPS - 1)
    return index
