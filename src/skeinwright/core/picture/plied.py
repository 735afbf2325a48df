"""The surface of one plied strand: n plies in a ring, turned about each other; in a cable each of them is such a strand itself.

The outline of the ring in polar form, with the plies pressed together by `press` (1: plies just touch; less: they flatten and merge):
    q = press / sin(pi/n);  r_ply = 1/(1 + q);  r_ring = q/(1 + q);  r(d) = r_ring cos d + sqrt(r_ply^2 - r_ring^2 sin^2 d),  |d| <= pi/n
so that the crown of a ply is at 1. The press factors are chosen by eye.

In a cable the outline of a group is not a circle but its own ring's, rho(psi + t), psi the angle about the group's middle and t the turn of its plies there:
    r(d, t) = r_ring cos d + sqrt(rho^2 - r_ring^2 sin^2 d),  psi = atan2(r sin d, r cos d - r_ring),  solved by iteration
The plies of a group turn the other way from the groups, at the same slope, so that the yarn is balanced [common practice].
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.yarn.ply import cable, ring

Floats = NDArray[np.float32]
STEPS = 512
TURNS = 64
"""Entries over one inner ply of a cable."""
INNER_PRESS, PACKED, SOFT_EDGE = 0.82, 0.81, 0.012


@dataclass(frozen=True, slots=True)
class Profile:
    """Tables (STEPS, turns) over one ply, from the middle of a groove to the next, and over one inner ply (turns: 1 where there is but one level).

    radius 0-1; slope r'/r round the strand; inner: dr/dt / r as the inner plies turn; openness 0-1 (0 deep in the groove).
    per_group: plies in each group; turn: how far the inner plies turn, rad, while the strand goes on by its own radius (negative: the other way).
    """

    plies: int
    radius: Floats
    slope: Floats
    openness: Floats
    inner: Floats
    per_group: int = 1
    turn: float = 0.0


def _press(angle_deg: float) -> float:
    return float(np.interp(angle_deg, [5.0, 20.0, 35.0], [0.74, 0.84, 0.92]))


def _outline(d: NDArray[np.float64], ring_radius: float, ply: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """r(d) of circles of radius `ply` whose middles lie at `ring_radius`."""
    return ring_radius * np.cos(d) + np.sqrt(np.maximum(ply**2 - (ring_radius * np.sin(d)) ** 2, 1e-4))


@lru_cache(maxsize=32)
def profile(plies: int, angle_deg: float) -> Profile:
    """The outline of a strand: firm twist keeps plies rounder, soft twist lets them merge. Above six plies the lobes are groups, each plied itself."""
    lay = cable(plies)
    if plies == 1:
        flat = np.ones((STEPS, 1), dtype=np.float32)
        return Profile(1, flat, np.zeros_like(flat), flat, np.zeros_like(flat))
    q = _press(angle_deg) / np.sin(np.pi / lay.groups)
    ply, ring_radius = 1.0 / (1.0 + q), q / (1.0 + q)
    d = ((np.arange(STEPS) + 0.5) / STEPS * 2.0 * np.pi / lay.groups - np.pi / lay.groups)[:, None]
    r = _outline(d, ring_radius, ply)
    inner, turn = np.zeros_like(r), 0.0
    if lay.per_group > 1:
        t = (np.arange(TURNS) / TURNS * 2.0 * np.pi / lay.per_group)[None, :]
        r = _cabled(d, t, r, ring_radius, ply, lay.per_group, angle_deg)
        step = float(t[0, 1])
        inner = np.clip((np.roll(r, -1, axis=1) - np.roll(r, 1, axis=1)) / (2.0 * step) / r, -1.6, 1.6)
        turn = -float(np.pi * turns_per_diameter(lay.per_group, angle_deg)) / ply
    slope = np.clip(np.gradient(r, d[:, 0], axis=0) / r, -1.6, 1.6)
    openness = np.sqrt(np.clip((r - r.min()) / (r.max() - r.min()), 0.0, 1.0))
    radius, slopes, opennesses, inners = (np.ascontiguousarray(table, dtype=np.float32) for table in (r, slope, openness, inner))
    return Profile(lay.groups, radius, slopes, opennesses, inners, lay.per_group, turn)


def _cabled(
    d: NDArray[np.float64], t: NDArray[np.float64], r: NDArray[np.float64], ring_radius: float, ply: float, per_group: int, angle_deg: float
) -> NDArray[np.float64]:
    """The outline (STEPS, TURNS) of groups that are plied themselves; the crown of the highest inner ply is at 1.

    Inner plies are pressed flatter than plies that lie outside, and hollows between them are packed to `PACKED` of a round group's outline. Fibres bridge the
    edge where one inner ply meets the next: it is rounded over `SOFT_EDGE` of a ply.
    """
    from scipy.ndimage import gaussian_filter

    q = INNER_PRESS * _press(angle_deg) / np.sin(np.pi / per_group)
    small, small_ring = 1.0 / (1.0 + q), q / (1.0 + q)
    found = np.repeat(r, t.size, axis=1)
    for _ in range(24):
        psi = np.arctan2(found * np.sin(d), found * np.cos(d) - ring_radius) + t
        own = (psi + np.pi / per_group) % (2.0 * np.pi / per_group) - np.pi / per_group
        found = 0.5 * found + 0.5 * np.maximum(_outline(d, ring_radius, ply * _outline(own, small_ring, small)), PACKED * r)
    soft = gaussian_filter(found, (SOFT_EDGE * STEPS, SOFT_EDGE * TURNS), mode=("nearest", "wrap"))
    crown: NDArray[np.float64] = soft / soft.max()
    return crown


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
