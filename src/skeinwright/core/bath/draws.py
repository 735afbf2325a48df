"""What is not known of a run, drawn many times; the centre line is the draw with every number at its usual place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from skeinwright.core.bath.acids import LABEL_SPREAD
from skeinwright.core.bath.classes import CLASSES, MIXTURE, MOLAR_G, PURE_SHARE, DyeClass, dye_class
from skeinwright.core.bath.fibre import INTERNAL_PK, INTERNAL_WATER_L_KG, NYLON_SITES_MOL_KG, NYLON_WATER_L_KG, UNDISSOCIATED_L_KG, WOOL_SITES_MOL_KG
from skeinwright.core.bath.isotherm import HEAT_J_MOL, NYLON_SLOPE, PARTITION_SHARE, Array
from skeinwright.core.bath.kinetics import (
    DIFFUSION_95,
    FILM_SPREAD,
    NYLON_ACTIVATION,
    SKIN_SHARE,
    SUPERWASH_SPEED_95,
    WATER_DIFFUSION_25,
    WOOL_ACTIVATION,
    relative_rate,
    superwash_activation,
)
from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.waters import CARBON_PER_ALKALINITY, LEAST_CARBON, MOST_CARBON
from skeinwright.core.foundations.posterior import NINETY

THERMOMETER_C = 2.0
"""How far the pot is off what its thermometer says, 90 % [assumed]."""
CARBON = Spread(CARBON_PER_ALKALINITY, LEAST_CARBON, MOST_CARBON)
WATER_VOLUME = Spread(1.0, 0.95, 1.05)
NYLON_SITES = Spread(NYLON_SITES_MOL_KG, 0.020, 0.070)
NYLON_SLOPES = Spread(NYLON_SLOPE, 2.0, 15.0)
HEATS = Spread(HEAT_J_MOL, -50e3, -5e3, log=False)
PARTITION_SHARES = Spread(PARTITION_SHARE, 0.03, 0.30)
GAS_LEAVES = Spread(1.0, 1 / 3, 3.0)
COMMON_SHARE = 0.5
"""How much of the spread of diffusion is the yarn's and common to all dyes; as variance [assumed]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The unknowns of a run. Shapes: (n,) for the pot, (n, dyes) for dyes, (n, dyes, fibres) for what depends on both."""

    alkalinity_mg_l: Array
    label: dict[str, Array]
    volume: Array
    evaporation: Array
    evaporation_lid: Array
    temp_off_c: Array
    pk_lean: Array
    gas_leaves: Array
    internal_k: Array
    sites: Array
    internal_water_l_kg: Array
    undissociated_l_kg: Array
    film: Array
    water_diffusion: Array
    ionic: Array
    neutral: Array
    sulphonates: Array
    heat_j_mol: Array
    dye_acid_mol_g: Array
    pieces_cold: Array
    pieces_hot: Array
    saturation_g_kg: Array
    partition_factor: Array
    partition_share: Array
    diffusion_95: Array
    activation_j_mol: Array
    skin: Array
    misread: Array
    lag_s: Array
    carbon: Array

    @property
    def n(self) -> int:
        """How many draws."""
        return len(self.volume)


def central(run: PotRun) -> Drawn:
    """Every unknown at its usual value, as one draw."""
    return _drawn(run, 1, None)


def draw(run: PotRun, n: int, rng: np.random.Generator) -> Drawn:
    """The centre line as the first row, then `n` draws of every unknown, each from its own spread; a dye of unknown class takes one at random."""
    return _drawn(run, n + 1, rng)


def _drawn(run: PotRun, n: int, rng: np.random.Generator | None) -> Drawn:
    dyes = len(run.dyes)

    def z(*shape: int) -> Array:
        drawn = np.zeros((n, *shape))
        if rng is not None:
            drawn[1:] = rng.standard_normal((n - 1, *shape))
        return drawn

    classes = _classes(run, n, rng)
    wool = np.array([one.kind != "nylon" for one in run.fibres])
    own = _table(classes, lambda one: one.kp_own.value, n)
    factor = _own(Spread.times(1.0, 3.0), [dye.partition for dye in run.dyes], z(dyes))
    sulphonates = _table(classes, lambda one: one.sulphonates, n)
    saturation = _table(classes, lambda one: one.saturation_g_kg.value, n) * Spread.times(1.0, 1.5).at(z(dyes))
    of_amines = z()
    amines = np.asarray(NYLON_SITES.at(of_amines))
    alkalinity = run.alkalinity
    spread = Spread(alkalinity.value, alkalinity.low, alkalinity.high, log=False)
    water = np.asarray(Spread(INTERNAL_WATER_L_KG, 0.3, 0.6).at(z()))
    slopes = _slopes(run, wool, z, own)
    return Drawn(
        alkalinity_mg_l=np.maximum(spread.at(z()), 0.0),
        label={kind: np.maximum(1 + half / NINETY * z(), 0.5) for kind, half in LABEL_SPREAD.items()},
        volume=np.asarray(WATER_VOLUME.at(z())),
        evaporation=np.asarray(run.steam(False).at(of_steam := z())),
        evaporation_lid=np.asarray(run.steam(True).at(of_steam)),
        temp_off_c=THERMOMETER_C / NINETY * z(),
        pk_lean=z() / NINETY,
        gas_leaves=np.asarray(GAS_LEAVES.at(z())),
        internal_k=10.0 ** -(INTERNAL_PK + 0.15 / NINETY * z()),
        sites=np.where(wool, (WOOL_SITES_MOL_KG * (1 + 0.04 / NINETY * z()))[:, None], amines[:, None]),
        internal_water_l_kg=np.where(wool, water[:, None], NYLON_WATER_L_KG),
        undissociated_l_kg=np.where(wool, np.asarray(Spread.times(UNDISSOCIATED_L_KG, 3.0).at(z()))[:, None], 0.3),
        film=np.asarray(Spread.times(1.0, FILM_SPREAD).at(z())),
        water_diffusion=np.asarray(WATER_DIFFUSION_25.at(z())),
        ionic=_table(classes, lambda one: one.ionic, n) * factor,
        neutral=_table(classes, lambda one: one.neutral, n) * factor,
        sulphonates=sulphonates,
        heat_j_mol=np.asarray(HEATS.at(z(dyes))),
        dye_acid_mol_g=sulphonates * np.asarray(PURE_SHARE.at(z(dyes))) / MOLAR_G,
        pieces_cold=_table(classes, lambda one: one.pieces_cold, n),
        pieces_hot=_table(classes, lambda one: one.pieces_hot, n),
        saturation_g_kg=np.where(wool, saturation[:, :, None], _nylon_full(run, of_amines, amines[:, None] * MOLAR_G / sulphonates)),
        partition_factor=slopes,
        partition_share=np.asarray(PARTITION_SHARES.at(z()))[:, None, None] / np.where(wool, 1.0, slopes),
        diffusion_95=_diffusion(run, classes, z, n),
        activation_j_mol=_activation(run, z),
        skin=np.asarray(SKIN_SHARE.at(z())),
        misread=z() / NINETY,
        lag_s=np.zeros(n) if run.lag is None else np.asarray(run.lag.at(z())),
        carbon=np.asarray(CARBON.at(z())),
    )


def _own(usual: Spread, tested: Sequence[Spread | None], z: Array) -> Array:
    """(n, dyes): each dye from its own test where there is one, else from what is usual."""
    columns = [np.asarray((usual if one is None else one).at(z[:, place])) for place, one in enumerate(tested)]
    return np.stack(columns, axis=1) if columns else z


def _classes(run: PotRun, n: int, rng: np.random.Generator | None) -> list[list[DyeClass]]:
    """By dye, the class of each draw."""
    found = []
    for dye in run.dyes:
        if dye.dye_class in CLASSES or rng is None:
            found.append([dye_class(dye.dye_class)] * n)
        else:
            names, weights = zip(*MIXTURE, strict=True)
            found.append([dye_class(dye.dye_class), *(CLASSES[names[place]] for place in rng.choice(len(names), n - 1, p=weights))])
    return found


def _table(classes: list[list[DyeClass]], of: Callable[[DyeClass], float], n: int) -> Array:
    """(n, dyes) of one figure of the classes."""
    figures: dict[str, float] = {}
    for row in classes:
        for one in row:
            if one.name not in figures:
                figures[one.name] = of(one)
    return np.array([[figures[one.name] for one in row] for row in classes]).T.reshape(n, len(classes)) if classes else np.zeros((n, 0))


def _slopes(run: PotRun, wool: Array, z: Callable[..., Array], own: Array) -> Array:
    """Each fibre's partition over plain wool's: superwash 1 (0.8-1.5), nylon 5 (2-15)."""
    n, dyes = own.shape
    of_nylon = z()
    superwash = np.asarray(Spread(1.0, 0.8, 1.5).at(z()))[:, None]
    is_superwash = np.array([one.kind == "superwash" for one in run.fibres])
    nylon = _own(NYLON_SLOPES, [one.preference for one in run.fibres], np.repeat(of_nylon[:, None], len(run.fibres), axis=1))
    by_fibre = np.where(wool, np.where(is_superwash, superwash, 1.0), nylon)
    return np.broadcast_to(by_fibre[:, None, :], (n, dyes, len(run.fibres)))


def _nylon_full(run: PotRun, z: Array, usual: Array) -> Array:
    """(n, dyes, fibres) in g/kg: what a test found, of any dye, in the place of `usual` (n, dyes): one dye on each amine end for each of its charges."""
    columns = [usual if one.full_g_kg is None else np.repeat(np.asarray(one.full_g_kg.at(z))[:, None], usual.shape[1], axis=1) for one in run.fibres]
    return np.stack(columns, axis=2) if columns else np.zeros((*usual.shape, 0))


def _diffusion(run: PotRun, classes: list[list[DyeClass]], z: Callable[..., Array], n: int) -> Array:
    """D at 95 C (m2/s) by draw, dye and fibre."""
    speed = _table(classes, lambda one: one.speed.value, n)
    dyes = len(run.dyes)
    common, own = z(), z(dyes)
    mixed = COMMON_SHARE**0.5 * common[:, None] + (1 - COMMON_SHARE) ** 0.5 * own
    plain = np.asarray(DIFFUSION_95.at(mixed)) * speed
    for place, dye in enumerate(run.dyes):
        if dye.rate is not None:  # a test on the dyer's own yarn takes the place of both spreads
            plain[:, place] = DIFFUSION_95.value * speed[0, place] * dye.rate.at(own[:, place])
    superwash = np.asarray(SUPERWASH_SPEED_95.at(z()))
    found = []
    for fibre in run.fibres:
        times = superwash if fibre.kind == "superwash" else np.ones_like(superwash)
        if fibre.speed is not None:
            times = np.asarray(Spread.times(_speed_at_95(fibre.speed, fibre.kind), fibre.speed_within).at(z()))
        found.append(plain * times[:, None])
    return np.stack(found, axis=2) if found else np.zeros((*plain.shape, 0))


def _speed_at_95(at_60: float, kind: str) -> float:
    """What was tested at 60 C, carried to 95 C by the usual activation energies."""
    if kind != "superwash":
        return at_60
    usual = WOOL_ACTIVATION.value
    return float(at_60 * relative_rate(60.0, usual) / relative_rate(60.0, superwash_activation(usual)))


def _activation(run: PotRun, z: Callable[..., Array]) -> Array:
    """J/mol by draw and fibre, shaped (n, 1, fibres)."""
    wool = np.asarray(WOOL_ACTIVATION.at(z()))
    nylon = np.asarray(NYLON_ACTIVATION.at(z()))
    kinds = {"wool": wool, "superwash": np.asarray(superwash_activation(wool)), "nylon": nylon}
    return np.stack([kinds[one.kind] for one in run.fibres], axis=1)[:, None, :] if run.fibres else np.zeros((len(wool), 1, 0))
