"""Dye spreading along and across the strands: exact in time, never negative, conserving.

One step of d m/dt = Dx m_xx + Dy m_yy on the grid's own second difference is the product of two heat kernels, one an axis. In the spectrum an axis of N
cells has

    L_k = (2 - 2 cos(pi k/N))/dx^2 (edges turn back, DCT-II)  or  (2 - 2 cos(2 pi k/N))/dx^2 (closed loop, FFT)

and mode k is multiplied by exp(-D dt L_k). With this *discrete* symbol the step is the exponential of an M-matrix: no overshoot for any dt, mode 0 stays,
second
order in dx. Short steps in single precision are done on the grid instead: the same kernel in space is w_k = e^(-2r) I_k(2r), r = D dt/dx^2, cut where it is
lost in rounding and made to add up to 1.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.grid import Grid

MOST_TAPS = 44
"""A kernel that reaches further than this is cheaper in the spectrum."""
_LOST = 1e-7


def symbol(cells: int, step_cm: float, *, closed: bool) -> Array:
    """L_k of an axis: (cells,) for turning edges, (cells//2 + 1,) for a closed loop."""
    k = np.arange(cells // 2 + 1 if closed else cells)
    return np.asarray((2 - 2 * np.cos((2 if closed else 1) * np.pi * k / cells)) / step_cm**2)


def taps(r: float) -> Array | None:
    """w_0..w_K of the heat kernel in space for r = D dt/dx^2; None where it reaches further than `MOST_TAPS`. w_0 + 2 sum w_k = 1."""
    if r <= 0:
        return np.ones(1)
    from scipy.special import ive

    weights = np.asarray(ive(np.arange(MOST_TAPS + 1), 2 * r))
    tail = 1 - weights[0] - 2 * np.cumsum(weights[1:])
    enough = np.flatnonzero(tail < _LOST)
    if not enough.size:
        return None
    kept = weights[: enough[0] + 2]
    return np.asarray(kept / (kept[0] + 2 * kept[1:].sum()))


def spread(fields: Array, grid: Grid, along_cm2: float, across_cm2: float, *, threads: int = 1) -> None:
    """Spread every plane of `fields` (n, rows, columns) in place by D dt of `along_cm2` and `across_cm2`."""
    if along_cm2 <= 0 and across_cm2 <= 0:
        return
    if fields.dtype == np.float32 and min(grid.shape) > MOST_TAPS:
        x, y = _taps_of(along_cm2 / grid.dx_cm**2), _taps_of(across_cm2 / grid.dy_cm**2)
        if x is not None and y is not None:
            from skeinwright.core.spread import kernels

            kernels.convolve(fields, x, y, closed=grid.round_the_loop, threads=threads)
            return
    for plane in fields:
        _spectral(plane, grid, along_cm2, across_cm2, threads)


@lru_cache(maxsize=256)
def _taps_of(r: float) -> Array | None:
    found = taps(r)
    return None if found is None else found.astype(np.float32)


def _spectral(plane: Array, grid: Grid, along_cm2: float, across_cm2: float, threads: int) -> None:
    """One plane in the spectrum. What rounding pushed below nothing is set to nothing and the sum is restored."""
    from scipy import fft

    before = float(plane.sum(dtype=np.float64))
    if before == 0 and not plane.any():
        return
    across = np.exp(-across_cm2 * symbol(grid.rows, grid.dy_cm, closed=False)).astype(plane.dtype)[:, None]
    along = np.exp(-along_cm2 * symbol(grid.columns, grid.dx_cm, closed=grid.round_the_loop)).astype(plane.dtype)[None, :]
    if grid.round_the_loop:
        modes = fft.rfft(fft.dct(plane, axis=0, norm="ortho", workers=threads), axis=1, workers=threads)
        modes *= across * along
        done = fft.idct(fft.irfft(modes, n=grid.columns, axis=1, workers=threads), axis=0, norm="ortho", workers=threads, overwrite_x=True)
    else:
        modes = fft.dctn(plane, norm="ortho", workers=threads)
        modes *= across * along
        done = fft.idctn(modes, norm="ortho", workers=threads, overwrite_x=True)
    np.maximum(done, 0, out=done)
    after = float(done.sum(dtype=np.float64))
    plane[...] = done * plane.dtype.type(before / after) if after > 0 else done
