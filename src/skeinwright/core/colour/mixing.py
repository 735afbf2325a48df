"""Dyes in one fibre: single-constant Kubelka-Munk, the base as a term of the sum.

    q = K/S = (1 - R)^2 / (2 R)          R = 1 / (1 + q + sqrt(q^2 + 2 q))
    q_mix = q_base + sum_i g_i(c_i) u_i         R_mix = Rs + (1 - Rs) R(q_mix)

A small constant reflection from the surface, Rs, is taken off before K/S and added again, so that no dye gives the base back exactly.
Right for dyes dissolved in one fibre; not for pigments, powder that lies on the surface, or blends of differently coloured fibres.
Sources: kubelka1931, kubelka1948; surface term: note of the textile literature, value assumed.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.tables import Array

SURFACE = 0.003
"""Rs. [assumed] Small and base-specific, 0-0.01; it cannot be told without a near-black dyeing of the base."""
_FLOOR = 1e-6


def ks_from_r(reflectance: Array) -> Array:
    """K/S = (1 - R)^2 / (2 R) of reflectance factors 0 < R <= 1."""
    reflectance = np.asarray(reflectance, dtype=float)
    ks: Array = (1 - reflectance) ** 2 / (2 * reflectance)
    return ks


def r_from_ks(ks: Array) -> Array:
    """R = 1 / (1 + q + sqrt(q^2 + 2 q)) for q >= 0: the same as 1 + q - sqrt(q^2 + 2 q), without its loss of digits when q is large."""
    ks = np.asarray(ks, dtype=float)
    reflectance: Array = 1 / (1 + ks + np.sqrt(ks * (ks + 2)))
    return reflectance


def inner_ks(reflectance: Array, surface: float = SURFACE) -> Array:
    """K/S of the fibre under its surface: of (R - Rs) / (1 - Rs), held between 1e-6 and 1."""
    inner = (np.asarray(reflectance, dtype=float) - surface) / (1 - surface)
    return ks_from_r(np.clip(inner, _FLOOR, 1.0))


def outer_r(ks: Array, surface: float = SURFACE) -> Array:
    """Reflectance of the fibre with its surface: Rs + (1 - Rs) R(q)."""
    return surface + (1 - surface) * r_from_ks(ks)


def mix(base: Array, dye_ks: Array, surface: float = SURFACE) -> Array:
    """Reflectance (..., 31) of a base (..., 31) that carries dye K/S `dye_ks` (n, ..., 31), summed over the first axis.

    Where the dyes add nothing the base is returned as it came, even where it lies outside what the model can make (R > 1, R < Rs); dye never makes it lighter.
    """
    added = np.sum(np.asarray(dye_ks, dtype=float), axis=0)
    base = np.asarray(base, dtype=float)
    dyed = outer_r(inner_ks(base, surface) + added, surface)
    result: Array = np.where(added > 0, np.minimum(dyed, base), base)
    return result


def saunderson_inner(measured: Array, k1: float = 0.04, k2: float = 0.6) -> Array:
    """Reflectance inside a flat film: (Rm - k1) / (1 - k1 - k2 + k2 Rm). For paint-like films, not for textiles. Source: saunderson1942 (from memory)."""
    measured = np.asarray(measured, dtype=float)
    inner: Array = (measured - k1) / (1 - k1 - k2 + k2 * measured)
    return inner


def saunderson_outer(inner: Array, k1: float = 0.04, k2: float = 0.6) -> Array:
    """The inverse of `saunderson_inner`: k1 + (1 - k1) (1 - k2) Ri / (1 - k2 Ri)."""
    inner = np.asarray(inner, dtype=float)
    measured: Array = k1 + (1 - k1) * (1 - k2) * inner / (1 - k2 * inner)
    return measured
