"""Oklab of linear sRGB: an even space to cut pictures of yarn in. Lab is for what is told to people; this is for finding things.

    lms = M1 rgb,  Lab = M2 cbrt(lms).   Scaling the light by s scales all three by s^(1/3), so a colour in shadow lies on the line to the origin.
Source: ottosson2020.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_TO_LMS = np.array(
    [[0.4122214708, 0.5363325363, 0.0514459929], [0.2119034982, 0.6806995451, 0.1073969566], [0.0883024619, 0.2817188376, 0.6299787005]], dtype=np.float32
)
_TO_LAB = np.array(
    [[0.2104542553, 0.7936177850, -0.0040720468], [1.9779984951, -2.4285922050, 0.4505937099], [0.0259040371, 0.7827717662, -0.8086757660]], dtype=np.float32
)


def oklab(linear_rgb: NDArray[Any]) -> Floats:
    """Oklab (..., 3), float32, of linear sRGB; white is L = 1. Values outside the gamut are allowed."""
    values = np.asarray(linear_rgb, dtype=np.float32)
    flat = np.cbrt(values.reshape(-1, 3) @ _TO_LMS.T) @ _TO_LAB.T
    found: Floats = flat.reshape(values.shape)
    return found


def from_oklab(lab: NDArray[Any]) -> Floats:
    """Linear sRGB (..., 3) of Oklab."""
    values = np.asarray(lab, dtype=np.float64)
    cube = (values.reshape(-1, 3) @ np.linalg.inv(_TO_LAB.astype(np.float64)).T) ** 3
    found: Floats = (cube @ np.linalg.inv(_TO_LMS.astype(np.float64)).T).reshape(values.shape).astype(np.float32)
    return found
