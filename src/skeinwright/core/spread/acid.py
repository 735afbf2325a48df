"""Acid on its way through wool: most of it is bound at once, so it moves far slower than dye.

With total T = a + b (mobile and bound, mmol/cm2) and b = bmax a/(a + ah):

    B = ah + bmax - T;   a = 2 ah T/(B + sqrt(B^2 + 4 ah T))
    phi = b/bmax,   Rf = 1 + bmax ah/(a + ah)^2      (the factor that holds acid back)

`ah` is not a constant of nature here: `session` derives it from core/bath's own balance of acid and wool, at the session's mean acid.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.spread.arrays import Array


def mobile(total: Array, b_max: float, a_half: float) -> Array:
    """The mobile acid a of a total (mmol/cm2, 0 or more); where no fibre binds (b_max 0) all of it."""
    rest = a_half + b_max - total
    root = np.sqrt(rest * rest + 4 * a_half * total)
    if a_half == 0:
        return np.asarray(np.maximum(total - b_max, 0))
    return np.asarray(np.where(rest < 0, (root - rest) / 2, 2 * a_half * total / (np.maximum(rest, 0) + root)))


def sites_filled(total: Array, b_max: float, a_half: float) -> Array:
    """phi: the share of acid sites that are filled, 0-1."""
    return (total - mobile(total, b_max, a_half)) / b_max if b_max > 0 else np.zeros_like(total)


def held_back(mobile_acid: float, b_max: float, a_half: float) -> float:
    """Rf = 1 + bmax ah/(a + ah)^2: how many times slower acid spreads than without fibre."""
    return 1 + b_max * a_half / (mobile_acid + a_half) ** 2


def half_mobile(total: float, phi: float, b_max: float) -> float:
    """The ah at which a total (mmol/cm2) fills the share phi of the sites: a = T - bmax phi;  ah = a (1 - phi)/phi. Needs 0 < bmax phi < T."""
    return (total - b_max * phi) * (1 - phi) / phi
