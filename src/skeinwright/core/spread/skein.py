"""The whole skein: one row for each strand of a face, all the way round; and what its coarser cells cost.

The same code runs on panel and skein. A skein's cells are longer than a small speck, so grains are laid as integrals over cells (what falls on a row stays
on it),
and for a close look the panel's own unevenness below a cell is stamped over it: each coarse cell keeps its dye, parted as a piece of the panel is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import DTypeLike

from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Bands, Dip, Event, Kettle, Pour, Session, Sprinkle, TieOff
from skeinwright.core.spread.figures import Figures, figures
from skeinwright.core.spread.grid import SKEIN_DX_CM, Grid, skein_grid
from skeinwright.core.spread.skein_map import SkeinMap
from skeinwright.core.spread.stepper import Spreading, full


def grid_of(session: Session, dx_cm: float = SKEIN_DX_CM) -> Grid:
    """The grid of one skein of the session."""
    laid = session.laid
    return skein_grid(laid.round_cm, laid.width_cm, laid.strands, dx_cm)


def skein_map_of(result: Spreading, geometry: SkeinGeometry, base: str = "") -> SkeinMap:
    """The run's dye as a wet skein map. `result` must have been run on a skein's grid."""
    grid = result.grid
    return SkeinMap(
        dye=np.array(result.dye, dtype=np.float32),
        names=tuple(dye.name for dye in result.session.dyes),
        row_mm=10 * grid.dy_cm,
        ds_mm=10 * grid.dx_cm,
        state="wet",
        geometry=replace(geometry, round_mm=10 * grid.length_cm),
        base=base,
    )


def ground_from(skein: SkeinMap, names: Sequence[str], grid: Grid) -> Array:
    """Dye of an earlier dyeing, for an overdye: (dyes, 2, rows, columns) g/g on `grid`, means kept. A dye that the new session does not know is left out."""
    ground = np.zeros((len(names), 2, *grid.shape), np.float32)
    for place, name in enumerate(names):
        if name in skein.names:
            plane = skein.dye[skein.names.index(name)]
            ground[place] = _resampled(_resampled(plane, grid.rows, 1), grid.columns, 2)
    return ground


def _resampled(plane: Array, cells: int, axis: int) -> Array:
    """Means over new cells along an axis, by differences of the running sum: the sum over the axis is kept to scale."""
    old = plane.shape[axis]
    running = np.concatenate([np.zeros_like(np.take(plane, [0], axis)), np.cumsum(plane, axis=axis, dtype=np.float64)], axis=axis)
    edges = np.linspace(0, old, cells + 1)
    low = np.minimum(edges.astype(int), old - 1)
    part = (edges - low).reshape([-1 if a == axis else 1 for a in range(plane.ndim)])
    at = np.take(running, low, axis) * (1 - part) + np.take(running, low + 1, axis) * part
    return np.asarray(np.diff(at, axis=axis) * (cells / old))


def moved_to(session: Session, grid: Grid) -> Session:
    """The session as a panel sees it that lies in the middle of the first band (at the tie where dye goes over all): bands are counted from the panel's
    start."""
    bands = next((_where(event) for event in session.events if isinstance(event, Sprinkle | Pour | Dip | Kettle) and _where(event)), ())
    if not bands:
        return session
    start = (bands[0][0] + bands[0][1] - grid.length_cm) / 2
    events: list[Event] = []
    for event in session.events:
        if isinstance(event, Sprinkle | Pour | Dip | TieOff) and event.bands:
            event = replace(event, bands=tuple((low - start, high - start) for low, high in event.bands))
        elif isinstance(event, Kettle):
            event = replace(event, points=tuple((along - start, across) for along, across in event.points))
        events.append(event)
    return replace(session, events=tuple(events))


def _where(event: Sprinkle | Pour | Dip | Kettle) -> Bands:
    """Its bands; of dye let into the water, the places."""
    return tuple((along, along) for along, _ in event.points) if isinstance(event, Kettle) else event.bands


@dataclass(frozen=True, slots=True)
class GridError:
    """What the skein's grid makes of a patch, against a panel with cells of 0.1 mm: relative L2 of the dye in the skein's own cells, and both sets of
    figures."""

    relative_l2: float
    fine: Figures
    coarse: Figures

    @property
    def sentence(self) -> str:
        """For a person."""
        return f"Cells of the whole skein are {100 * self.relative_l2:.0f} % off a fine panel (root mean square of the dye, cell by cell)."


def grid_error(session: Session, seed: int = 1, *, patch_cm: float = 3.0, dtype: DTypeLike = np.float32) -> GridError:
    """Run one patch on the skein's cells and on finer ones, with the same grains. Bands are as they fall on the first centimetres of the loop."""
    whole = grid_of(session)
    rows, columns = max(4, round(patch_cm / whole.dy_cm)), max(4, round(patch_cm / whole.dx_cm))
    coarse_grid = Grid(rows, columns, whole.dx_cm, whole.dy_cm)
    down, along = max(1, round(whole.dy_cm / 0.01)), max(1, round(whole.dx_cm / 0.01))
    fine_grid = Grid(rows * down, columns * along, whole.dx_cm / along, whole.dy_cm / down)
    coarse, fine = full(session, coarse_grid, seed, dtype=dtype), full(session, fine_grid, seed, dtype=dtype)
    means = fine.dye.reshape(len(session.dyes), 2, rows, down, columns, along).mean(axis=(3, 5))
    off = float(np.linalg.norm(coarse.dye - means) / max(float(np.linalg.norm(means)), 1e-30))
    return GridError(off, figures(fine), figures(coarse))


def stamped(dye: Array, grid: Grid, fine: Spreading, rows: slice, columns: slice, rng: np.random.Generator) -> Array:
    """A piece of a skein's dye (dyes, 2, rows, columns) with detail from a panel: (dyes, 2, rows x down, columns x along).

    Each coarse cell is parted as a chance block of the panel that carries about as much dye is: block over its own mean, so the cell's dye is kept exactly.
    """
    down, along = max(1, round(grid.dy_cm / fine.grid.dy_cm)), max(1, round(grid.dx_cm / fine.grid.dx_cm))
    piece = dye[:, :, rows, columns].astype(float)
    n, faces, r, c = piece.shape
    block_rows, block_columns = fine.grid.rows // down, fine.grid.columns // along
    trimmed = fine.dye[:, :, : block_rows * down, : block_columns * along].astype(float)
    blocks = trimmed.reshape(n, 2, block_rows, down, block_columns, along).transpose(0, 1, 2, 4, 3, 5).reshape(n, 2, -1, down, along)
    out = np.empty((n, faces, r * down, c * along))
    for face in range(faces):
        load = blocks[:, face].sum(axis=0).mean(axis=(1, 2))
        order = np.argsort(load)
        wanted = np.searchsorted(load[order], piece[:, face].sum(axis=0).ravel())
        near = np.clip(wanted + rng.integers(-8, 9, wanted.size), 0, order.size - 1)
        chosen = blocks[:, face, order[near]]
        mean = chosen.mean(axis=(2, 3), keepdims=True)
        parted = np.where(mean > 1e-12, chosen / np.maximum(mean, 1e-12), 1.0) * piece[:, face].reshape(n, -1, 1, 1)
        out[:, face] = parted.reshape(n, r, c, down, along).transpose(0, 1, 3, 2, 4).reshape(n, r * down, c * along)
    return out
