"""Smooth random fields, from a given seed only: the unevenness that makes yarn look like yarn."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]


def wander(rng: np.random.Generator, rows: int, at: Floats, wavelength: float, *, loop: bool = False) -> Floats:
    """`rows` independent smooth random curves, sampled at `at` (n,) -> (rows, n), zero mean, standard deviation about 0.7.

    Value noise: knots from N(0, 1), one every `wavelength`, joined by smoothsteps.
    With `loop`, the curve closes: `at` is evenly spaced round it and the wavelength is fitted to whole knots.
    """
    total = float(at[-1] - at[0]) * (len(at) / (len(at) - 1.0))
    whole = max(3, round(total / wavelength))
    position = (at - at[0]) / (total / whole if loop else wavelength)
    left, blend = _between(position)
    knots = rng.standard_normal((rows, max(whole, int(left.max()) + 1) + 1 if loop else int(left.max()) + 2), dtype=np.float32)
    if loop:
        knots[:, whole:] = knots[:, : knots.shape[1] - whole]
    curves: Floats = knots[:, left] * (1.0 - blend) + knots[:, left + 1] * blend
    return curves


def wander_along(rng: np.random.Generator, rows: int, row: NDArray[np.int32], at: Floats, wavelength: float) -> Floats:
    """The same curves, read at scattered places: `at` (n,) on the curve of number `row` (n,) -> (n,)."""
    left, blend = _between(at / np.float32(wavelength))
    knots = rng.standard_normal((rows, int(left.max(initial=0)) + 2), dtype=np.float32)
    found: Floats = knots[row, left] * (1.0 - blend) + knots[row, left + 1] * blend
    return found


def _between(position: Floats) -> tuple[NDArray[np.int32], Floats]:
    """The knot before each place, and how far it is on to the next by a smoothstep."""
    left = position.astype(np.int32)
    part = (position - left).astype(np.float32)
    return left, part * part * (3.0 - 2.0 * part)


def thick_and_thin(rng: np.random.Generator, rows: int, at: Floats, *, plies: int, radius: float) -> Floats:
    """A factor of the thickness (rows, n) along strands sampled at `at` (n,): spinning is uneven, and plying evens it out.

    It wavers by about 6 % over the square root of the plies, a knot every 9 radii [by eye].
    """
    factor: Floats = 1.0 + np.float32(0.09 / np.sqrt(plies)) * wander(rng, rows, at, 9.0 * radius)
    return factor


@lru_cache(maxsize=8)
def fibre_texture(seed: int, across: int = 256, along: int = 1024, length: int = 24) -> Floats:
    """Tileable noise (across, along), drawn out along the fibres: zero mean, unit standard deviation, read-only.

    The mean of three octaves; each is white noise filtered by a Gaussian that is `length` samples long and narrow across (by FFT, so it tiles).
    """
    rng = np.random.default_rng(seed)
    fx = np.fft.fftfreq(across)[:, None]
    fy = np.fft.rfftfreq(along)[None, :]
    total = np.zeros((across, along))
    for scale, weight in ((1.0, 1.0), (2.5, 0.8), (7.0, 0.6)):
        spectrum = np.fft.rfft2(rng.standard_normal((across, along)))
        spectrum *= np.exp(-2.0 * np.pi**2 * ((0.6 * scale * fx) ** 2 + (length * fy) ** 2))
        octave = np.fft.irfft2(spectrum, s=(across, along))
        total += weight * octave / octave.std()
    texture: Floats = ((total - total.mean()) / total.std()).astype(np.float32)
    texture.flags.writeable = False
    return texture
