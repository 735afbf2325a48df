"""A dyeing under other lights: how far its colour drifts by itself (inconstancy), and how far from its target (metamerism)."""

from __future__ import annotations

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import spectrum_to_lab, spectrum_to_xyz, xyz_to_lab
from skeinwright.core.colour.tables import Array, white_xyz

LAMPS = ("A", "FL11", "LED-B3")
"""The lamps a skein is judged under besides daylight: incandescent, a shop's tube, an LED."""

_CAT02 = np.array([[0.7328, 0.4296, -0.1624], [-0.7036, 1.6975, 0.0061], [0.0030, 0.0136, 0.9834]])
_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def adapt(xyz: Array, white_from: Array, white_to: Array, *, method: str = "CAT02") -> Array:
    """XYZ (..., 3) as an eye wholly used to `white_from` would see it under `white_to`: M^-1 diag(M w_to / M w_from) M XYZ.

    `method` is "CAT02" (CIE 159) or "Bradford". White goes to white exactly. Source: cie159.
    """
    matrix = {"CAT02": _CAT02, "Bradford": _BRADFORD}[method]
    gain = (matrix @ white_to) / (matrix @ white_from)
    adapted: Array = np.asarray(xyz, dtype=float) @ (np.linalg.inv(matrix) @ (gain[:, None] * matrix)).T
    return adapted


def inconstancy(spectrum: Array, lamp: str, observer: int = 10) -> Array:
    """CIEDE2000 (...) between a dyeing (..., 31) in daylight and under `lamp` after the eye has adapted (CAT02): 0 where it keeps its colour.

    The principle is that of ISO 105-J05, which says the difference with CMC. Source: iso105j05 (title seen).
    """
    white = white_xyz("D65", observer)
    seen = xyz_to_lab(adapt(spectrum_to_xyz(spectrum, lamp, observer), white_xyz(lamp, observer), white), white)
    shift: Array = ciede2000(spectrum_to_lab(spectrum, "D65", observer), seen)
    return shift


def metamerism(target: Array, sample: Array, lamp: str, observer: int = 10) -> Array:
    """Special index of metamerism, change of illuminant: CIEDE2000 (...) under `lamp` between `target` (31,) and `sample` (..., 31).

    What difference there is in daylight is first taken off the sample's Lab under the lamp (additive correction). Source: cie15.
    """
    off = spectrum_to_lab(sample, "D65", observer) - spectrum_to_lab(target, "D65", observer)
    index: Array = ciede2000(spectrum_to_lab(target, lamp, observer), spectrum_to_lab(sample, lamp, observer) - off)
    return index
