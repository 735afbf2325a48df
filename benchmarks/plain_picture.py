"""The peer of the compiled pictures: the same drawing in plain numpy and scipy, for benchmarks and for comparing lights.

`draw_plain` takes what `picture.draw.draw` takes and gives the light of the picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter

from skeinwright.core.picture.draw import CLOSING, FILLED, HALF_GAP, LEAST_MAT, LEAST_PLIED_PX, SLOT_DARK, TWIST_WAVES, UNEVEN_TWIST
from skeinwright.core.picture.hairs import FULL_SHADE, MOST_HAIRS, RIM_HAIRS, SIDE_OF_STRAND, TOP_OF_STRAND
from skeinwright.core.picture.light import Floats, Light
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.noise import fibre_texture, wander_along
from skeinwright.core.picture.plied import Profile, profile, table_index, turns_per_diameter
from skeinwright.core.picture.shadow import FINE, LAMP
from skeinwright.core.picture.strands import Centres, basis


def box_mean(field: Floats, radius: int) -> Floats:
    out: Floats = uniform_filter(field, 2 * radius + 1, mode="nearest")
    return out


def to_pixels(depth: Floats) -> Floats:
    """Mean over sub-pixels."""
    a = depth[0::2, 0::2] + depth[0::2, 1::2] + depth[1::2, 0::2] + depth[1::2, 1::2]
    out: Floats = a * np.float32(0.25)
    return out


def open_to_sky(depth: Floats, strand: float, body: float) -> Floats:
    """How open each pixel lies to the sky, 0-1: depth below its surroundings, near and far."""
    near = np.maximum(0.0, box_mean(depth, max(1, round(0.55 * strand))) - depth) / strand
    far = np.maximum(0.0, box_mean(depth, max(2, round(0.5 * body))) - depth) / body
    out: Floats = 1.0 / (1.0 + near) / (1.0 + np.float32(0.8) * far)
    return out


def lamp_seen(depth: Floats, body: float, softness: float) -> Floats:
    """Share of the lamp that each pixel sees, 0-1: the depth is searched along the way to the lamp, with a softer edge the farther it goes."""
    flat = float(np.hypot(LAMP[0], LAMP[1]))
    rise = float(LAMP[2]) / flat
    seen = np.ones_like(depth)
    height, width = depth.shape
    for distance in np.geomspace(max(1.0, 0.35 * softness), max(3.0, 2.6 * body), 9):
        dx, dy = round(LAMP[0] / flat * distance), round(LAMP[1] / flat * distance)
        if dx == 0 and dy == 0:
            continue
        if -dy >= height or -dx >= width:
            break
        blocker = depth[: height + dy, : width + dx]
        target = depth[-dy:, -dx:]
        above = (blocker - target - np.float32(rise * distance)) / np.float32(softness + 0.22 * distance)
        np.minimum(seen[-dy:, -dx:], 1.0 - np.clip(above, 0.0, 1.0), out=seen[-dy:, -dx:])
    return seen


def to_sub_pixels(field: Floats) -> Floats:
    """Each pixel's value for its sub-pixels."""
    out: Floats = np.repeat(np.repeat(field, FINE, axis=0), FINE, axis=1)
    return out


def close_gaps(solid: Floats, depth: Floats, strand: float) -> Floats:
    """Fills small gaps, in place, from their sides, with yarn that lies a strand deeper than its surroundings; returns the light that still reaches the mat."""
    radius = max(2, round(1.6 * strand))
    share = box_mean(to_pixels(solid), radius)
    around = box_mean(to_pixels(solid * depth), radius) / np.maximum(share, np.float32(1e-3)) - np.float32(strand)
    here = to_sub_pixels(share)
    closing = 1 + (np.maximum(here - CLOSING, 0.0) * (FINE * HALF_GAP * strand / (FILLED - CLOSING))).astype(np.int32)
    reach = np.where(here > FILLED, FINE * radius + 2, np.minimum(closing, FINE * radius + 2))
    gap = (solid == 0.0) & (here > CLOSING) & (to_yarn(solid > 0.0) < reach)
    depth[gap] = to_sub_pixels(around.astype(np.float32))[gap]
    solid[gap] = 1.0
    slot: Floats = 1.0 - np.float32(SLOT_DARK) * np.clip((share - np.float32(0.5)) / np.float32(FILLED - 0.5), 0.0, 1.0)
    return slot


def to_yarn(solid: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Sub-pixels to the nearest yarn to the left, right, above or below."""
    found = np.full(solid.shape, 1 << 30)
    for turned, back in ((solid, found), (solid[:, ::-1], found[:, ::-1]), (solid.T, found.T), (solid.T[:, ::-1], found.T[:, ::-1])):
        at = np.arange(turned.shape[1])[None, :]
        last = np.maximum.accumulate(np.where(turned, at, -(1 << 30)), axis=1)
        np.minimum(back, at - last, out=back)
    return found


def mat_light(lamp: Floats, openness: Floats, body: float) -> Floats:
    """Light on the mat: contact shadow and the soft shadow of the whole."""
    cast = box_mean(box_mean(lamp, max(1, round(0.24 * body))), max(1, round(0.34 * body)))
    contact = 0.45 + 0.55 * box_mean(openness, max(1, round(0.06 * body)))
    out: Floats = np.minimum(1.0, 0.62 + 0.38 * cast * contact).astype(np.float32)
    return out


def loose_fibres(
    rng: np.random.Generator, centres: Centres, look: StrandLook, near: Floats, depth: Floats, shade: Floats, width: int, height: int, share: float
) -> tuple[Floats, Floats]:
    """Loose fibres: coverage and light of each sub-pixel. Each is a short bent curve that leaves a strand near its own direction.

    `near` is the share of yarn round each pixel: half of the fibres start at the outline, where they are seen. Only strands on top, by `depth`, have any.
    """
    shape = FINE * height, FINE * width
    size = shape[0] * shape[1]
    count = min(int(share * look.halo * float((centres.piece / centres.radius).sum()) * 0.35), int(width * height * MOST_HAIRS))
    if count == 0:
        return np.zeros(shape, dtype=np.float32), np.zeros(shape, dtype=np.float32)
    column, row = np.clip(centres.at[0], 0, width - 1).astype(np.int32), np.clip(centres.at[1], 0, height - 1).astype(np.int32)
    below = (depth[row, column] - centres.at[2]) / centres.radius
    shown = np.flatnonzero(below < TOP_OF_STRAND)
    rim = np.flatnonzero((near[row, column] < 0.82) & (below < SIDE_OF_STRAND))
    on_top = count - count // 2 if len(rim) else count
    at_rim = min(count - on_top, int((RIM_HAIRS[0] + RIM_HAIRS[1] * look.halo) * float(centres.piece[rim].sum())))
    root = np.concatenate([shown[rng.integers(0, len(shown), on_top)], rim[rng.integers(0, max(1, len(rim)), at_rim)]])
    loose = np.arange(len(root)) >= on_top
    count = len(root)
    rooted = np.clip(shade[row[root], column[root]] / np.float32(FULL_SHADE), 0.35, 1.0)
    short = rng.random(count, dtype=np.float32) < 0.8
    reach = centres.radius[root] * rng.gamma(2.2, 0.6 + 0.6 * look.halo, count).astype(np.float32) * np.where(short, np.float32(0.45), np.float32(1.3))
    heading = (
        np.arctan2(centres.along[1][root], centres.along[0][root])
        + rng.normal(0.0, 1.0, count).astype(np.float32) * np.where(loose, np.float32(1.2), np.float32(0.6))
        + np.float32(np.pi) * rng.integers(0, 2, count).astype(np.float32)
    )
    steps = int(np.clip(1.6 * FINE * float(np.percentile(reach, 90)), 4, 80))
    t = np.linspace(0.0, 1.0, steps, dtype=np.float32)[None, :]
    direction = heading[:, None] + rng.normal(0.0, 1.2, count).astype(np.float32)[:, None] * t
    stride = (reach / steps)[:, None]
    across, _ = basis(centres.along[:, root])
    start = rng.uniform(-0.9, 0.9, count).astype(np.float32) * centres.radius[root]
    column = (((centres.at[0][root] + start * across[0])[:, None] + np.cumsum(np.cos(direction), axis=1) * stride) * FINE).astype(np.int32)
    row = (((centres.at[1][root] + start * across[1])[:, None] + np.cumsum(np.sin(direction), axis=1) * stride) * FINE).astype(np.int32)
    inside = (column >= 0) & (column < FINE * width) & (row >= 0) & (row < FINE * height)
    thickness = (0.22 + 0.42 * rng.random(count, dtype=np.float32))[:, None] * (1.0 - 0.7 * t) * np.minimum(1.0, stride * FINE)
    tone = np.broadcast_to(((0.60 + 0.55 * rng.random(count, dtype=np.float32)) * rooted)[:, None], column.shape)
    place, weight = (row * np.int32(FINE * width) + column)[inside], thickness[inside]
    cover = np.bincount(place, weights=weight, minlength=size)
    lit = np.bincount(place, weights=weight * tone[inside], minlength=size)
    light = np.divide(lit, cover, out=np.zeros_like(lit), where=cover > 0)
    return np.minimum(cover, 0.55).reshape(shape).astype(np.float32), light.reshape(shape).astype(np.float32)


Ints = NDArray[np.int64]
STEP = 0.69
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


def _sampled(centres: Centres, shape: Profile, look: StrandLook, rng: np.random.Generator, strands: int) -> _Samples:
    thick = float(centres.radius.max())
    count = max(4, int(np.ceil(2.3 * thick / STEP)))
    even = (np.arange(count) + 0.5) / count * 2.0 - 1.0
    angles = (0.45 * np.arcsin(even) + 0.55 * np.pi / 2.0 * even).astype(np.float32)
    several = max(1, int(np.ceil(OVERLAP * float(np.percentile(centres.piece * centres.bulge, 97.0)) / STEP)))
    parts = (OVERLAP * ((np.arange(several) + 0.5) / several - 0.5)).astype(np.float32)
    start = rng.uniform(0.0, 2.0 * np.pi, strands).astype(np.float32)
    turn = np.float32(np.pi * turns_per_diameter(look.plies, look.angle_deg) / float(centres.radius.mean()))
    first = start[centres.strand]
    if shape.plies > 1 and thick >= LEAST_PLIED_PX:
        first = first + np.float32(UNEVEN_TWIST) * wander_along(rng, strands, centres.strand, centres.length, 2.0 * TWIST_WAVES * thick)
    phase = first[:, None] + turn * (centres.length[:, None] + centres.piece[:, None] * parts)
    return _Samples(angles, parts, phase.astype(np.float32))


def _nearest(centres: Centres, samples: _Samples, shape: Profile, width: int, height: int) -> tuple[Ints, float, float]:
    """The depth buffer (FINE*height, FINE*width): depth in the upper 31 bits, 1 + the sample's number in the lower 32; 0 is bare. And lowest z, span of z."""
    across, facing = (v * (centres.radius * np.float32(FINE)) for v in basis(centres.along))
    radius = shape.radius[table_index(samples.angles + samples.phase[..., None], shape.plies), 0]
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
    wide = np.concatenate([np.maximum(buffer[:, :-1], buffer[:, 1:]), np.maximum(buffer[:, -1:], buffer[:, -2:-1])], axis=1)
    buffer = np.concatenate([np.maximum(wide[:-1], wide[1:]), np.maximum(wide[-1:], wide[-2:-1])])
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
    slope = shape.slope[place, 0]
    around = np.float32(0.22) * texture[(down + 97) & 255, (on + 411) & 1023] - slope
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
    groove = np.float32(0.50) + np.float32(0.50) * shape.openness[place, 0]
    sum_of_lights = np.float32(0.85) * key + np.float32(0.30) + np.float32(0.10) * (up + front) + np.float32(0.12 * look.halo) * rim
    light: Floats = sum_of_lights * groove * table[:, 6] * (1.0 + np.float32(0.16) * fibre)
    return np.maximum(light, np.float32(LEAST_SHADE)).astype(np.float32)


def draw_plain(
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
    **_: object,
) -> Light:
    """The light of a set of strands, `width` x `height` pixels.

    body: radius in pixels of the mass that the strands lie on (a rope, or the strand itself), for its shadows. mat_z: how low the mat lies;
    the lowest strand if None. hair: how many loose fibres, against the usual. closed: a small gap between strands shows deeper
    yarn, not the mat. The same arguments give the same bytes.
    """
    rng = np.random.default_rng([seed, 7])
    shape = profile(look.plies, look.angle_deg)
    strands = int(centres.strand.max(initial=0)) + 1
    centres = _not_buried(centres, width, height, body)
    thick = float(centres.radius.max())
    shade, solid, depth = _surface(centres, shape, look, rng, strands, width=width, height=height, seed=seed, mat_z=mat_z)
    slot = close_gaps(solid, depth, 2.0 * thick) if closed else np.float32(1.0)
    coarse = to_pixels(depth)
    openness = open_to_sky(coarse, 2.0 * thick, body)
    lamp = lamp_seen(coarse, body, 1.2 * thick)
    own = to_pixels(shade)
    place: Floats = np.maximum(openness * (0.52 + 0.48 * lamp), np.float32(LEAST_PLACE)).astype(np.float32)
    shade *= to_sub_pixels(place)
    near = box_mean(to_pixels(solid), max(1, round(2.0 * thick)))
    cover, tone = loose_fibres(rng, centres, look, near, coarse, own, width, height, hair)
    tone *= np.sqrt(to_sub_pixels(box_mean(place, max(1, round(thick)))))
    lit = to_pixels((shade * solid * (1.0 - cover) + tone * cover).astype(np.float32))
    alpha = to_pixels((1.0 - (1.0 - solid) * (1.0 - cover)).astype(np.float32))
    whole = np.divide(lit, alpha, out=np.zeros_like(lit), where=alpha > 1e-4)
    return Light(_exposed(whole, alpha), alpha, np.maximum(mat_light(lamp, openness, body) * slot, np.float32(LEAST_MAT)))


def _surface(
    centres: Centres, shape: Profile, look: StrandLook, rng: np.random.Generator, strands: int, *, width: int, height: int, seed: int, mat_z: float | None
) -> tuple[Floats, Floats, Floats]:
    """Light, coverage (0 or 1) and depth of each sub-pixel, before shadows."""
    samples = _sampled(centres, shape, look, rng, strands)
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
