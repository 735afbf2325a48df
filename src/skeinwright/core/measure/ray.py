"""Distance of colours from a colour's own shading ray.

Light that is weaker by s moves a colour along the line through Oklab's origin, so
    D = min over t in [0.66, 1.10] of |W (p - t g)|,    W = diag(0.7, 1.3, 1.3)
is small for the colour g in shadow and large for another colour p.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.measure.oklab import Floats

WEIGHTS = np.array([0.7, 1.3, 1.3], dtype=np.float32)
RAY = (0.66, 1.10)


def ray_distance(lab: Floats, base: Floats) -> Floats:
    """D of colours (..., 3) from the shading ray of `base` (3,)."""
    weighted = WEIGHTS * base
    along = (lab * WEIGHTS) @ weighted / float(weighted @ weighted)
    t = np.clip(along, *RAY)
    off = (lab - t[..., None] * base) * WEIGHTS
    distance: Floats = np.sqrt(np.einsum("...c,...c->...", off, off)).astype(np.float32)
    return distance
