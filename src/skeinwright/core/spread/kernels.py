"""The inner loops, compiled. Each works on rows cut to one dimension, and rows do not depend on each other: any number of threads gives the same bits.

One driver serves one thread and many: as part of a parallel loop a row's code is made for whole vectors, alone it is not (measured: two to four times slower).
"""

from __future__ import annotations

from math import erf
from typing import Any

import numpy as np
from numba import config, get_num_threads, njit, prange, set_num_threads

from skeinwright.core.spread.arrays import Array

_FAST = {"nnan", "ninf", "nsz", "contract", "arcp"}


@njit(cache=True, fastmath=_FAST)
def _along(row: Any, out: Any, w: Any, closed: bool) -> None:
    n, k_max = row.size, w.size - 1
    padded = np.empty(n + 2 * k_max, row.dtype)
    padded[k_max : k_max + n] = row
    for j in range(k_max):
        padded[k_max - 1 - j] = row[n - 1 - j] if closed else row[j]
        padded[k_max + n + j] = row[j] if closed else row[n - 1 - j]
    w0 = w[0]
    for x in range(n):
        out[x] = w0 * padded[k_max + x]
    for k in range(1, k_max + 1):
        wk, left, right = w[k], padded[k_max - k : k_max - k + n], padded[k_max + k : k_max + k + n]
        for x in range(n):
            out[x] += wk * (left[x] + right[x])


@njit(cache=True, fastmath=_FAST)
def _across(plane: Any, r: int, out: Any, w: Any) -> None:
    rows = plane.shape[0]
    here, w0 = plane[r], w[0]
    n = here.size
    for x in range(n):
        out[x] = w0 * here[x]
    for k in range(1, w.size):
        up, down, wk = r - k, r + k, w[k]
        if up < 0:
            up = -1 - up
        if down >= rows:
            down = 2 * rows - 1 - down
        above, below = plane[up], plane[down]
        for x in range(n):
            out[x] += wk * (above[x] + below[x])


@njit(cache=True, fastmath=_FAST, parallel=True)
def _convolve_planes(planes: Any, temp: Any, wx: Any, wy: Any, closed: bool) -> None:
    rows = planes.shape[1]
    for place in prange(planes.shape[0] * rows):
        _along(planes[place // rows, place % rows], temp[place // rows, place % rows], wx, closed)
    for place in prange(planes.shape[0] * rows):
        _across(temp[place // rows], place % rows, planes[place // rows, place % rows], wy)


def convolve(fields: Array, wx: Array, wy: Array, *, closed: bool, threads: int) -> None:
    """Spread each plane of `fields` (n, rows, columns) in place with the kernels `wx` along and `wy` across."""
    temp = np.empty_like(fields)
    before = _take_threads(threads)
    _convolve_planes(fields, temp, wx, wy, closed)
    set_num_threads(before)


@njit(cache=True, fastmath=_FAST)
def _site_rate(total: Any, g: Any, p: Any) -> None:
    """g(phi) of a row of total acid; p is `constants`."""
    b_max, a_half, phi0, phih, zero, half, one, two, four = p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], p[8]
    for x in range(total.size):
        t = total[x]
        rest = a_half + b_max - t
        root = np.sqrt(rest * rest + four * a_half * t)
        a = (root - rest) * half if rest < zero else two * a_half * t / (rest + root)
        phi = max(zero, (t - a) / b_max)
        g[x] = phi0 + (one - phi0) * phi * (one + phih) / (phi + phih)


@njit(cache=True, fastmath=_FAST)
def _strike_row(liquor: Any, fibre: Any, layer: int, r: int, g: Any, used: Any, ahead: Any, k: Any, kd: Any, full: Any, time: Any, p: Any) -> None:
    """One strike step of all dyes in a row of a layer; A from half a step ahead. (1 - e^-z)/z is a ratio of series: positive, right to z^5, and to its
    limits."""
    zero, half, one, c3, c4, c5 = p[4], p[5], p[6], p[9], p[10], p[11]
    half_time = half * time
    n = g.size
    for x in range(n):
        used[x] = zero
        ahead[x] = zero
    for i in range(fibre.shape[0]):
        s, per = fibre[i, layer, r], one / full[i]
        for x in range(n):
            used[x] += s[x] * per
    for i in range(fibre.shape[0]):
        s, m, per, ki, kdi = fibre[i, layer, r], liquor[i, layer + 1, r], one / full[i], k[i], kd[i]
        for x in range(n):
            kp = ki * g[x] * max(zero, one - used[x])
            e = half_time / (one + (kp + kdi) * half_time)
            ahead[x] += (s[x] + (m[x] * kp - s[x] * kdi) * e) * per
    for i in range(fibre.shape[0]):
        s, m, ki, kdi = fibre[i, layer, r], liquor[i, layer + 1, r], k[i], kd[i]
        for x in range(n):
            kp = ki * g[x] * max(zero, one - ahead[x])
            z = (kp + kdi) * time
            top = one + z * (half + z * (c3 + z * (c4 + z * c5)))
            moved = (m[x] * kp - s[x] * kdi) * time * top / (one + z * top)
            s[x] += moved
            m[x] -= moved


@njit(cache=True, fastmath=_FAST)
def _exchange_row(m0: Any, m1: Any, m2: Any, e: Any) -> None:
    """Amounts that change places between three layers: what leaves one is what comes to another."""
    e10, e20, e01, e21, e02, e12 = e[1, 0], e[2, 0], e[0, 1], e[2, 1], e[0, 2], e[1, 2]
    for x in range(m0.size):
        a, b, c = m0[x], m1[x], m2[x]
        ab, ac, bc = e10 * a - e01 * b, e20 * a - e02 * c, e21 * b - e12 * c
        m0[x] = a - ab - ac
        m1[x] = b + ab - bc
        m2[x] = c + ac + bc


@njit(cache=True, fastmath=_FAST)
def _mobile_row(total: Any, out: Any, p: Any) -> None:
    b_max, a_half, zero, half, two, four = p[0], p[1], p[4], p[5], p[7], p[8]
    for x in range(total.size):
        t = total[x]
        rest = a_half + b_max - t
        root = np.sqrt(rest * rest + four * a_half * t)
        out[x] = (root - rest) * half if rest < zero else two * a_half * t / (rest + root)


@njit(cache=True, fastmath=_FAST)
def _acid_row(acid: Any, r: int, e: Any, p: Any, one_: Any, two_: Any) -> None:
    """Mobile acid changes places; what is bound stays and comes to rest with it again."""
    _mobile_row(acid[1, r], one_, p)
    _mobile_row(acid[2, r], two_, p)
    free, face, back = acid[0, r], acid[1, r], acid[2, r]
    for x in range(free.size):
        face[x] -= one_[x]
        back[x] -= two_[x]
    _exchange_row(free, one_, two_, e)
    for x in range(free.size):
        face[x] += one_[x]
        back[x] += two_[x]


@njit(cache=True, fastmath=_FAST)
def _react_row(
    liquor: Any, fibre: Any, acid: Any, r: int, k: Any, kd: Any, full: Any, e: Any, ea: Any, time: Any, p: Any, strike_first: bool, flat: bool
) -> None:
    n = acid.shape[2]
    g, used, ahead = np.empty(n, acid.dtype), np.empty(n, acid.dtype), np.empty(n, acid.dtype)
    if strike_first:
        _strike_both(liquor, fibre, acid, r, g, used, ahead, k, kd, full, time, p, flat)
    if flat:
        _acid_row(acid[:, :, :1], r, ea, p, used[:1], ahead[:1])
        for layer in range(3):
            row = acid[layer, r]
            for x in range(1, n):
                row[x] = row[0]
    else:
        _acid_row(acid, r, ea, p, used, ahead)
    for i in range(liquor.shape[0]):
        _exchange_row(liquor[i, 0, r], liquor[i, 1, r], liquor[i, 2, r], e[i])
    if not strike_first:
        _strike_both(liquor, fibre, acid, r, g, used, ahead, k, kd, full, time, p, flat)


@njit(cache=True, fastmath=_FAST)
def _strike_both(liquor: Any, fibre: Any, acid: Any, r: int, g: Any, used: Any, ahead: Any, k: Any, kd: Any, full: Any, time: Any, p: Any, flat: bool) -> None:
    for layer in range(2):
        total = acid[layer + 1, r]
        if flat:
            _site_rate(total[:1], g[:1], p)
            for x in range(1, g.size):
                g[x] = g[0]
        else:
            _site_rate(total, g, p)
        _strike_row(liquor, fibre, layer, r, g, used, ahead, k, kd, full, time, p)


@njit(cache=True, fastmath=_FAST, parallel=True)
def _react_rows(liquor: Any, fibre: Any, acid: Any, k: Any, kd: Any, full: Any, e: Any, ea: Any, time: Any, p: Any, strike_first: bool, flat: bool) -> None:
    for r in prange(acid.shape[1]):
        _react_row(liquor, fibre, acid, r, k, kd, full, e, ea, time, p, strike_first, flat)


def constants(b_max: float, a_half: float, phi0: float, phih: float, dtype: Any) -> Array:
    """Parameters and plain numbers in the precision of the fields, so that nothing is widened in the loops."""
    return np.array([b_max, a_half, phi0, phih, 0, 0.5, 1, 2, 4, 1 / 6, 1 / 24, 1 / 120], dtype)


def react(
    liquor: Array, fibre: Array, acid: Array, k: Array, kd: Array, full: Array, e: Array, ea: Array, time_s: float, p: Array,
    *, strike_first: bool, flat: bool, threads: int,
) -> None:  # fmt: skip
    """Strike and exchange over `time_s`, in the order asked, in place; `flat` says that acid is even in each layer. All arrays have one precision."""
    before = _take_threads(threads)
    _react_rows(liquor, fibre, acid, k, kd, full, e, ea, acid.dtype.type(time_s), p, strike_first, flat)
    set_num_threads(before)


@njit(cache=True, fastmath=_FAST)
def _mobile_plane(total: Any, out: Any, p: Any) -> None:
    for r in range(total.shape[0]):
        row, free = total[r], out[r]
        _mobile_row(row, free, p)
        for x in range(row.size):
            row[x] -= free[x]


def take_mobile(total: Array, p: Array) -> Array:
    """Take the mobile acid out of a plane of totals; returns it, to be put back after it has spread."""
    out = np.empty_like(total)
    _mobile_plane(total, out, p)
    return out


@njit(cache=True)
def stamp(target: Any, amount: Any, x_cm: Any, y_cm: Any, sd_cm: Any, dx: float, dy: float, closed: bool, gain: Any) -> None:
    """Add grains to a plane (amount per area): each a Gaussian integrated over the cells, cut at 4 sd, its sum made exact.

    `gain` (rows,) varies the footprint from strand to strand; the amount of a grain is not changed by it.
    """
    rows, columns = target.shape
    root2 = 1.4142135623730951
    for grain in range(amount.size):
        if amount[grain] == 0.0:
            continue
        reach_x, reach_y = 4 * sd_cm[grain] / dx + 1, 4 * sd_cm[grain] / dy + 1
        cx, cy = x_cm[grain] / dx, y_cm[grain] / dy
        x0, x1 = int(np.floor(cx - reach_x)), int(np.ceil(cx + reach_x))
        y0, y1 = max(0, int(np.floor(cy - reach_y))), min(rows, int(np.ceil(cy + reach_y)))
        if not closed:
            x0, x1 = max(0, x0), min(columns, x1)
        if x1 - x0 > columns:
            x0, x1 = 0, columns
        wx = np.empty(x1 - x0)
        scale = 1 / (sd_cm[grain] * root2)
        for x in range(x0, x1):
            wx[x - x0] = erf((x + 1 - cx) * dx * scale) - erf((x - cx) * dx * scale)
        wy = np.empty(max(0, y1 - y0))
        total = 0.0
        for y in range(y0, y1):
            wy[y - y0] = (erf((y + 1 - cy) * dy * scale) - erf((y - cy) * dy * scale)) * gain[y]
            total += wy[y - y0]
        total *= wx.sum()
        if total <= 0.0:
            target[min(max(int(cy), 0), rows - 1), min(max(int(cx), 0), columns - 1)] += amount[grain] / (dx * dy)
            continue
        per = amount[grain] / (total * dx * dy)
        for y in range(y0, y1):
            row, here = target[y], wy[y - y0] * per
            for x in range(x0, x1):
                row[x % columns] += wx[x - x0] * here


def _take_threads(threads: int) -> int:
    """Set how many threads the parallel drivers may use; returns what it was."""
    before = int(get_num_threads())
    set_num_threads(max(1, min(threads, int(getattr(config, "NUMBA_NUM_THREADS", 1)))))
    return before
