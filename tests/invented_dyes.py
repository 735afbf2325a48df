"""Invented dyes for tests: K/S spectra of one to three absorption bands, Gaussian in wavenumber, on an undyed yarn of Lab 93, 0, 8.

They are no one's dyes; the recipe for making them is that of the textile literature's absorption bands, and what the program fits knows nothing of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import WAVELENGTHS_NM, Array
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

UNDYED = Lab(93, 0, 8)
BASE = recover(UNDYED).reflectance


@dataclass(frozen=True, eq=False)
class Invented:
    """The truth: K/S at 1 %, and the power of depth."""

    ks: Array
    power: float

    def at(self, depth: float) -> Array:
        return self.ks * (100 * depth) ** self.power


def invented(rng: np.random.Generator) -> Invented:
    wavenumber, ks = 1e7 / WAVELENGTHS_NM, np.zeros(31)
    for _ in range(rng.integers(1, 4)):
        centre, width, skew = 1e7 / rng.uniform(380, 670), rng.uniform(1200, 3200), rng.uniform(-0.3, 0.3)
        ks = ks + rng.uniform(0.3, 1) * np.exp(-(((wavenumber - centre) / (width * (1 + skew * np.sign(wavenumber - centre)))) ** 2) / 2)
    return Invented((ks / ks.max() + 10 ** rng.uniform(-2.6, -1.3)) * rng.uniform(8, 20), float(rng.normal(0.92, 0.06)))


def lab_of(layers: list[Array], rng: np.random.Generator | None = None, noise: float = 0.0) -> Lab:
    """The colour of the base with these layers of K/S, read with `noise` in each of L*, a*, b*."""
    values = spectrum_to_lab(mix(BASE, np.array(layers)))
    if rng is not None:
        values = values + noise * rng.standard_normal(3)
    L, a, b = (float(value) for value in values)
    return Lab(L, a, b)


def ladder(
    name: str, dye: Invented, rungs_pct: tuple[float, ...], rng: np.random.Generator | None = None, noise: float = 0.0, reading: Reading = Reading.TYPED
) -> Dye:
    swatches = tuple(Swatch(depth=pct / 100, lab=lab_of([dye.at(pct / 100)], rng, noise), reading=reading, base="Quay Sock") for pct in rungs_pct)
    return Dye(name=name, swatches=swatches)
