"""The pan while a session runs: its field, its water, its heat, powder that is not yet dissolved, and the ledger."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np
from numpy.typing import DTypeLike

from skeinwright.core.spread.acid import mobile
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Session
from skeinwright.core.spread.field import Field
from skeinwright.core.spread.grains import Grains
from skeinwright.core.spread.grid import Grid


@dataclass(slots=True)
class Powder:
    """Grains on the yarn: shares of each dye, acid a mg, how far each has dissolved (t/t_d), the layer it lies on, and the time over which it
    is let out, by ice or as it was said."""

    grains: Grains
    shares: Array
    acid_per_mg: float
    layer: int
    done: Array
    over_s: float | None = None
    by_ice: bool = False

    def left_mg(self) -> float:
        """Powder that is not in solution."""
        share = 1 - self.done if self.over_s is not None else (1 - self.done) ** 1.5
        return float((self.grains.mass_mg * share).sum())


@dataclass(slots=True)
class Tie:
    """Yarn tied off: how free each place along the grid is (columns,), and the dye that was on the fibre at that moment (as `Field.fibre`)."""

    free: Array
    fibre: Array


@dataclass(slots=True)
class Pan:
    """State of a run. Depths in cm over the laid yarn; `scale` is laid area over grid area."""

    session: Session
    grid: Grid
    field: Field
    rng: np.random.Generator
    row_gain: Array
    free_cm: float
    held_cm: float
    half_mg_cm2: float
    temp_c: float
    lid: bool
    time_s: float = 0.0
    since_s: float = 0.0
    thick: float = 1.0
    steaming: bool = False
    ice_s: float = 0.0
    powders: list[Powder] = dataclasses.field(default_factory=list)
    added_mg: Array = dataclasses.field(default_factory=lambda: np.zeros(0))
    removed_mg: Array = dataclasses.field(default_factory=lambda: np.zeros(0))
    acid_added: float = 0.0
    acid_removed: float = 0.0
    turns: int = 0
    dry_at_s: float | None = None
    """When the last of the free water steamed away, where it did."""
    ties: list[Tie] = dataclasses.field(default_factory=list)

    @property
    def b_max(self) -> float:
        """Acid sites of a half as it lies now, mmol/cm2."""
        return self.session.parameters.yarn.sites_mmol_g * self.half_mg_cm2 / 1000

    @property
    def a_half(self) -> float:
        """ah as the yarn lies now: it goes with the fibre."""
        return self.session.a_half * self.half_mg_cm2 / self.session.parameters.yarn.half_mg_cm2


def start(session: Session, grid: Grid, rng: np.random.Generator, dtype: DTypeLike, ground: Array | None = None) -> Pan:
    """The pan before the first event; `ground` (dyes, 2, rows, columns) in g/g is dye that an earlier dyeing left on the fibre."""
    from skeinwright.core.spread.grains import gains

    yarn = session.parameters.yarn
    count = len(session.dyes)
    pan = Pan(
        session,
        grid,
        Field.empty(grid, count, dtype),
        rng,
        gains(grid.rows, grid.dy_cm, yarn.strand_cm, yarn.strand_spread, rng),
        free_cm=session.free_ml / session.laid.floor_cm2,
        held_cm=(yarn.held_g_g if session.held_g_g is None else session.held_g_g) * yarn.half_mg_cm2 / 1000,
        half_mg_cm2=yarn.half_mg_cm2,
        temp_c=session.temp_c,
        lid=session.lid,
        added_mg=np.zeros(count),
        removed_mg=np.zeros(count),
    )
    if session.acid_mmol > 0:
        set_acid(pan, session.acid_mmol / session.laid.area_cm2)
    if ground is not None:
        pan.field.fibre[:] = ground * pan.half_mg_cm2
        pan.added_mg += pan.field.fibre.sum(axis=(1, 2, 3), dtype=np.float64) * grid.cell_cm2
    return pan


def set_acid(pan: Pan, total_mmol_cm2: float) -> None:
    """Acid at rest: one concentration of mobile acid in all water, sites filled to match."""
    low, high = 0.0, total_mmol_cm2
    for _ in range(200):
        c = (low + high) / 2
        found = _at_rest(pan, c)
        low, high = (c, high) if found.sum() < total_mmol_cm2 else (low, c)
    layers = _at_rest(pan, low)
    layers *= total_mmol_cm2 / max(layers.sum(), 1e-300)
    pan.field.acid[:] = layers[:, None, None]
    pan.acid_added += pan.field.acid_mmol()


def _at_rest(pan: Pan, share: float) -> Array:
    """Acid of the three layers for a mobile concentration of share/(all the water)."""
    water = pan.free_cm + 2 * pan.held_cm
    c = share / water
    a = c * pan.held_cm
    bound = pan.b_max * a / (a + pan.a_half) if a > 0 else 0.0
    return np.array([c * pan.free_cm, a + bound, a + bound])


def filled(pan: Pan) -> Array:
    """phi of the two halves (2, rows, columns)."""
    total = pan.field.acid[1:].astype(np.float64)
    return (total - mobile(total, pan.b_max, pan.a_half)) / pan.b_max
