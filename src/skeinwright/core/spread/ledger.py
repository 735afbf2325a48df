"""Where the dye is: on fibre, in the water the yarn holds, in free water, taken away, or still powder. What was put in is what is found."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.state import Pan


@dataclass(frozen=True, slots=True)
class Ledger:
    """Milligrams of each dye on the grid (dyes,); `scale` times as much lies in the pan where all of it is laid alike."""

    added_mg: Array
    fibre_mg: Array
    held_mg: Array
    free_mg: Array
    removed_mg: Array
    powder_mg: Array
    acid_error: float
    scale: float

    @property
    def error(self) -> float:
        """Largest (found - added)/added of a dye; rounding and nothing else."""
        found = self.fibre_mg + self.held_mg + self.free_mg + self.removed_mg + self.powder_mg
        return float(np.max(np.abs(found - self.added_mg) / np.maximum(self.added_mg, 1e-30), initial=0.0, where=self.added_mg > 0))

    @property
    def left_in_bath(self) -> float:
        """Share of all dye that is in liquor, held or free."""
        return float((self.held_mg + self.free_mg).sum() / max(float(self.added_mg.sum()), 1e-30))

    @property
    def on_fibre(self) -> Array:
        """Share of each dye that is on the fibre (dyes,)."""
        return np.asarray(self.fibre_mg / np.maximum(self.added_mg, 1e-30))


def ledger_of(pan: Pan) -> Ledger:
    """The ledger now."""
    cell = pan.grid.cell_cm2
    liquor = pan.field.liquor.sum(axis=(2, 3), dtype=np.float64) * cell
    powder = np.zeros(len(pan.added_mg))
    acid_powder = 0.0
    for one in pan.powders:
        left = one.left_mg()
        powder += one.shares * left
        acid_powder += one.acid_per_mg * left
    acid = pan.field.acid_mmol() + pan.acid_removed + acid_powder
    return Ledger(
        added_mg=pan.added_mg.copy(),
        fibre_mg=np.asarray(pan.field.fibre.sum(axis=(1, 2, 3), dtype=np.float64) * cell),
        held_mg=np.asarray(liquor[:, 1:].sum(axis=1)),
        free_mg=np.asarray(liquor[:, 0]),
        removed_mg=pan.removed_mg.copy(),
        powder_mg=powder,
        acid_error=abs(acid - pan.acid_added) / pan.acid_added if pan.acid_added else 0.0,
        scale=pan.session.laid.area_cm2 / pan.grid.area_cm2,
    )
