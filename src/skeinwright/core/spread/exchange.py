"""Dye and acid changing between free water (0), the face (1) and the back (2).

    flux a -> b = kappa_ab (m_a/h_a - m_b/h_b)        d m/dt = X m,  columns of X add up to nothing

One step multiplies by exp(X dt), the same 3 x 3 matrix in every cell: exact, never negative, conserving.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.spread.arrays import Array

THINNEST_CM = 1e-3
"""A layer is never counted thinner: the last film then gives all it holds to the yarn."""


@dataclass(frozen=True, slots=True)
class Kappas:
    """Exchange between the layers, cm/s."""

    face: float
    """Free water and face, kappa_01."""
    back: float
    """Free water and back, kappa_02."""
    through: float
    """Face and back, kappa_12."""

    def times(self, factor: float) -> Kappas:
        """All of them so many times faster."""
        return Kappas(self.face * factor, self.back * factor, self.through * factor)


def rates(kappas: Kappas, free_cm: float, held_cm: float) -> Array:
    """X (3, 3) in 1/s for layers of depth `free_cm`, `held_cm`, `held_cm`."""
    depth = np.maximum([free_cm, held_cm, held_cm], THINNEST_CM)
    x = np.zeros((3, 3))
    for a, b, kappa in ((0, 1, kappas.face), (0, 2, kappas.back), (1, 2, kappas.through)):
        x[b, a] += kappa / depth[a]
        x[a, b] += kappa / depth[b]
    x -= np.diag(x.sum(axis=0))
    return x


def over(x: Array, time_s: float) -> Array:
    """exp(X t) of a stack (..., 3, 3); columns add up to 1 as far as rounding goes, and nothing in it is negative.

    X = q (P - 1) with P >= 0, so exp(X t) = e^(-qt) sum (qt)^n P^n/n!, taken at t/2^s and squared s times: sums of positive numbers only.
    """
    q = float(np.max(-np.diagonal(x, axis1=-2, axis2=-1), initial=0.0))
    if q * time_s == 0:
        return np.broadcast_to(np.eye(3), x.shape).copy()
    squarings = max(0, int(np.ceil(np.log2(q * time_s))) + 2)
    small = q * time_s / 2**squarings
    p = np.eye(3) + x / q
    term = np.broadcast_to(np.eye(3), x.shape)
    moved = term.copy()
    for n in range(1, 14):
        term = term @ p * (small / n)
        moved = moved + term
    for _ in range(squarings):
        moved = moved / moved.sum(axis=-2, keepdims=True)
        moved = moved @ moved
    return np.asarray(moved / moved.sum(axis=-2, keepdims=True))
