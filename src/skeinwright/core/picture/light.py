"""The light on a yarn, apart from its colour: computed once for a base's geometry, then coloured in milliseconds.

Colour of a yarn pixel of light L (1 = a flat fully lit patch), for a linear reflectance c per channel:
    y(L) = L c * (c^(s m(L)) / k),   m(L) = max(0, 1 - L/L_bright),   k = mean of L c^(s m(L)) over the yarn / mean of L
Light that reaches the depth of dyed wool has met dyed fibre more often, so shade is more saturated; s = 0.35 is chosen by eye. The factor k keeps
the mean colour of the yarn, over its mean light, equal to c. A soft shoulder holds values above 0.9 below 1. Composited over a neutral mat in
linear light; sRGB (IEC 61966-2-1) last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.spaces import linear_to_srgb, srgb_to_linear
from skeinwright.core.foundations.errors import BadInput

Floats = NDArray[np.float32]
Pixels = NDArray[np.uint8]

MAT = 0xB9
SHADE_SATURATION = 0.35
BRIGHT = 1.2
LEVELS = 1024
TOP_SHADE = 2.0


@dataclass(frozen=True, eq=False)
class Light:
    """What a picture's geometry does to light, per pixel (height, width), float32, read-only.

    shade: light on the yarn, about 0.1-1.7, mean of the yarn `MEAN_SHADE`. alpha: share of the pixel that is yarn, 0-1. mat: light on the mat, 0-1.
    """

    shade: Floats
    alpha: Floats
    mat: Floats

    def __post_init__(self) -> None:
        for plane in (self.shade, self.alpha, self.mat):
            plane.flags.writeable = False

    @property
    def mean_shade(self) -> float:
        """Mean light over the yarn, weighed by coverage."""
        return float(np.average(self.shade, weights=self.alpha))


@lru_cache(maxsize=1)
def encode_table() -> Pixels:
    """sRGB bytes for linear k/4095, looked up because the power is slow."""
    table: Pixels = np.round(255.0 * linear_to_srgb(np.arange(4096) / 4095.0)).astype(np.uint8)
    return table


def shades_of(light_levels: NDArray[np.float64], weights: NDArray[np.float64], linear_rgb: Sequence[float]) -> NDArray[np.float64]:
    """The colour (n, 3) of each light level (n,) for a reflectance; `weights` (n,) is how much yarn has that level."""
    c = np.clip(np.asarray(linear_rgb, dtype=np.float64), 1e-4, 1.0)[None, :]
    level = light_levels[:, None]
    depth = SHADE_SATURATION * np.maximum(0.0, 1.0 - level / BRIGHT)
    lit = level * c ** (1.0 + depth)
    mean_light = max(float(np.dot(light_levels, weights)), 1e-9)
    lit *= c * mean_light / np.maximum(weights @ lit, 1e-12)[None, :]
    over = np.maximum(lit - 0.9, 0.0)
    out: NDArray[np.float64] = np.where(lit > 0.9, 0.9 + over / (1.0 + over / 0.1), lit)
    return out


def _yarn_levels(light: Light) -> tuple[NDArray[np.int16], NDArray[np.float64]]:
    """Each pixel's light level and how much yarn has each level; kept on the light, since every recolouring needs it."""
    kept: tuple[NDArray[np.int16], NDArray[np.float64]] | None = light.__dict__.get("_levels")
    if kept is None:
        index = np.clip(light.shade * np.float32((LEVELS - 1) / TOP_SHADE), 0, LEVELS - 1).astype(np.int16)
        kept = index, np.bincount(index.ravel(), weights=light.alpha.ravel(), minlength=LEVELS).astype(np.float64)
        object.__setattr__(light, "_levels", kept)
    return kept


def render(light: Light, linear_rgb: Sequence[float], *, mat: int = MAT) -> Pixels:
    """The picture (height, width, 3) uint8 sRGB of yarn of one linear reflectance colour, on a neutral mat of that sRGB grey.

    linear_rgb: three linear sRGB (D65) values, 0-1; values outside are clipped. Raises BadInput for another number of values.
    """
    if len(linear_rgb) != 3 or not np.all(np.isfinite(np.asarray(linear_rgb, dtype=float))):
        raise BadInput("A colour is three linear values: red, green, blue.", where="colour")
    index, weights = _yarn_levels(light)
    levels = np.arange(LEVELS) / (LEVELS - 1) * TOP_SHADE
    table = (4095.0 * shades_of(levels, weights, linear_rgb)).astype(np.float32)
    encode = encode_table()
    bare = (4095.0 * np.float32(float(srgb_to_linear(np.array(mat / 255.0))))) * light.mat * (1.0 - light.alpha)
    picture = np.empty((*light.shade.shape, 3), dtype=np.uint8)
    for channel in range(3):
        mixed = table[index, channel]
        mixed *= light.alpha
        mixed += bare
        np.minimum(mixed, 4095.0, out=mixed)
        picture[..., channel] = encode[(mixed + np.float32(0.5)).astype(np.int16)]
    return picture
