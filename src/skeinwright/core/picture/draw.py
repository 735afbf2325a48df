"""Draws strands in space as light: every view is a set of centre lines handed to `draw`.

Each strand's front half is sampled as points, the nearest point wins its sub-pixel (a depth buffer), the winners are shaded once by their own normal
(round strand, plies, fibres), by how deep they lie among their neighbours and by what stands between them and the lamp.
All factors of shading are chosen by eye.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.picture.hairs import loose_fibres
from skeinwright.core.picture.light import Floats, Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import fibre_texture
from skeinwright.core.picture.plied import Profile, profile, table_index, turns_per_diameter
from skeinwright.core.picture.shadow import FINE, LAMP, box_mean, close_gaps, lamp_seen, mat_light, open_to_sky, to_pixels, to_sub_pixels
from skeinwright.core.picture.strands import Centres, basis

Ints = NDArray[np.int64]
STEP = 0.62
"""Greatest distance between samples, in pixels: the buffer closes gaps of one sub-pixel."""
OVERLAP = 1.15
"""Pieces are drawn a little longer than they are, so that a bend has no cracks."""
MEAN_SHADE = 0.84
LEAST_SHADE = 0.10
LEAST_PLACE = 0.26
"""Light in the deepest place: wool scatters, so no gap is black."""


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
    return centres.only(near[z > top[place] - np.float32(1.2 * thick + np.sqrt(2.0 * body * cell))])


@dataclass(frozen=True, eq=False)
class _Samples:
    """How the pieces are sampled: `angles` (k,) round the front half, `parts` (j,) along a piece in -0.5..0.5, phase (n, j) of the plies."""

    angles: Floats
    parts: Floats
    phase: Floats

    def split(self, sample: Ints) -> tuple[Ints, Ints, Floats, Floats]:
        """Piece number, part number, angle and phase of each sample number."""
        rest, which = np.divmod(sample, len(self.angles))
        piece, part = np.divmod(rest, len(self.parts))
        return piece, part, self.angles[which], self.phase.ravel()[rest]


def _sampled(centres: Centres, look: StrandLook, rng: np.random.Generator) -> _Samples:
    thick = float(centres.radius.max())
    count = max(6, int(np.ceil(2.3 * thick / STEP)))
    even = (np.arange(count) + 0.5) / count * 2.0 - 1.0
    angles = (0.45 * np.arcsin(even) + 0.55 * np.pi / 2.0 * even).astype(np.float32)
    several = max(1, int(np.ceil(OVERLAP * float(np.percentile(centres.piece * centres.bulge, 97.0)) / STEP)))
    parts = (OVERLAP * ((np.arange(several) + 0.5) / several - 0.5)).astype(np.float32)
    start = rng.uniform(0.0, 2.0 * np.pi, int(centres.strand.max(initial=0)) + 1).astype(np.float32)
    turn = np.float32(np.pi * turns_per_diameter(look.plies, look.angle_deg) / float(centres.radius.mean()))
    phase = start[centres.strand][:, None] + turn * (centres.length[:, None] + centres.piece[:, None] * parts)
    return _Samples(angles, parts, phase.astype(np.float32))


def _nearest(centres: Centres, samples: _Samples, shape: Profile, width: int, height: int) -> tuple[Ints, float, float]:
    """The depth buffer (FINE*height, FINE*width): depth in the upper 31 bits, 1 + the sample's number in the lower 32; 0 is bare. And lowest z, span of z."""
    across, facing = (v * (centres.radius * np.float32(FINE)) for v in basis(centres.along))
    radius = shape.radius[table_index(samples.angles + samples.phase[..., None], shape.plies)]
    side, front = radius * np.sin(samples.angles), radius * np.cos(samples.angles)
    x, y, z = (
        np.float32(FINE) * (centres.at[k][:, None] + (centres.along[k] * centres.piece * centres.bulge)[:, None] * samples.parts)[..., None]
        + front * facing[k][:, None, None]
        for k in range(3)
    )
    x += side * across[0][:, None, None]
    y += side * across[1][:, None, None]
    low, span = float(z.min()), float(np.ptp(z)) + 1e-3
    column, row = x.ravel().astype(np.int32), y.ravel().astype(np.int32)
    inside = (x.ravel() >= 0) & (column < FINE * width) & (y.ravel() >= 0) & (row < FINE * height)
    key = (z.ravel() - np.float32(low)) * np.float32(2**20 / span)
    keys = (key.astype(np.int64) << 32) + np.arange(1, key.size + 1)
    place = row * np.int32(FINE * width) + column
    if not inside.all():
        keys, place = keys[inside], place[inside]
    buffer = np.zeros((FINE * height, FINE * width), dtype=np.int64)
    np.maximum.at(buffer.ravel(), place, keys)
    np.maximum(buffer[:, :-1], buffer[:, 1:], out=buffer[:, :-1])
    np.maximum(buffer[:-1], buffer[1:], out=buffer[:-1])
    return buffer, low / FINE, span / FINE


def _surface_light(centres: Centres, samples: _Samples, shape: Profile, look: StrandLook, sample: Ints, seed: int) -> Floats:
    """Light on each winning sample from its own normal, its groove and its fibres."""
    point, part, angle, turned = samples.split(sample)
    place = table_index(angle + turned, shape.plies)
    tilt = np.float32(np.pi * turns_per_diameter(look.plies, look.angle_deg))
    width = 2.0 * centres.radius
    run = (centres.length / width)[point] + (centres.piece / width)[point] * samples.parts[part]
    strand = centres.strand[point]
    texture = fibre_texture(seed)
    drift = tilt * np.float32(26.0 * (0.8 if shape.plies == 1 else 0.2))
    down = ((angle * np.float32(26.0) + run * drift).astype(np.int32) + strand * 67) & 255
    on = ((run * np.float32(30.0)).astype(np.int32) + strand * 389) & 1023
    fibre = texture[down, on]
    slope = shape.slope[place]
    around = np.float32(0.16) * texture[(down + 97) & 255, (on + 411) & 1023] - slope
    across, facing = basis(centres.along)
    to_lamp = [np.tensordot(LAMP, axis, axes=1) for axis in (across, facing, centres.along)]
    table = np.stack([*to_lamp, across[1], facing[1], facing[2], centres.light], axis=1)[point]
    sine, cosine = np.sin(angle), np.cos(angle)
    on_across, on_facing, on_along = sine + around * cosine, cosine - around * sine, -slope * tilt
    size = 1.0 / np.sqrt(1.0 + around * around + on_along * on_along)
    lamp = (on_across * table[:, 0] + on_facing * table[:, 1] + on_along * table[:, 2]) * size
    up = -(on_across * table[:, 3] + on_facing * table[:, 4]) * size
    front = np.clip(on_facing * table[:, 5] * size, 0.0, 1.0)
    key = np.maximum(0.0, (lamp + np.float32(0.30)) * np.float32(1.0 / 1.30))
    rim = (1.0 - front) ** 3
    groove = np.float32(0.50) + np.float32(0.50) * shape.openness[place]
    sum_of_lights = np.float32(0.85) * key + np.float32(0.30) + np.float32(0.10) * (up + front) + np.float32(0.12 * look.halo) * rim
    light: Floats = sum_of_lights * groove * table[:, 6] * (1.0 + np.float32(0.13) * fibre)
    return np.maximum(light, np.float32(LEAST_SHADE)).astype(np.float32)


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
) -> Light:
    """The light of a set of strands, `width` x `height` pixels.

    body: radius in pixels of the mass that the strands lie on (a rope, or the strand itself), for its shadows. mat_z: how low the mat lies;
    the lowest strand if None. hair: how many loose fibres, against the usual. closed: a small gap between strands shows deeper
    yarn, not the mat. The same arguments give the same bytes.
    """
    rng = np.random.default_rng([seed, 7])
    shape = profile(look.plies, look.angle_deg)
    centres = _not_buried(centres, width, height, body)
    thick = float(centres.radius.max())
    shade, solid, depth = _surface(centres, shape, look, rng, width=width, height=height, seed=seed, mat_z=mat_z)
    if closed:
        close_gaps(solid, depth, 2.0 * thick)
    coarse = to_pixels(depth)
    openness = open_to_sky(coarse, 2.0 * thick, body)
    lamp = lamp_seen(coarse, body, 1.2 * thick)
    place: Floats = np.maximum(openness * (0.52 + 0.48 * lamp), np.float32(LEAST_PLACE)).astype(np.float32)
    shade *= to_sub_pixels(place)
    near = box_mean(to_pixels(solid), max(1, round(2.0 * thick)))
    cover, tone = loose_fibres(rng, centres, look, near, width, height, hair)
    tone *= np.sqrt(to_sub_pixels(box_mean(place, max(1, round(thick)))))
    lit = to_pixels((shade * solid * (1.0 - cover) + tone * cover).astype(np.float32))
    alpha = to_pixels((1.0 - (1.0 - solid) * (1.0 - cover)).astype(np.float32))
    whole = np.divide(lit, alpha, out=np.zeros_like(lit), where=alpha > 1e-4)
    return Light(_exposed(whole, alpha), alpha, mat_light(lamp, openness, body))


def _surface(
    centres: Centres, shape: Profile, look: StrandLook, rng: np.random.Generator, *, width: int, height: int, seed: int, mat_z: float | None
) -> tuple[Floats, Floats, Floats]:
    """Light, coverage (0 or 1) and depth of each sub-pixel, before shadows."""
    samples = _sampled(centres, look, rng)
    buffer, low, span = _nearest(centres, samples, shape, width, height)
    covered = np.flatnonzero(buffer)
    keys = buffer.ravel()[covered]
    depth = np.full(buffer.size, low if mat_z is None else mat_z, dtype=np.float32)
    depth[covered] = (keys >> 32).astype(np.float32) * np.float32(span / 2**20) + np.float32(low)
    shade = np.full(buffer.size, 0.5, dtype=np.float32)
    shade[covered] = _surface_light(centres, samples, shape, look, (keys & 0xFFFFFFFF) - 1, seed)
    solid = np.zeros(buffer.size, dtype=np.float32)
    solid[covered] = 1.0
    return shade.reshape(buffer.shape), solid.reshape(buffer.shape), depth.reshape(buffer.shape)


def _exposed(shade: Floats, alpha: Floats) -> Floats:
    """Light as a camera would set it: s^0.88, highlights above 0.9 held by a soft shoulder, mean of the yarn at MEAN_SHADE."""
    out = np.maximum(shade, 0.0) ** np.float32(0.88)
    out *= np.float32(MEAN_SHADE / np.average(out, weights=alpha))
    over = np.maximum(out - np.float32(0.9), 0.0)
    out = np.minimum(out, np.float32(0.9)) + over / (1.0 + over / np.float32(1.5))
    level: Floats = (out * (MEAN_SHADE / np.average(out, weights=alpha))).astype(np.float32)
    return level
