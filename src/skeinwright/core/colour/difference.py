"""How far two colours lie apart: CIELAB, CIEDE2000 and CMC(l:c)."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from skeinwright.core.colour.tables import Array

_BLOCK, _MANY, _THREADS = 16384, 6, 2
_TURN, _DEGREES, _THIRTY = 2 * np.pi, 180 / np.pi, np.pi / 6
_C30, _S30, _C6, _S6, _C63, _S63 = (function(np.radians(angle)) for angle in (30, 6, 63) for function in (np.cos, np.sin))


def cielab(lab1: Array, lab2: Array) -> Array:
    """The distance in Lab (1976): sqrt(dL^2 + da^2 + db^2), over the last axis."""
    distance: Array = np.sqrt(np.sum((np.asarray(lab1, dtype=float) - np.asarray(lab2, dtype=float)) ** 2, axis=-1))
    return distance


def ciede2000(lab1: Array, lab2: Array, *, k_l: float = 1.0, k_c: float = 1.0, k_h: float = 1.0) -> Array:
    """CIEDE2000 between arrays of Lab (..., 3) that broadcast; `k_l` = 2 is usual for textiles.

    The formula is that of Sharma, Wu & Dalal 2005, with their treatment of hue; symmetric in its two colours. Source: sharma2005.
    """
    one, other = np.broadcast_arrays(np.asarray(lab1, dtype=float), np.asarray(lab2, dtype=float))
    shape = one.shape[:-1]
    one, other = one.reshape(-1, 3), other.reshape(-1, 3)
    result: Array = np.empty(len(one))

    def work(start: int) -> None:
        part = slice(start, start + _BLOCK)  # a block stays in the processor's cache
        result[part] = _ciede2000(one[part].T, other[part].T, k_l, k_c, k_h)

    starts = range(0, len(one), _BLOCK)
    if len(starts) < _MANY:
        for start in starts:
            work(start)
    else:
        with ThreadPoolExecutor(_THREADS) as threads:  # numpy lets go of Python's lock while it computes
            list(threads.map(work, starts))
    return result.reshape(shape)[()]


def _ciede2000(lab1: Array, lab2: Array, k_l: float, k_c: float, k_h: float) -> Array:
    (l1, a1, b1), (l2, a2, b2) = np.ascontiguousarray(lab1), np.ascontiguousarray(lab2)
    stretch = 1.5 - 0.5 * _chroma_share((np.sqrt(a1 * a1 + b1 * b1) + np.sqrt(a2 * a2 + b2 * b2)) / 2)
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.sqrt(a1 * a1 + b1 * b1), np.sqrt(a2 * a2 + b2 * b2)
    d_h, mean, cos, sin = _hues(a1, b1, c1, a2, b2, c2)
    cos2, sin2 = 2 * cos * cos - 1, 2 * sin * cos
    cos3, sin3 = cos * cos2 - sin * sin2, sin * cos2 + cos * sin2
    cos4, sin4 = 2 * cos2 * cos2 - 1, 2 * sin2 * cos2
    t = 1 - 0.17 * (cos * _C30 + sin * _S30) + 0.24 * cos2 + 0.32 * (cos3 * _C6 - sin3 * _S6) - 0.20 * (cos4 * _C63 + sin4 * _S63)
    off = ((l1 + l2) / 2 - 50) ** 2
    c_mean = (c1 + c2) / 2
    x = (l2 - l1) / (k_l * (1 + 0.015 * off / np.sqrt(20 + off)))
    y = (c2 - c1) / (k_c * (1 + 0.045 * c_mean))
    z = d_h / (k_h * (1 + 0.015 * c_mean * t))
    away = (np.where(mean < 0, mean + _TURN, mean) * _DEGREES - 275) / 25
    r_t = -2 * _chroma_share(c_mean) * np.sin(2 * _THIRTY * np.exp(-away * away))
    result: Array = np.sqrt(np.maximum(x * x + y * y + z * z + r_t * y * z, 0))
    return result


def _hues(a1: Array, b1: Array, c1: Array, a2: Array, b2: Array, c2: Array) -> tuple[Array, Array, Array, Array]:
    """dH', and the mean hue: its angle (radians), cosine and sine.

    dH' = 2 sqrt(C1 C2) sin(dh/2) = cross / sqrt((C1 C2 + dot)/2); the mean hue lies along C2 (a1, b1) + C1 (a2, b2). Both lose their digits where the hues are
    nearly opposite, and there they are worked out from the angles, as Sharma writes them; so it is for greys, whose mean is the other's hue.
    """
    product, dot, cross = c1 * c2, a1 * a2 + b1 * b2, a1 * b2 - b1 * a2
    hard = (product + dot <= 1e-3 * product) | (product < 1e-20)
    along, across = c2 * a1 + c1 * a2, c2 * b1 + c1 * b2
    half = (product + dot) / 2
    length = np.sqrt(along * along + across * across)
    if hard.any():
        half, length = np.where(hard, 1.0, half), np.where(hard, 1.0, length)
    d_h, mean, cos, sin = cross / np.sqrt(half), np.arctan2(across, along), along / length, across / length
    if hard.any():
        h1, h2 = np.arctan2(b1[hard], a1[hard]) % _TURN, np.arctan2(b2[hard], a2[hard]) % _TURN
        grey, total = product[hard] == 0, h1 + h2
        turn = h2 - h1
        turn = np.where(turn > np.pi, turn - _TURN, np.where(turn < -np.pi, turn + _TURN, turn))
        far = np.abs(h2 - h1) > np.pi
        middle = np.where(grey, total, np.where(~far, total / 2, np.where(total < _TURN, (total + _TURN) / 2, (total - _TURN) / 2)))
        d_h[hard] = 2 * np.sqrt(product[hard]) * np.sin(np.where(grey, 0.0, turn) / 2)
        mean[hard], cos[hard], sin[hard] = middle, np.cos(middle), np.sin(middle)
    return d_h, mean, cos, sin


def _chroma_share(chroma: Array) -> Array:
    """sqrt(C^7 / (C^7 + 25^7))."""
    c2 = chroma * chroma
    c7 = c2 * c2 * c2 * chroma
    share: Array = np.sqrt(c7 / (c7 + 25.0**7))
    return share


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
