"""Ways to write a colour down, and the ways between them: spectrum, XYZ, Lab, LCh, sRGB, hex.

Arrays carry the three values in the last axis. XYZ is on the scale Y = 100 for a perfect white. Lab and LCh are of the illuminant and observer of their white.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.tables import Array, weights, white_xyz
from skeinwright.core.shelf.swatch import Lab
from skeinwright.core.shelf.swatch_reading import read_hex

_EPSILON = 216 / 24389
_KAPPA = 24389 / 27

_XYZ_FROM_RGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""IEC 61966-2-1, as printed. The white of sRGB is D65 by its chromaticity, x 0.3127, y 0.3290."""
_SRGB_WHITE = _XYZ_FROM_RGB.sum(axis=1)
_RGB_FROM_XYZ = np.linalg.inv(_XYZ_FROM_RGB)


def spectrum_to_xyz(reflectance: Array, illuminant: str = "D65", observer: int = 10) -> Array:
    """XYZ (..., 3) of spectra (..., 31): R @ W, the weights' column sums being the white."""
    xyz: Array = np.asarray(reflectance, dtype=float) @ weights(illuminant, observer)
    return xyz


def xyz_to_lab(xyz: Array, white: Array) -> Array:
    """CIELAB 1976: L = 116 f(Y/Yn) - 16, a = 500 (f(X/Xn) - f(Y/Yn)), b = 200 (f(Y/Yn) - f(Z/Zn)).

    f(t) = t^(1/3) for t > 216/24389, else (24389/27 t + 16)/116. Source: cie15.
    """
    ratio = np.asarray(xyz, dtype=float) / white
    f = np.where(ratio > _EPSILON, np.cbrt(ratio), (_KAPPA * ratio + 16) / 116)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def lab_to_xyz(lab: Array, white: Array) -> Array:
    """The inverse of `xyz_to_lab`."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    ratio = np.where(f**3 > _EPSILON, f**3, (116 * f - 16) / _KAPPA)
    xyz: Array = ratio * white
    return xyz


def lab_slope(xyz: Array, white: Array) -> Array:
    """d(Lab)/d(XYZ) at XYZ (..., 3): matrices (..., 3, 3), whose rows are the slopes of L, a, b."""
    ratio = np.asarray(xyz, dtype=float) / white
    df = np.where(ratio > _EPSILON, np.cbrt(np.maximum(ratio, 1e-12)) ** -2 / 3, _KAPPA / 116) / white
    mix = np.array([[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]])
    slope: Array = mix * df[..., None, :]
    return slope


def spectrum_to_lab(reflectance: Array, illuminant: str = "D65", observer: int = 10) -> Array:
    """Lab (..., 3) of spectra (..., 31)."""
    return xyz_to_lab(spectrum_to_xyz(reflectance, illuminant, observer), white_xyz(illuminant, observer))


def lab_to_lch(lab: Array) -> Array:
    """L, C = sqrt(a^2 + b^2), h = atan2(b, a) in degrees, 0 <= h < 360."""
    lab = np.asarray(lab, dtype=float)
    return np.stack([lab[..., 0], np.hypot(lab[..., 1], lab[..., 2]), np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360], axis=-1)


def lch_to_lab(lch: Array) -> Array:
    """The inverse of `lab_to_lch`."""
    lch = np.asarray(lch, dtype=float)
    hue = np.radians(lch[..., 2])
    return np.stack([lch[..., 0], lch[..., 1] * np.cos(hue), lch[..., 1] * np.sin(hue)], axis=-1)


def linear_to_srgb(linear: Array) -> Array:
    """The sRGB curve: 12.92 v for v <= 0.0031308, else 1.055 v^(1/2.4) - 0.055. Values 0-1. Source: iec61966."""
    linear = np.asarray(linear, dtype=float)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)


def srgb_to_linear(encoded: Array) -> Array:
    """The inverse: v / 12.92 for v <= 0.04045, else ((v + 0.055)/1.055)^2.4. Values 0-1. Source: iec61966."""
    encoded = np.asarray(encoded, dtype=float)
    return np.where(encoded <= 0.04045, encoded / 12.92, (np.maximum(encoded, 0) + 0.055) ** 2.4 / 1.055**2.4)


def xyz_to_linear_rgb(xyz: Array) -> Array:
    """Linear sRGB (0-1 inside the gamut) of XYZ (D65, 2 degree, Y = 100): scaled so that our D65 white is exactly r = g = b = 1."""
    rgb: Array = (np.asarray(xyz, dtype=float) / white_xyz("D65", 2) * _SRGB_WHITE) @ _RGB_FROM_XYZ.T
    return rgb


def linear_rgb_to_xyz(rgb: Array) -> Array:
    """The inverse of `xyz_to_linear_rgb`."""
    xyz: Array = (np.asarray(rgb, dtype=float) @ _XYZ_FROM_RGB.T) / _SRGB_WHITE * white_xyz("D65", 2)
    return xyz


def xyz_to_srgb(xyz: Array) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """sRGB 0-255 (..., 3) of XYZ (D65, 2 degree), and whether the colour lay outside sRGB and was clipped (...).

    Clipped means that a channel left 0-1 by more than half a step of 8 bits.
    """
    encoded = linear_to_srgb(xyz_to_linear_rgb(xyz))
    clipped = np.any((encoded < -0.5 / 255) | (encoded > 1 + 0.5 / 255), axis=-1)
    return np.rint(np.clip(encoded, 0, 1) * 255).astype(np.int64), clipped


def srgb_to_xyz(srgb: Array) -> Array:
    """XYZ (D65, 2 degree) of sRGB 0-255 (..., 3)."""
    return linear_rgb_to_xyz(srgb_to_linear(np.asarray(srgb, dtype=float) / 255))


def srgb_to_lab(srgb: Array) -> Array:
    """Lab (D65, 2 degree) of sRGB 0-255 (..., 3)."""
    return xyz_to_lab(srgb_to_xyz(srgb), white_xyz("D65", 2))


def lab_to_srgb(lab: Array) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """sRGB 0-255 and the clipped flag of Lab (D65, 2 degree). Lab of 10 degrees goes through a spectrum first (`recover`)."""
    return xyz_to_srgb(lab_to_xyz(lab, white_xyz("D65", 2)))


def hex_to_srgb(text: str) -> tuple[int, int, int]:
    """Red, green, blue 0-255 of "#3a5f7b", "3A5F7B" or "#38b", as `read_hex` reads it. Raises BadInput."""
    digits = read_hex(text)[1:]
    return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)


def hex_to_lab(text: str) -> Lab:
    """Lab (D65, 2 degree) of a hex colour. Raises BadInput."""
    L, a, b = (float(value) for value in srgb_to_lab(np.array(hex_to_srgb(text), dtype=float)))
    return Lab(L, a, b, "D65", 2)


def srgb_to_hex(srgb: NDArray[np.number] | tuple[int, int, int]) -> str:
    """ "#3a5f7b" of one sRGB colour 0-255."""
    red, green, blue = (int(value) for value in np.clip(np.rint(np.asarray(srgb, dtype=float)), 0, 255))
    return f"#{red:02x}{green:02x}{blue:02x}"
