"""Draws strands in space as a scene: every view is a set of centre lines handed to `draw`.

Each strand's front half is sampled as points, the nearest point wins its sub-pixel (a depth buffer), the winners are shaded once by their own normal
(round strand, plies, fibres), by how deep they lie among their neighbours and by what stands between them and the lamp.
All factors of shading are chosen by eye.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.picture.banded import banded
from skeinwright.core.picture.hairs import loose_fibres, packed
from skeinwright.core.picture.light import Floats
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import fibre_texture, wander_along
from skeinwright.core.picture.plied import Profile, profile, turns_per_diameter
from skeinwright.core.picture.scene import BARE, LEVELS, TOP_LIGHT, Drawn, Scene, Words, exposure
from skeinwright.core.picture.shadow import FINE, LAMP, box_mean, glint, lamp_seen, mat_light, open_to_sky, to_pixels
from skeinwright.core.picture.strands import Centres, basis

Doubles = NDArray[np.float64]
STEP = 0.69
"""Greatest distance between samples, in pixels: the buffer closes gaps of one sub-pixel."""
CABLE_FINER, CABLE_SHOWS_PX = 2.0, 14.0
"""Flanks of the plies within a cable are so steep that samples lie this much closer round it, from that radius on; else what lies behind shows as dots."""
OVERLAP = 1.15
"""Pieces are drawn a little longer than they are, so that a bend has no cracks."""
MEAN_SHADE = 0.84
LEAST_SHADE = 0.10
LEAST_PLACE = 0.26
"""Light in the deepest place: wool scatters, so no gap is black."""
CLOSING, HALF_GAP = 0.52, 0.62
"""Share of yarn round a gap from which it begins to close from its sides, and how much of a strand's thickness each side has come when it is filled."""
FILLED, SLOT_DARK, LEAST_MAT = 0.64, 0.72, 0.40
"""Share of yarn round a gap from which it is filled, how much of the mat's light is lost in a slot just before that, and the least that is left."""
UNEVEN_TWIST, TWIST_WAVES = 0.9, 24.0
"""The plies' turn runs ahead and falls back by about this angle, rad, over so many diameters: no yarn is twisted like a screw."""
LEAST_PLIED_PX = 2.5
"""Radius of a strand in pixels from which its plies show, and are uneven."""
STEP_PX = 1.0
"""Pixels from one place of a strand's colours to the next."""


@dataclass(frozen=True, eq=False)
class _Samples:
    """How the pieces are sampled: `angles` (k,) round the front half, `parts` (j,) along a piece in -0.5..0.5, phase (n, j) of the plies,
    inner (n, j) place in the tables of the plies within a group, (1, 1) where there are none."""

    angles: Floats
    parts: Floats
    phase: Floats
    inner: NDArray[np.uint8]

    @property
    def bits(self) -> tuple[int, int]:
        """Binary digits for the number of a part, and of an angle."""
        return (len(self.parts) - 1).bit_length(), (len(self.angles) - 1).bit_length()


class _Surface(NamedTuple):
    shade: Floats
    depth: Floats
    strand: Words
    step: Words


def _not_buried(centres: Centres, width: int, height: int, body: float) -> Centres:
    """Without the pieces that lie far below the top of their neighbourhood, or outside the picture: nobody sees them.

    Near the outline of a round body of radius R, depth falls by sqrt(2 R w) within a width w: less than that is kept.
    """
    thick = 2.0 * float(centres.radius.max())
    cell = max(2.0, 0.8 * thick)
    across, down = int(width / cell) + 3, int(height / cell) + 3
    column, row = (centres.at[0] / np.float32(cell)).astype(np.int32) + 1, (centres.at[1] / np.float32(cell)).astype(np.int32) + 1
    near = np.flatnonzero((column >= 0) & (column < across) & (row >= 0) & (row < down))
    place, z = row[near] * across + column[near], centres.at[2][near]
    top = np.full(across * down, -np.inf, dtype=np.float32)
    np.maximum.at(top, place, z)
    kept = near[z > top[place] - np.float32(1.2 * thick + np.sqrt(2.0 * body * cell))]
    return centres if len(kept) == len(centres.radius) else centres.only(kept)


def _sampled(centres: Centres, shape: Profile, look: StrandLook, rng: np.random.Generator, strands: int) -> _Samples:
    thick = float(centres.radius.max())
    count = max(4, int(np.ceil(2.3 * thick / STEP * (CABLE_FINER if shape.per_group > 1 and thick >= CABLE_SHOWS_PX else 1.0))))
    even = (np.arange(count) + 0.5) / count * 2.0 - 1.0
    angles = (0.45 * np.arcsin(even) + 0.55 * np.pi / 2.0 * even).astype(np.float32)
    several = max(1, int(np.ceil(OVERLAP * float(np.percentile(centres.piece * centres.bulge, 97.0)) / STEP)))
    parts = (OVERLAP * ((np.arange(several) + 0.5) / several - 0.5)).astype(np.float32)
    start = rng.uniform(0.0, 2.0 * np.pi, strands).astype(np.float32)
    turn = np.float32(np.pi * turns_per_diameter(look.lobes, look.angle_deg) / float(centres.radius.mean()))
    if shape.plies > 1 and thick >= LEAST_PLIED_PX:
        start = start[centres.strand] + np.float32(UNEVEN_TWIST) * wander_along(rng, strands, centres.strand, centres.length, 2.0 * TWIST_WAVES * thick)
    else:
        start = start[centres.strand]
    phase = start[:, None] + turn * (centres.length[:, None] + centres.piece[:, None] * parts)
    inner = np.zeros((1, 1), dtype=np.uint8)
    turns = shape.radius.shape[1]
    if turns > 1:
        per_px = np.float32(shape.turn / float(centres.radius.mean()) * turns * shape.per_group / (2.0 * np.pi))
        along = centres.length[:, None] + centres.piece[:, None] * parts
        inner = (np.floor(along * per_px + np.float32(7.0) * centres.strand[:, None]).astype(np.int64) % turns).astype(np.uint8)
    return _Samples(angles, parts, phase.astype(np.float32), inner)


def draw(
    centres: Centres,
    look: StrandLook,
    *,
    width: int,
    height: int,
    seed: int,
    body: float,
    mat_z: float | None = None,
    hair: float = 1.0,
    closed: bool = False,
    drawn: Drawn | None = None,
    px_per_mm: float = 1.0,
    mat: Floats | None = None,
    gloss: Floats | None = None,
    wet: float = 0.0,
) -> Scene:
    """The scene of a set of strands, `width` x `height` pixels.

    body: radius in pixels of the mass that the strands lie on (a rope, or the strand itself), for its shadows. mat_z: how low the mat lies; the lowest
    strand if None. hair: how many loose fibres, against the usual. closed: a small gap between strands shows deeper yarn, not the mat.
    drawn: where each strand comes from. mat: what lies under the yarn, against the mat (1). gloss: white light on top; wet: how much the yarn itself glints.
    The same arguments give the same bytes.
    """
    rng = np.random.default_rng([seed, 7])
    shape = profile(look.plies, look.angle_deg)
    strands = int(centres.strand.max(initial=0)) + 1
    centres = _not_buried(centres, width, height, body)
    thick = float(centres.radius.max())
    found = _surface(centres, shape, look, rng, strands, width=width, height=height, seed=seed, mat_z=mat_z)
    share, slot = _closed(found, 2.0 * thick, closed)
    coarse = to_pixels(found.depth)
    openness = open_to_sky(coarse, 2.0 * thick, body)
    lamp = lamp_seen(coarse, body, 1.2 * thick)
    place: Floats = np.maximum(openness * (np.float32(0.52) + np.float32(0.48) * lamp), np.float32(LEAST_PLACE)).astype(np.float32)
    near = box_mean(share, max(1, round(2.0 * thick)))
    soft: Floats = np.sqrt(box_mean(place, max(1, round(thick))))
    cover, tone, hair_strand, hair_step = loose_fibres(rng, centres, look, near, coarse, to_pixels(found.shade), soft, hair, 1.0 / STEP_PX)
    level, weights = _levels(found, place, cover, tone)
    under = np.maximum(mat_light(lamp, openness, body) * slot, np.float32(LEAST_MAT))
    white = np.zeros((height, width), dtype=np.float32) if gloss is None else gloss
    if wet > 0.0:
        white = white + np.float32(wet) * glint(coarse, 2.0 * thick) * share
    return Scene(
        level=level,
        strand=found.strand,
        step=found.step,
        hairs=packed(cover, tone, hair_strand, hair_step),
        tones=exposure(weights, mean=MEAN_SHADE),
        weights=weights,
        mat=under if mat is None else (under * mat).astype(np.float32),
        gloss=white,
        drawn=drawn or _unplaced(strands),
        px_per_mm=px_per_mm,
    )


def _unplaced(strands: int) -> Drawn:
    """Strands that come from nowhere on a skein: for pictures in one colour."""
    return Drawn("loop", np.zeros(strands), np.zeros(strands), np.zeros(strands), np.zeros(strands), 1)


def _surface(
    centres: Centres, shape: Profile, look: StrandLook, rng: np.random.Generator, strands: int, *, width: int, height: int, seed: int, mat_z: float | None
) -> _Surface:
    """Light, depth and place on its strand of each sub-pixel, before shadows."""
    from skeinwright.core.picture.kernels import clear_band, shade_band, splat_band

    samples = _sampled(centres, shape, look, rng, strands)
    fine = FINE * height, FINE * width
    nearest, sample = np.empty(fine, dtype=np.float32), np.empty(fine, dtype=np.int32)
    across, facing = basis(centres.along)
    at, half, radius = centres.at * np.float32(FINE), FINE * centres.piece * centres.bulge, FINE * centres.radius
    across, facing, along = (np.ascontiguousarray(v) for v in (across, facing, centres.along))

    def splat(a: int, b: int) -> None:
        clear_band(a, b, nearest, sample)
        splat_band(
            a, b, at, along, half, radius, across, facing, samples.phase, samples.inner, samples.parts, samples.angles, shape.radius, shape.plies,
            *samples.bits, nearest, sample,
        )  # fmt: skip

    banded(fine[0], splat, several=1)
    lowest = float((centres.at[2] - centres.radius).min()) if mat_z is None else mat_z
    to_lamp = [np.tensordot(LAMP, axis, axes=1) for axis in (across, facing, along)]
    thick = 2.0 * centres.radius
    columns = (
        *to_lamp, across[1], facing[1], facing[2], centres.light, centres.length / thick, centres.piece / thick, centres.length, centres.piece * centres.bulge
    )  # fmt: skip
    table = np.ascontiguousarray(np.stack(columns, axis=1), dtype=np.float32)
    tilt = float(np.pi * turns_per_diameter(look.lobes, look.angle_deg))
    drift = tilt * 26.0 * (0.8 if shape.plies == 1 else 0.2)
    shade, depth = np.empty(fine, dtype=np.float32), np.empty(fine, dtype=np.float32)
    strand, step = np.empty(fine, dtype=np.uint16), np.empty(fine, dtype=np.uint16)
    texture = fibre_texture(seed)
    banded(
        fine[0],
        lambda a, b: shade_band(
            a, b, nearest, sample, samples.phase, samples.inner, samples.parts, samples.angles, table, centres.strand, shape.slope, shape.openness,
            shape.inner, texture, shape.plies, *samples.bits, tilt, float(shape.turn), drift, float(look.halo), LEAST_SHADE, float(lowest), float(FINE),
            1.0 / STEP_PX, shade, depth, strand, step,
        ),
    )  # fmt: skip
    return _Surface(shade, depth, strand, step)


def _closed(found: _Surface, strand: float, closed: bool) -> tuple[Floats, Floats]:
    """Fills small gaps, in place, with yarn that lies a strand deeper than its surroundings; returns the share of each pixel that is yarn, and the light
    that still reaches the mat there: a slot between strands is the darker the narrower it is, until it is filled."""
    from skeinwright.core.picture.kernels import fill_band, solid_band

    height, width = found.shade.shape[0] // FINE, found.shade.shape[1] // FINE
    share, deep = np.empty((height, width), dtype=np.float32), np.empty((height, width), dtype=np.float32)
    banded(height, lambda a, b: solid_band(a, b, found.strand, found.depth, share, deep), several=1)
    if not closed:
        return share, np.ones_like(share)
    radius = max(2, round(1.6 * strand))
    wide = box_mean(share, radius)
    slot: Floats = 1.0 - np.float32(SLOT_DARK) * np.clip((wide - np.float32(0.5)) / np.float32(FILLED - 0.5), 0.0, 1.0)
    around = box_mean(deep, radius) / np.maximum(wide, np.float32(1e-3)) - np.float32(strand)
    solid = found.strand != BARE
    banded(
        FINE * height,
        lambda a, b: fill_band(
            a, b, wide, around, FINE * radius + 2, CLOSING, FILLED, FINE * HALF_GAP * strand, found.shade, found.depth, found.strand, found.step, solid
        ),
    )  # fmt: skip
    banded(height, lambda a, b: solid_band(a, b, found.strand, found.depth, share, deep), several=1)
    return share, slot


def _levels(found: _Surface, place: Floats, cover: Floats, tone: Floats) -> tuple[Words, Doubles]:
    """Each sub-pixel's light as a level, and how much yarn has each level."""
    from skeinwright.core.picture.kernels import level_band

    level = np.empty(found.shade.shape, dtype=np.uint16)
    parts: dict[int, Doubles] = {}

    def count(a: int, b: int) -> None:
        parts[a] = np.zeros(LEVELS)
        level_band(a, b, found.shade, found.strand, place, cover, tone, TOP_LIGHT, LEVELS, level, parts[a])

    banded(len(level), count)
    return level, np.sum([parts[a] for a in sorted(parts)], axis=0)
