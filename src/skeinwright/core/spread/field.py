"""What is where: amounts per area of dye in three layers of liquor and on the two halves of the yarn, and of acid. Never concentrations, so a sum is a
balance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import DTypeLike

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.grid import Grid

FREE, FACE, BACK = 0, 1, 2


@dataclass(slots=True)
class Field:
    """The state while a session runs; changed in place.

    liquor (dyes, 3, rows, columns) and fibre (dyes, 2, rows, columns) in mg/cm2, acid (3, rows, columns) in mmol/cm2 (mobile and bound together).
    Layer 0 is free water, 1 the half of the yarn that faces up, 2 the half that faces down; fibre 0 and 1 are those two halves.
    """

    grid: Grid
    liquor: Array
    fibre: Array
    acid: Array

    @classmethod
    def empty(cls, grid: Grid, dyes: int, dtype: DTypeLike = np.float32) -> Field:
        """Nothing anywhere."""
        return cls(grid, np.zeros((dyes, 3, *grid.shape), dtype), np.zeros((dyes, 2, *grid.shape), dtype), np.zeros((3, *grid.shape), dtype))

    def turn(self) -> None:
        """Turn the yarn over: face and back change places and the rows run the other way; free water stays as it is. Twice is nothing at all."""
        self.liquor[:, 1:] = self.liquor[:, 2:0:-1, ::-1].copy()
        self.fibre[:] = self.fibre[:, ::-1, ::-1].copy()
        self.acid[1:] = self.acid[2:0:-1, ::-1].copy()

    def dye_mg(self, dye: int) -> float:
        """All of one dye on the grid, in liquor and on fibre."""
        return float((self.liquor[dye].sum(dtype=np.float64) + self.fibre[dye].sum(dtype=np.float64)) * self.grid.cell_cm2)

    def acid_mmol(self) -> float:
        """All the acid on the grid."""
        return float(self.acid.sum(dtype=np.float64) * self.grid.cell_cm2)
