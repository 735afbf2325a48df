"""Hidden dyes: the truth that the fit of a dye from its swatches is tried on. Not changed since before that fit was tuned.

They have another form than the prior of the fit: one to three bands that are asymmetric in *wavelength*, each with a shoulder on its short side, on a floor;
K/S that saturates with depth, c/(1 + c/c_sat), c_sat 3-12 %; three undyed yarns. Twenty sets (seeds 0-19) of nine dyes, fifteen mixtures of three dyes each,
0.05-1.6 % of the fibre a dye, five on each yarn: 300 mixtures. The ladders of a set are dyed on one yarn. What the fit is shown are Labs (D65, 10 degree) of
the rungs, each of L*, a*, b* with a normal error of standard deviation `noise`, and of the undyed yarns, each read four times (half that error).

The mixing law itself is that of the program, coded here a second time: this shows what the Labs of a ladder tell, not what real dyes on real wool do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import WAVELENGTHS_NM

Array = NDArray[np.float64]

SEEDS = tuple(range(20))
DYES, MIXTURES = 9, 15
SURFACE = 0.003
PALEST_PCT, DEEPEST_PCT = 0.05, 1.6
_YARNS = ((0.84, 0.62, 55.0), (0.76, 0.44, 75.0), (0.88, 0.74, 40.0))
"""Reflectance far in the red, at 400 nm, and over how many nm it falls between: a bright, a natural and a white yarn."""


def yarn(index: int) -> Array:
    """Reflectance (31,) of one of the three undyed yarns: high - (high - low) exp(-(nm - 400)/reach)."""
    high, low, reach = _YARNS[index]
    reflectance: Array = high - (high - low) * np.exp(-(WAVELENGTHS_NM - 400) / reach)
    return reflectance


@dataclass(frozen=True, eq=False)
class HiddenDye:
    """K/S (31,) that a very small depth would give at 1 %, and where it saturates (per cent)."""

    ks_at_1_pct: Array
    saturates_at_pct: float

    def ks(self, depth_pct: float) -> Array:
        """K/S (31,) of the dye alone at a depth in per cent."""
        result: Array = self.ks_at_1_pct * depth_pct / (1 + depth_pct / self.saturates_at_pct)
        return result


def hidden_dye(rng: np.random.Generator) -> HiddenDye:
    """One dye: bands exp(-ln2 ((nm - centre)/w)^2), w (half width at half height) 30-70 nm, 0.6-1.6 times as wide on the long side, each with a shoulder."""
    ks = np.zeros(len(WAVELENGTHS_NM))
    for band in range(int(rng.integers(1, 4))):
        centre, width, lean = rng.uniform(390, 660), rng.uniform(30, 70), rng.uniform(0.6, 1.6)
        height = 1.0 if band == 0 else rng.uniform(0.15, 1.0)
        ks += height * _band(centre, width, width * lean)
        ks += height * rng.uniform(0.15, 0.6) * _band(centre - rng.uniform(0.8, 1.4) * width, 0.8 * width, 0.7 * width)
    floor = 10 ** rng.uniform(-2.8, -1.5)
    strength = np.exp(rng.uniform(np.log(5), np.log(22)))
    return HiddenDye(strength * (ks / ks.max() + floor), float(rng.uniform(3, 12)))


def _band(centre: float, short: float, long: float) -> Array:
    off = WAVELENGTHS_NM - centre
    band: Array = np.exp(-np.log(2) * (off / np.where(off < 0, short, long)) ** 2)
    return band


def dyed(base: Array, layers: Array) -> Array:
    """Reflectance of a yarn (31,) that carries dyes' K/S (n, 31)."""
    inner = (base - SURFACE) / (1 - SURFACE)
    q = (1 - inner) ** 2 / (2 * inner) + layers.sum(axis=0)
    reflectance: Array = SURFACE + (1 - SURFACE) * (1 + q - np.sqrt(q * q + 2 * q))
    return reflectance


@dataclass(frozen=True, eq=False)
class Mixture:
    """A dyeing whose colour is to be forecast: which dyes of the set at which depth (per cent), on which yarn, and the Lab that it truly has."""

    doses_pct: dict[int, float]
    yarn: int
    lab: Array


@dataclass(frozen=True, eq=False)
class HiddenSet:
    """The dyes of one seed, the yarn that their ladders are dyed on, and the mixtures."""

    seed: int
    dyes: tuple[HiddenDye, ...]
    ladder_yarn: int
    mixtures: tuple[Mixture, ...]

    def read(self, rungs_pct: tuple[float, ...], noise: float) -> tuple[Array, Array]:
        """Labs as read: of the ladders (dyes, rungs, 3) and of the three undyed yarns (3, 3)."""
        rng = np.random.default_rng([self.seed, len(rungs_pct), round(10 * noise)])
        base = yarn(self.ladder_yarn)
        true = np.array([[spectrum_to_lab(dyed(base, dye.ks(pct)[None])) for pct in rungs_pct] for dye in self.dyes])
        bare = np.array([spectrum_to_lab(yarn(index)) for index in range(3)])
        return true + noise * rng.standard_normal(true.shape), bare + noise / 2 * rng.standard_normal(bare.shape)


def hidden_set(seed: int) -> HiddenSet:
    """The set of one seed."""
    rng = np.random.default_rng([20261124, seed])
    dyes = tuple(hidden_dye(rng) for _ in range(DYES))
    mixtures = []
    for number in range(MIXTURES):
        chosen = rng.choice(DYES, size=3, replace=False)
        depths = np.exp(rng.uniform(np.log(PALEST_PCT), np.log(DEEPEST_PCT), size=3))
        layers = np.array([dyes[index].ks(pct) for index, pct in zip(chosen, depths, strict=True)])
        lab = spectrum_to_lab(dyed(yarn(number % 3), layers))
        mixtures.append(Mixture({int(index): float(pct) for index, pct in zip(chosen, depths, strict=True)}, number % 3, lab))
    return HiddenSet(seed, dyes, seed % 3, tuple(mixtures))
