"""The inner loops of pictures, compiled; each works on a band of rows (or columns) and lets others run meanwhile. `banded` shares the bands out.

Every sub-pixel belongs to one band, so the result does not depend on how many bands there are.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

_FAST = {"nsz", "contract", "arcp"}
STEPS = 512
BARE = 65535


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def clear_band(y0: int, y1: int, nearest: Any, sample: Any) -> None:
    for y in range(y0, y1):
        for x in range(nearest.shape[1]):
            nearest[y, x] = -1e30
            sample[y, x] = -1


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def splat_band(
    y0: int, y1: int, at: Any, along: Any, half: Any, radius: Any, across: Any, facing: Any, phase: Any, inner_phase: Any, parts: Any, angles: Any,
    profile: Any, plies: int, part_bits: int, angle_bits: int, nearest: Any, sample: Any,
) -> None:  # fmt: skip
    """Samples of every piece into the depth buffer; all lengths in sub-pixels.

    sample = piece, part and angle in the bits of one number, the angle lowest: they are taken apart again for every sub-pixel, and shifts are quick.
    """
    width = nearest.shape[1]
    count, several = angles.size, parts.size
    sine, cosine = np.sin(angles), np.cos(angles)
    per_radian = np.float32(plies * STEPS / (2.0 * np.pi))
    turns = profile.shape[1]
    low, high, right = np.float32(y0), np.float32(y1), np.float32(width)
    for p in range(radius.size):
        reach = radius[p] + 0.6 * half[p] + 1.0
        cy = at[1, p]
        if cy + reach < y0 or cy - reach >= y1:
            continue
        cx, cz = at[0, p], at[2, p]
        if cx + reach < 0 or cx - reach >= width:
            continue
        ax, ay, fx, fy, fz = across[0, p] * radius[p], across[1, p] * radius[p], facing[0, p] * radius[p], facing[1, p] * radius[p], facing[2, p] * radius[p]
        for j in range(several):
            off = parts[j] * half[p]
            px, py, pz, turned = cx + along[0, p] * off, cy + along[1, p] * off, cz + along[2, p] * off, phase[p, j]
            within = inner_phase[p, j] if turns > 1 else 0
            for k in range(count):
                r = profile[int(np.floor((angles[k] + turned) * per_radian)) & (STEPS - 1), within]
                side, front = r * sine[k], r * cosine[k]
                y = py + side * ay + front * fy
                x = px + side * ax + front * fx
                if y < low or y >= high or x < 0.0 or x >= right:
                    continue
                row, column = int(y), int(x)
                z = pz + front * fz
                if z > nearest[row, column]:
                    nearest[row, column] = z
                    sample[row, column] = (((p << part_bits) + j) << angle_bits) + k


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def shade_band(
    y0: int, y1: int, nearest: Any, sample: Any, phase: Any, inner_phase: Any, parts: Any, angles: Any, table: Any, strands: Any, slopes: Any, openness: Any,
    inner: Any, texture: Any, plies: int, part_bits: int, angle_bits: int, tilt: float, inner_tilt: float, drift: float, halo: float, least: float,
    mat_z: float, fine: float, per_step: float, shade: Any, depth: Any, strand: Any, step: Any,
) -> None:  # fmt: skip
    """Light, depth (in pixels), strand and place along it of each sub-pixel: the nearest of it and its right and lower neighbours, so that no gap of one opens
    (at the last column and row, of the left and upper ones).

    phase of the plies, and inner_phase (place in the tables) of the plies within a group of a cable.
    table (n, 11): lamp on across, facing, along; across y, facing y, facing z; light; length/width, piece/width; length, piece in pixels.
    """
    height, width = nearest.shape
    part_mask, angle_mask = (1 << part_bits) - 1, (1 << angle_bits) - 1
    sine, cosine = np.sin(angles), np.cos(angles)
    per_radian = np.float32(plies * STEPS / (2.0 * np.pi))
    turns = slopes.shape[1]
    for y in range(y0, y1):
        low = y + 1 if y + 1 < height else y - 1
        before = -1
        for x in range(width):
            right = x + 1 if x + 1 < width else x - 1
            z, s = nearest[y, x], sample[y, x]
            if nearest[y, right] > z:
                z, s = nearest[y, right], sample[y, right]
            if nearest[low, x] > z:
                z, s = nearest[low, x], sample[low, x]
            if nearest[low, right] > z:
                z, s = nearest[low, right], sample[low, right]
            if s < 0:
                shade[y, x], depth[y, x], strand[y, x], step[y, x] = 0.5, mat_z, BARE, 0
                before = -1
                continue
            if s == before:
                shade[y, x], depth[y, x], strand[y, x], step[y, x] = shade[y, x - 1], depth[y, x - 1], strand[y, x - 1], step[y, x - 1]
                continue
            before = s
            k, rest = s & angle_mask, s >> angle_bits
            j, p = rest & part_mask, rest >> part_bits
            t = table[p]
            angle = angles[k]
            place = int(np.floor((angle + phase[p, j]) * per_radian)) & (STEPS - 1)
            within = inner_phase[p, j] if turns > 1 else 0
            slope = slopes[place, within]
            run = t[7] + t[8] * parts[j]
            down = (int(angle * 26.0 + run * drift) + strands[p] * 67) & 255
            on = (int(run * 30.0) + strands[p] * 389) & 1023
            fibre = texture[down, on]
            around = np.float32(0.22) * texture[(down + 97) & 255, (on + 411) & 1023] - slope
            on_along = -slope * tilt - inner[place, within] * inner_tilt
            on_across, on_facing = sine[k] + around * cosine[k], cosine[k] - around * sine[k]
            size = 1.0 / np.sqrt(1.0 + around * around + on_along * on_along)
            lamp = (on_across * t[0] + on_facing * t[1] + on_along * t[2]) * size
            up = -(on_across * t[3] + on_facing * t[4]) * size
            front = min(1.0, max(0.0, on_facing * t[5] * size))
            key = max(0.0, (lamp + 0.30) * (1.0 / 1.30))
            rim = (1.0 - front) ** 3
            lit = 0.85 * key + 0.30 + 0.10 * (up + front) + 0.12 * halo * rim
            shade[y, x] = max(least, lit * (0.5 + 0.5 * openness[place, within]) * t[6] * (1.0 + 0.16 * fibre))
            depth[y, x] = z / fine
            strand[y, x] = strands[p]
            step[y, x] = min(65534, max(0, int((t[9] + t[10] * parts[j]) * per_step)))


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def fill_band(
    y0: int, y1: int, share: Any, around: Any, far: int, least: float, filled: float, half_gap: float, shade: Any, depth: Any, strand: Any, step: Any,
    solid: Any,
) -> None:  # fmt: skip
    """Small gaps become yarn that lies deeper, of the colour of the nearest strand beside it. `solid` says what was yarn before.

    From a share of yarn of `least` to one of `filled` a gap closes from its sides, `half_gap` sub-pixels each in the end, so that a slot runs out in a point.
    """
    height, width = shade.shape
    for y in range(y0, y1):
        for x in range(width):
            here = share[y >> 1, x >> 1]
            if solid[y, x] or here <= least:
                continue
            reach = far if here > filled else min(far, 1 + int(half_gap * (here - least) / (filled - least)))
            for d in range(1, reach):
                from_y, from_x = y, -1
                if x >= d and solid[y, x - d]:
                    from_x = x - d
                elif x + d < width and solid[y, x + d]:
                    from_x = x + d
                elif y >= d and solid[y - d, x]:
                    from_y, from_x = y - d, x
                elif y + d < height and solid[y + d, x]:
                    from_y, from_x = y + d, x
                if from_x >= 0:
                    strand[y, x], step[y, x] = strand[from_y, from_x], step[from_y, from_x]
                    shade[y, x], depth[y, x] = 0.5, around[y >> 1, x >> 1]
                    break


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def pool_band(y0: int, y1: int, field: Any, out: Any) -> None:
    """Mean over the four sub-pixels of each pixel."""
    for y in range(y0, y1):
        for x in range(out.shape[1]):
            out[y, x] = 0.25 * (field[2 * y, 2 * x] + field[2 * y, 2 * x + 1] + field[2 * y + 1, 2 * x] + field[2 * y + 1, 2 * x + 1])


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def solid_band(y0: int, y1: int, strand: Any, depth: Any, share: Any, deep: Any) -> None:
    """Share of each pixel that is yarn, and that times its depth."""
    for y in range(y0, y1):
        for x in range(share.shape[1]):
            n, total = 0, 0.0
            for i in range(2):
                for j in range(2):
                    if strand[2 * y + i, 2 * x + j] != BARE:
                        n += 1
                        total += depth[2 * y + i, 2 * x + j]
            share[y, x] = 0.25 * n
            deep[y, x] = 0.25 * total


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def box_rows_band(y0: int, y1: int, field: Any, out: Any, radius: int) -> None:
    """Running mean along each row, its ends repeated."""
    width = field.shape[1]
    scale = 1.0 / (2 * radius + 1)
    for y in range(y0, y1):
        total = 0.0
        for k in range(-radius, radius + 1):
            total += field[y, min(max(k, 0), width - 1)]
        for x in range(width):
            out[y, x] = total * scale
            total += field[y, min(x + radius + 1, width - 1)] - field[y, max(x - radius, 0)]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def box_columns_band(x0: int, x1: int, field: Any, out: Any, radius: int) -> None:
    """Running mean down each column, its ends repeated."""
    height = field.shape[0]
    scale = 1.0 / (2 * radius + 1)
    total = np.zeros(x1 - x0)
    for k in range(-radius, radius + 1):
        row = min(max(k, 0), height - 1)
        for x in range(x0, x1):
            total[x - x0] += field[row, x]
    for y in range(height):
        new, old = min(y + radius + 1, height - 1), max(y - radius, 0)
        for x in range(x0, x1):
            out[y, x] = total[x - x0] * scale
            total[x - x0] += field[new, x] - field[old, x]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def sky_band(y0: int, y1: int, depth: Any, near: Any, far: Any, strand: float, body: float, out: Any) -> None:
    """How open each pixel lies to the sky: 1/(1 + near/strand)/(1 + 0.8 far/body)."""
    for y in range(y0, y1):
        for x in range(depth.shape[1]):
            close = max(0.0, near[y, x] - depth[y, x]) / strand
            wide = max(0.0, far[y, x] - depth[y, x]) / body
            out[y, x] = 1.0 / (1.0 + close) / (1.0 + 0.8 * wide)


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def lamp_band(y0: int, y1: int, depth: Any, dx: Any, dy: Any, distance: Any, rise: float, softness: float, out: Any) -> None:
    """Share of the lamp that each pixel sees: the depth is searched along the way to the lamp, with a softer edge the farther it goes."""
    height, width = depth.shape
    for y in range(y0, y1):
        for x in range(width):
            here, seen = depth[y, x], 1.0
            for k in range(distance.size):
                yy, xx = y + dy[k], x + dx[k]
                if yy < 0 or xx < 0 or yy >= height or xx >= width:
                    continue
                above = (depth[yy, xx] - here - rise * distance[k]) / (softness + 0.22 * distance[k])
                if above > 0.0:
                    seen = min(seen, 1.0 - min(1.0, above))
            out[y, x] = seen


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def hair_band(
    y0: int, y1: int, x: Any, y: Any, heading: Any, bend: Any, stride: Any, weight: Any, tone: Any, strands: Any, places: Any, steps: int,
    soft: Any, most: float, cover: Any, lit: Any, strand: Any, step: Any,
) -> None:  # fmt: skip
    """Loose fibres, each a short bent curve; they keep the colour of the strand at their root. At the end `lit` is their mean light times that of the place
    `soft` (a value a pixel), and `cover` at most `most`."""
    width = cover.shape[1]
    for h in range(x.size):
        reach = stride[h] * steps + 2.0
        if y[h] + reach < y0 or y[h] - reach >= y1:
            continue
        px, py, run = x[h], y[h], min(1.0, stride[h])
        for k in range(steps):
            t = (k + 0.5) / steps
            direction = heading[h] + bend[h] * t
            px += np.cos(direction) * stride[h]
            py += np.sin(direction) * stride[h]
            row, column = int(np.floor(py)), int(np.floor(px))
            if row < y0 or row >= y1 or column < 0 or column >= width:
                continue
            w = weight[h] * (1.0 - 0.7 * t) * run
            cover[row, column] += w
            lit[row, column] += w * tone[h]
            strand[row, column] = strands[h]
            step[row, column] = places[h]
    for row in range(y0, y1):
        for column in range(width):
            if cover[row, column] > 0.0:
                lit[row, column] = lit[row, column] / cover[row, column] * soft[row >> 1, column >> 1]
                cover[row, column] = min(cover[row, column], np.float32(most))


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def level_band(y0: int, y1: int, shade: Any, strand: Any, place: Any, cover: Any, tone: Any, top: float, levels: int, out: Any, weight: Any) -> None:
    """Light times the light of the place, as a level, and how much yarn each level has."""
    scale = (levels - 1) / top
    for y in range(y0, y1):
        for x in range(shade.shape[1]):
            bare = strand[y, x] == BARE
            light = 0.0 if bare else shade[y, x] * place[y >> 1, x >> 1]
            level = min(levels - 1, int(light * scale + 0.5))
            out[y, x] = level
            if not bare:
                weight[level] += 1.0 - cover[y, x]
            if cover[y, x] > 0.0:
                weight[min(levels - 1, int(tone[y, x] * scale + 0.5))] += cover[y, x]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def light_band(y0: int, y1: int, level: Any, strand: Any, start: Any, at: Any, cover: Any, hair: Any, tones: Any, shade: Any, alpha: Any) -> None:
    """Light and coverage of each pixel, apart from colour."""
    width = shade.shape[1]
    for y in range(y0, y1):
        for x in range(width):
            shade[y, x], alpha[y, x] = 0.0, 0.0
        for i in range(2):
            row = 2 * y + i
            p, end = start[row], start[row + 1]
            for x in range(2 * width):
                h, light = 0.0, 0.0
                if p < end and at[p] == x:
                    h = cover[p] * (1.0 / 255.0)
                    light = tones[hair[p]]
                    p += 1
                solid = 0.0 if strand[row, x] == BARE else 1.0
                own = 0.25 * solid * (1.0 - h)
                shade[y, x >> 1] += own * tones[level[row, x]] + 0.25 * h * light
                alpha[y, x >> 1] += own + 0.25 * h
        for x in range(width):
            if alpha[y, x] > 1e-4:
                shade[y, x] /= alpha[y, x]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def colour_band(
    y0: int, y1: int, level: Any, strand: Any, step: Any, start: Any, at: Any, cover: Any, hair: Any, hair_strand: Any, hair_step: Any, codes: Any, seen: Any,
    mat: Any, gloss: Any, encode: Any, out: Any,
) -> None:  # fmt: skip
    """The picture: each sub-pixel's light and the colour of its place on the yarn (codes (strands, steps, 3)) through `seen` (levels, codes), over the mat."""
    width = out.shape[1]
    last = codes.shape[1] - 1
    top = encode.size - 1
    acc = np.zeros((width, 4), dtype=np.float32)
    for y in range(y0, y1):
        acc[:] = 0.0
        for i in range(2):
            row = 2 * y + i
            p, end = start[row], start[row + 1]
            for x in range(2 * width):
                s = strand[row, x]
                h = np.float32(0.0)
                a = acc[x >> 1]
                if p < end and at[p] == x:
                    h = np.float32(cover[p]) * np.float32(1.0 / 255.0)
                    c, dark = codes[hair_strand[p], min(last, hair_step[p])], seen[hair[p]]
                    a[0] += h * dark[c[0]]
                    a[1] += h * dark[c[1]]
                    a[2] += h * dark[c[2]]
                    a[3] += h
                    p += 1
                if s != BARE:
                    own = np.float32(1.0) - h
                    c, dark = codes[s, min(last, step[row, x])], seen[level[row, x]]
                    a[0] += own * dark[c[0]]
                    a[1] += own * dark[c[1]]
                    a[2] += own * dark[c[2]]
                    a[3] += own
        for x in range(width):
            a = acc[x]
            bare = (np.float32(1.0) - np.float32(0.25) * a[3]) * mat[y, x] + gloss[y, x]
            for k in range(3):
                value = (np.float32(0.25) * a[k] + bare) * top + np.float32(0.5)
                out[y, x, k] = encode[int(min(max(value, np.float32(0.0)), np.float32(top)))]


@njit(cache=True, nogil=True, error_model="numpy", fastmath=_FAST)
def sample_band(k0: int, k1: int, colours: Any, cell: Any, row: Any, face: Any, out: Any) -> None:
    """Colours (2, rows, cells, 3) at cells (fractional, periodic), rows and a blend of faces."""
    cells = colours.shape[2]
    for k in range(k0, k1):
        for i in range(cell.shape[1]):
            at = cell[k, i] - np.float32(0.5)
            low = int(np.floor(at))
            part = np.float32(at - low)
            a, b = low % cells, (low + 1) % cells
            r, f = row[k, i], face[k, i]
            upper, under = colours[0, r], colours[1, r]
            for c in range(3):
                above = upper[a, c] * (np.float32(1.0) - part) + upper[b, c] * part
                below = under[a, c] * (np.float32(1.0) - part) + under[b, c] * part
                out[k, i, c] = above * (np.float32(1.0) - f) + below * f
