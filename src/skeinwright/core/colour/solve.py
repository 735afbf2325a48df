"""Amounts of dyes that come nearest to a target, for very many combinations of dyes at once.

    minimise  |A (Lab(x) - target)|^2 + 0.002 sum x        0 <= x <= x_max

by damped Gauss-Newton with the slope dR/dq = 1 - (q + 1)/sqrt(q^2 + 2q), dyes at a bound being left out of the step while the slope pushes them outwards.
x are amounts (`DyeSet`), in which K/S is a sum; A makes the length of a difference CIEDE2000 near the target. The method is that of allen1966 (abstract seen),
damped and bounded; the last term picks the recipe with the least dye where several reach the target.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.mixing import SURFACE
from skeinwright.core.colour.spaces import lab_slope, xyz_to_lab
from skeinwright.core.colour.tables import BANDS, Array, weights, white_xyz

Indices = NDArray[np.intp]
Combos = Indices

START = 0.0015
"""Depth that every dye starts at."""
THRIFT = 0.001
_ROUNDS = 40
LOOSE, TIGHT = 1e-2, 1e-7
"""Stop where a step gains less than this share of what is left: loose to rank thousands of combinations, tight for those that will be shown."""


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """For N combinations of k dyes: amounts (N, k) and Lab (N, 3)."""

    amounts: Array
    lab: Array


def nearness(target: Array, at: Array | None = None) -> Array:
    """A matrix A (..., 3, 3) with |A (Lab - target)| about CIEDE2000 near the target; with `at` (..., 3), for colours there, SL, SC, SH at the mean of both."""
    mean = np.asarray(target, dtype=float) if at is None else (np.asarray(target, dtype=float) + at) / 2
    L, a, b = np.moveaxis(mean, -1, 0)
    chroma = np.hypot(a, b)
    g = 0.5 * (1 - np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))
    a = (1 + g) * a
    chroma, hue = np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360

    def cos(degrees: Array) -> Array:
        cosine: Array = np.cos(np.radians(degrees))
        return cosine

    t = 1 - 0.17 * cos(hue - 30) + 0.24 * cos(2 * hue) + 0.32 * cos(3 * hue + 6) - 0.2 * cos(4 * hue - 63)
    s_l = 1 + 0.015 * (L - 50) ** 2 / np.sqrt(20 + (L - 50) ** 2)
    s_c, s_h = 1 + 0.045 * chroma, 1 + 0.015 * chroma * t
    cosine, sine = np.cos(np.radians(hue)), np.sin(np.radians(hue))
    zero = np.zeros_like(L)
    rows = [[1 / s_l, zero, zero], [zero, (1 + g) * cosine / s_c, sine / s_c], [zero, -(1 + g) * sine / s_h, cosine / s_h]]
    matrix: Array = np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)
    return matrix


class Solver:
    """One target on one set of dyes, under the target's own light."""

    def __init__(self, dyes: DyeSet, target: Array, limits: Array, *, illuminant: str = "D65", observer: int = 10) -> None:
        self.dyes, self.target = dyes, np.asarray(target, dtype=float)
        self.table, self.white = weights(illuminant, observer), white_xyz(illuminant, observer)
        self.weight = nearness(self.target)
        self.most = dyes.amounts(limits)
        self.start = np.minimum(dyes.amounts(np.full(len(dyes.names), START)), self.most)
        # K/S of each dye times the weights, (31, 3 D): one product gives the slope of XYZ with every dye
        self.by_dye = (1 - SURFACE) * np.einsum("db,bx->bdx", dyes.ks, self.table).reshape(BANDS, -1)

    def solve(self, combos: Combos, *, start: Array | None = None, exact: bool = False, enough: float = LOOSE, thrift: float = THRIFT) -> Solved:
        """The best amounts of each combination (N, k) of the set's dyes, from `start` (N, k); with `exact`, CIEDE2000 itself is what shrinks."""
        n = len(combos)
        most = self.most[combos]
        x = np.array(start if start is not None else self.start[combos], dtype=float)
        lab, slope = self.look(x, combos)
        cost, gradient, matrix = self._judge(lab, slope, x, exact, thrift)
        damping, live = np.full(n, 1e-3), np.arange(n)
        for _ in range(_ROUNDS):
            trial = self._step(x[live], most[live], gradient[live], matrix[live], damping[live])
            new_lab, new_slope = self.look(trial, combos[live])
            new_cost, new_gradient, new_matrix = self._judge(new_lab, new_slope, trial, exact, thrift)
            better = new_cost < cost[live]
            gain = cost[live] - new_cost
            index = live[better]
            x[index], lab[index], cost[index] = trial[better], new_lab[better], new_cost[better]
            gradient[index], matrix[index] = new_gradient[better], new_matrix[better]
            damping[live] = np.where(better, np.maximum(damping[live] / 8, 1e-9), damping[live] * 10)
            done = np.where(better, gain < enough * (1e-5 + new_cost), damping[live] > 1e4)
            live = live[~done]
            if not len(live):
                break
        return Solved(x, lab)

    def look(self, x: Array, combos: Combos) -> tuple[Array, Array]:
        """Lab (N, 3) and its slope (N, 3, k) with the amounts."""
        n = len(combos)
        dense = np.zeros((n, len(self.dyes.names)))
        dense[np.arange(n)[:, None], combos] = x
        q = dense @ self.dyes.ks
        q += self.dyes.base_ks
        root = np.sqrt(q * (q + 2))
        reflectance = 1 / (1 + q + root)
        xyz = ((1 - SURFACE) * reflectance + SURFACE) @ self.table
        # dR/dq = 1 - (q + 1)/sqrt(q^2 + 2q) = -R/sqrt(q^2 + 2q)
        by_all = ((-reflectance / np.maximum(root, 1e-9)) @ self.by_dye).reshape(n, -1, 3)
        by_dye = by_all[np.arange(n)[:, None], combos]
        slope = lab_slope(xyz, self.white)
        return xyz_to_lab(xyz, self.white), np.matmul(slope, by_dye.transpose(0, 2, 1))

    def _judge(self, lab: Array, slope: Array, x: Array, exact: bool, thrift: float) -> tuple[Array, Array, Array]:
        """The cost (N,), half its gradient (N, k) and half its matrix of second slopes (N, k, k), as Gauss and Newton have it."""
        weight = nearness(self.target, lab) if exact else self.weight
        pull = np.matmul(weight, slope)
        if exact:
            cost, by_lab = self._ciede_and_slope(lab)
            gradient = np.einsum("nik,ni->nk", slope, by_lab) / 2
        else:
            off = np.matmul(weight, (lab - self.target)[:, :, None])[:, :, 0]
            cost, gradient = (off * off).sum(axis=1), np.einsum("nik,ni->nk", pull, off)
        return cost + 2 * thrift * x.sum(axis=1), gradient + thrift, np.einsum("nik,nil->nkl", pull, pull)

    def _ciede_and_slope(self, lab: Array) -> tuple[Array, Array]:
        """CIEDE2000 squared (N,) and its slope with Lab (N, 3), by central differences."""
        steps = 1e-4 * np.concatenate([np.eye(3), -np.eye(3)])
        around = ciede2000(self.target, lab[None] + steps[:, None]) ** 2
        slope: Array = ((around[:3] - around[3:]) / 2e-4).T
        return ciede2000(self.target, lab) ** 2, slope

    def _step(self, x: Array, most: Array, gradient: Array, matrix: Array, damping: Array) -> Array:
        """Amounts after one step."""
        held = ((x <= 0) & (gradient > 0)) | ((x >= most) & (gradient < 0))
        free = ~held
        matrix = matrix * (free[:, :, None] & free[:, None, :])
        diagonal = np.einsum("nkk->nk", matrix)
        diagonal *= 1 + damping[:, None]
        diagonal += np.where(held, 1.0, 1e-9)
        return np.clip(x - solve_small(matrix, np.where(held, 0.0, gradient)), 0.0, most)


def solve_small(matrices: Array, right: Array) -> Array:
    """Solutions (N, k) of N small symmetric positive systems (N, k, k) x = (N, k), by elimination of all at once."""
    k = right.shape[1]
    a = [[matrices[:, row, column].copy() for column in range(k)] for row in range(k)]
    y = [right[:, row].copy() for row in range(k)]
    for pivot in range(k):
        for row in range(pivot + 1, k):
            share = a[row][pivot] / a[pivot][pivot]
            for column in range(pivot + 1, k):
                a[row][column] -= share * a[pivot][column]
            y[row] -= share * y[pivot]
    for row in reversed(range(k)):
        for column in range(row + 1, k):
            y[row] -= a[row][column] * y[column]
        y[row] /= a[row][row]
    return np.stack(y, axis=1)
