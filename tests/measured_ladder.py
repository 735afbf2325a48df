"""Photographs for the Measure screen: a ladder of one dye, and one skein taken twice. Their truth is exact, by `proofs/synthetic_photo.py`."""

from __future__ import annotations

from functools import cache

import numpy as np

from photo_proofs import synthetic
from skeinwright.core.measure.sheet import Box

DEPTHS = ("3 %", "0.4 %", "1.2 %")
"""Of the three swatches from left to right: they do not lie in order."""


@cache
def ladder():
    """Three swatches of one dye on the sheet, with its card, 3.5 million pixels."""
    dye = synthetic.random_dye(np.random.default_rng([7, 1]), 1.0)
    yarns = tuple(
        synthetic.Yarn(Box(62 + 66 * place, 64, 44, 80), dye * float(depth.split()[0]), upright=True, pitch_mm=1.6) for place, depth in enumerate(DEPTHS)
    )
    return synthetic.take(synthetic.Scene(yarns, seed=5), synthetic.Shot(width_px=2150, blur_px=0.5, seed=3, turn_deg=5, tilt=0.07))


@cache
def skein(light: str = "daylight", seed: int = 4, white_error: float = 0.02):
    """One speckled skein with its card; other lights and seeds are other photographs of the same skein."""
    shot = synthetic.Shot(width_px=1600, blur_px=0.4, seed=seed, camera=2, light=light, white_error=white_error)
    return synthetic.take(synthetic.skein_scene(4, specks=2), shot)


@cache
def shadowed():
    """One in which the sheet is found and the light is not to be trusted: a hard shadow crosses it."""
    return synthetic.take(synthetic.skein_scene(4, specks=1), synthetic.Shot(width_px=1500, blur_px=0.4, seed=4, shadow=0.55))


@cache
def refused():
    """A photograph that is far too blurred."""
    return synthetic.take(synthetic.skein_scene(4, specks=1), synthetic.Shot(width_px=1200, blur_px=7, seed=4))
