"""How far two colours lie apart: CIELAB, CIEDE2000 and CMC(l:c)."""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.tables import Array


def cielab(lab1: Array, lab2: Array) -> Array:
    """The distance in Lab (1976): sqrt(dL^2 + da^2 + db^2), over the last axis."""
    distance: Array = np.sqrt(np.sum((np.asarray(lab1, dtype=float) - np.asarray(lab2, dtype=float)) ** 2, axis=-1))
    return distance


def ciede2000(lab1: Array, lab2: Array, *, k_l: float = 1.0, k_c: float = 1.0, k_h: float = 1.0) -> Array:
    """CIEDE2000 between arrays of Lab (..., 3) that broadcast; `k_l` = 2 is usual for textiles.

    The formula is that of Sharma, Wu & Dalal 2005, with their treatment of hue; symmetric in its two colours. Source: sharma2005.
    """
    l1, a1, b1 = np.moveaxis(np.asarray(lab1, dtype=float), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(lab2, dtype=float), -1, 0)
    c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - np.sqrt(c7 / (c7 + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    turn = h2 - h1
    turn = np.where(turn > 180, turn - 360, np.where(turn < -180, turn + 360, turn))
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(np.where(grey, 0.0, turn)) / 2)
    d_l, d_c = l2 - l1, c2 - c1
    l_mean, c_mean = (l1 + l2) / 2, (c1 + c2) / 2
    total = h1 + h2
    apart = np.abs(h1 - h2) > 180
    h_mean = np.where(grey, total, np.where(~apart, total / 2, np.where(total < 360, (total + 360) / 2, (total - 360) / 2)))
    t = 1 - 0.17 * _cos(h_mean - 30) + 0.24 * _cos(2 * h_mean) + 0.32 * _cos(3 * h_mean + 6) - 0.20 * _cos(4 * h_mean - 63)
    s_l = 1 + 0.015 * (l_mean - 50) ** 2 / np.sqrt(20 + (l_mean - 50) ** 2)
    s_c, s_h = 1 + 0.045 * c_mean, 1 + 0.015 * c_mean * t
    c7 = c_mean**7
    r_t = -np.sin(np.radians(60 * np.exp(-(((h_mean - 275) / 25) ** 2)))) * 2 * np.sqrt(c7 / (c7 + 25.0**7))
    x, y, z = d_l / (k_l * s_l), d_c / (k_c * s_c), d_h / (k_h * s_h)
    result: Array = np.sqrt(np.maximum(x**2 + y**2 + z**2 + r_t * y * z, 0))
    return result


def cmc(standard: Array, sample: Array, *, l: float = 2.0, c: float = 1.0) -> Array:
    """CMC(l:c) of samples (..., 3) against standards; not symmetric: L, C, h of the standard set the tolerances.

    SL = .040975 L/(1 + .01765 L), .511 below L 16; SC = .0638 C/(1 + .0131 C) + .638; SH = SC (F T + 1 - F); F = sqrt(C^4/(C^4 + 1900));
    T = .36 + |.4 cos(h + 35)|, for 164 <= h <= 345: .56 + |.2 cos(h + 168)|. ISO 105-J03:2009, title seen; formula from memory,
    two codings agree. Source: iso105j03.
    """
    l1, a1, b1 = np.moveaxis(np.asarray(standard, dtype=float), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(sample, dtype=float), -1, 0)
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    hue = np.degrees(np.arctan2(b1, a1)) % 360
    d_h2 = np.maximum((a1 - a2) ** 2 + (b1 - b2) ** 2 - (c1 - c2) ** 2, 0)
    f = np.sqrt(c1**4 / (c1**4 + 1900))
    t = np.where((hue >= 164) & (hue <= 345), 0.56 + np.abs(0.2 * _cos(hue + 168)), 0.36 + np.abs(0.4 * _cos(hue + 35)))
    s_l = np.where(l1 < 16, 0.511, 0.040975 * l1 / (1 + 0.01765 * l1))
    s_c = 0.0638 * c1 / (1 + 0.0131 * c1) + 0.638
    s_h = s_c * (f * t + 1 - f)
    result: Array = np.sqrt(((l1 - l2) / (l * s_l)) ** 2 + ((c1 - c2) / (c * s_c)) ** 2 + d_h2 / s_h**2)
    return result


def _cos(degrees: Array) -> Array:
    cosine: Array = np.cos(np.radians(degrees))
    return cosine
