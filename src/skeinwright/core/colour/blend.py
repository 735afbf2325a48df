"""Yarn whose fibres have different colours, seen from afar, and how texture and hair change what is seen.

    f(R) = (1 - R)/(M (R - 0.01) + 0.01)       f(R_mix) = sum x_i f(R_i)       M = 0.15 (0.10-0.25)

For heather, wool and nylon that took up differently, or plies of two colours. Dyes within one fibre add in K/S instead (`mixing`), and patches that an eye can
tell apart average in reflectance. Source: stearns1944 (formula from memory; its rank among models: published comparisons, abstracts seen).
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.mixing import ks_from_r, r_from_ks
from skeinwright.core.colour.tables import Array

M = 0.15
FRIELE_S = 0.28
HAIR = 0.05
"""Share of the light that comes from loose hair: 0.02-0.10 [assumed]."""


def blend(reflectances: Array, shares: Array, m: float = M) -> Array:
    """Reflectance (..., bands) of a blend of fibres (n, ..., bands) in shares (n,) that add up to 1: Stearns-Noechel."""
    function = np.tensordot(shares, _stearns_noechel(np.asarray(reflectances, dtype=float), m), axes=1)
    mixed: Array = (1 + function * (0.01 * m - 0.01)) / (1 + function * m)
    return mixed


def _stearns_noechel(reflectance: Array, m: float) -> Array:
    function: Array = (1 - reflectance) / (m * (reflectance - 0.01) + 0.01)
    return function


def blend_friele(reflectances: Array, shares: Array, s: float = FRIELE_S) -> Array:
    """The same by Friele: exp(-s q) averaged, q = K/S. From memory; for comparison."""
    mean = np.tensordot(shares, np.exp(-s * ks_from_r(np.asarray(reflectances, dtype=float))), axes=1)
    mixed: Array = r_from_ks(-np.log(mean) / s)
    return mixed


def striation(reflectances: Array, shares: Array) -> float:
    """Standard deviation of L* along a yarn of components (n, 31) in shares (n,): how uneven it looks close up, beside the blend's one colour."""
    from skeinwright.core.colour.spaces import spectrum_to_lab

    lightness = spectrum_to_lab(reflectances)[..., 0]
    mean = float(shares @ lightness)
    return float(np.sqrt(shares @ (lightness - mean) ** 2))


def presented(reflectance: Array, scale: float = 1.0, hair: float = 0.0) -> Array:
    """What is seen of a yarn (..., 31): scale ((1 - h) R + h R(q/4)).

    `scale` is 1 for a wound card, 0.80-0.95 for a loose skein with gaps, 0.85-1.0 knitted; it leaves x and y as they are. `hair` h is the share of loose hair,
    seen thinner and so paler. Both [assumed]; fit the scale on one swatch.
    """
    thin = r_from_ks(ks_from_r(np.clip(reflectance, 1e-6, 1.0)) / 4)
    seen: Array = scale * ((1 - hair) * reflectance + hair * thin)
    return seen
