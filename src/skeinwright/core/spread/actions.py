"""What the events that take no time do to the pan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skeinwright.core.spread import grains as grain
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.by_hand import by_hand
from skeinwright.core.spread.events import (
    AddWater,
    Amounts,
    Bands,
    Bath,
    Event,
    Ice,
    Kettle,
    Lid,
    OpenUp,
    Pour,
    PourOff,
    Rinse,
    Sprinkle,
    Squeeze,
    TieOff,
    Turn,
)
from skeinwright.core.spread.field import BACK, FACE, FREE
from skeinwright.core.spread.grains import Grains
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.ice import cover
from skeinwright.core.spread.soaking import drink
from skeinwright.core.spread.state import Pan, Powder
from skeinwright.core.spread.tied import tie_off, turn_ties

WHITE_BELOW_G_G = 2e-4
"""A place counts as white by e^(-dye/this) [assumed]."""


def act(pan: Pan, event: Event) -> None:
    """Do `event` to the pan, in place."""
    pan.since_s = 0.0
    if isinstance(event, Sprinkle):
        _sprinkle(pan, event)
    elif isinstance(event, Pour):
        _pour(pan, event)
    elif isinstance(event, Kettle):
        _kettle(pan, event)
    elif isinstance(event, Bath):
        _bath(pan, event)
    elif isinstance(event, AddWater):
        _acid(pan, event.acid_mmol)
        pan.free_cm += event.volume_ml / pan.session.laid.floor_cm2
    elif isinstance(event, PourOff):
        _pour_off(pan, event.volume_ml / pan.session.laid.floor_cm2)
    elif isinstance(event, Lid):
        pan.lid = event.on
    elif isinstance(event, Turn):
        _turn(pan)
    elif isinstance(event, OpenUp):
        _open_up(pan, event.wider)
    elif isinstance(event, Squeeze):
        _squeeze(pan, event.leave_g_g)
    elif isinstance(event, TieOff):
        tie_off(pan, event.bands)
    elif isinstance(event, Rinse):
        _rinse(pan, event.temp_c)
    elif isinstance(event, Ice):
        cover(pan, event.mass_g)
    if isinstance(event, AddWater | Pour | Kettle | Bath | Ice):
        drink(pan)


def reach(grid: Grid, bands: Bands, round_cm: float) -> tuple[Bands, float]:
    """The bands within the grid (cm from its own start) and the length of loop they cover in all; no bands is everything."""
    if not bands:
        return ((0.0, grid.length_cm),), round_cm
    inside = tuple((max(0.0, low), min(grid.length_cm, high)) for low, high in bands if low < grid.length_cm and high > 0)
    return inside, sum(high - low for low, high in bands)


def share_on_grid(pan: Pan, bands: Bands) -> tuple[Bands, float]:
    """The bands on the grid, and the share of an amount laid over all such bands that falls on it."""
    laid = pan.session.laid
    inside, length = reach(pan.grid, bands, laid.round_cm)
    width = laid.width_cm * laid.skeins * pan.session.parameters.yarn.half_mg_cm2 / pan.half_mg_cm2
    return inside, sum(high - low for low, high in inside) * pan.grid.width_cm / (length * width)


def _sprinkle(pan: Pan, event: Sprinkle) -> None:
    inside, share = share_on_grid(pan, event.bands)
    total = sum(event.dyes_mg)
    if total <= 0 or share <= 0:
        return
    powder = pan.session.parameters.powder
    if event.grain_mm is not None:
        powder = replace(powder, grain_mm=event.grain_mm)
    length = sum(high - low for low, high in inside)
    fallen = grain.sprinkle(total * share, powder, pan.rng, length, pan.grid.width_cm, clump=event.clump)
    fallen = _placed(fallen, inside)
    fallen = replace(fallen, x_cm=by_hand(pan.grid, fallen.x_cm, fallen.y_cm, inside, pan.rng))
    if event.white:
        fallen = _on_white(pan, fallen)
    if event.smear_cm > 0:
        fallen = grain.smear(fallen, event.smear_cm, pan.rng)
        bounded = fallen.x_cm % pan.grid.length_cm if pan.grid.round_the_loop else np.clip(fallen.x_cm, 0, pan.grid.length_cm)
        fallen = replace(fallen, x_cm=bounded)
    by_ice = event.over_s is None and pan.ice_s > 0
    over = pan.ice_s if by_ice else event.over_s
    shares = np.asarray(event.dyes_mg) / total
    pan.powders.append(Powder(fallen, shares, event.acid_mmol / total, FACE, np.zeros(fallen.mass_mg.size), over, by_ice))
    pan.added_mg += shares * fallen.mass_mg.sum()
    pan.acid_added += event.acid_mmol / total * float(fallen.mass_mg.sum())


def _placed(fallen: Grains, inside: Bands) -> Grains:
    """Chance places along all bands put end to end, moved to where the bands are."""
    x, start = fallen.x_cm.copy(), 0.0
    for low, high in inside:
        here = (fallen.x_cm >= start) & (fallen.x_cm < start + high - low)
        x[here] = fallen.x_cm[here] - start + low
        start += high - low
    return replace(fallen, x_cm=x)


def _on_white(pan: Pan, fallen: Grains) -> Grains:
    """Places drawn by how white the face is there."""
    dye = pan.field.fibre[:, 0].sum(axis=0) / pan.half_mg_cm2 + pan.field.liquor[:, FACE].sum(axis=0) / pan.half_mg_cm2
    weight = np.cumsum(np.exp(-dye.astype(float) / WHITE_BELOW_G_G).ravel())
    cells = np.minimum(np.searchsorted(weight, pan.rng.uniform(0, weight[-1], fallen.x_cm.size)), weight.size - 1)
    row, column = np.divmod(cells, pan.grid.columns)
    jitter = pan.rng.uniform(0, 1, (2, cells.size))
    return replace(fallen, x_cm=(column + jitter[0]) * pan.grid.dx_cm, y_cm=(row + jitter[1]) * pan.grid.dy_cm)


def _pour(pan: Pan, event: Pour) -> None:
    inside, share = share_on_grid(pan, event.bands)
    if share > 0:
        mask = band_mask(pan, inside, event.edge_cm)
        mask /= max(float(mask.sum()) * pan.grid.cell_cm2, 1e-300)
        _lay(pan, event.dyes_mg, share, mask, FACE)
        amount = event.acid_mmol * share
        pan.field.acid[FACE] += (amount * mask).astype(pan.field.acid.dtype)
        pan.acid_added += amount
    pan.free_cm += event.volume_ml / pan.session.laid.floor_cm2
    pan.thick = min(pan.thick, event.thick)


def band_mask(pan: Pan, inside: Bands, edge_cm: float) -> Array:
    """1 within the bands, 0 outside; edges wander from strand to strand, and strands take more or less."""
    grid, strand = pan.grid, pan.session.parameters.yarn.strand_cm
    x = (np.arange(grid.columns) + 0.5) * grid.dx_cm
    strands = int(np.ceil(grid.width_cm / strand)) + 1
    of_row = np.minimum((np.arange(grid.rows) * grid.dy_cm / strand).astype(int), strands - 1)
    mask = np.zeros(grid.shape)
    whole = len(inside) == 1 and inside[0][0] <= 0 and inside[0][1] >= grid.length_cm - 1e-9
    over_tie = grid.round_the_loop and any(low <= 0 for low, _ in inside) and any(high >= grid.length_cm - 1e-9 for _, high in inside)
    for low, high in inside:
        if whole:
            mask += 1
            continue
        left, right = (edge + edge_cm * pan.rng.standard_normal(strands)[of_row] for edge in (low, high))
        if over_tie:  # bands that meet at the tie are one stroke: no edge there
            left, right = (left - grid.length_cm if low <= 0 else left), (right + grid.length_cm if high >= grid.length_cm - 1e-9 else right)
        mask += _soft(x[None, :] - left[:, None], grid.dx_cm) * _soft(right[:, None] - x[None, :], grid.dx_cm)
    return np.asarray(mask * pan.row_gain[:, None])


def _soft(distance: Array, cell_cm: float) -> Array:
    return np.asarray(np.clip(0.5 + distance / max(0.1, cell_cm), 0, 1))


def _kettle(pan: Pan, event: Kettle) -> None:
    grid = pan.grid
    x = (np.arange(grid.columns) + 0.5) * grid.dx_cm
    y = (np.arange(grid.rows) + 0.5) * grid.dy_cm
    mask = np.zeros(grid.shape)
    for along, across in event.points:
        away = np.abs(x - along)
        away = np.minimum(away, grid.length_cm - away) if grid.round_the_loop else away
        mask += np.exp(-0.5 * (away[None, :] / event.spot_cm) ** 2 - 0.5 * ((y[:, None] - across * grid.width_cm) / event.spot_cm) ** 2)
    on_grid = float(mask.sum()) * grid.cell_cm2
    if grid.round_the_loop:
        _, share = share_on_grid(pan, ())
    else:  # a panel holds what falls on it of its own skein's spots
        share = min(1.0, on_grid / (2 * np.pi * event.spot_cm**2 * len(event.points) * pan.session.laid.skeins))
    if on_grid > 0:
        _lay(pan, event.dyes_mg, share, mask / on_grid, FREE if pan.free_cm > 0 else FACE)
    pan.free_cm += event.volume_ml / pan.session.laid.floor_cm2


def _bath(pan: Pan, event: Bath) -> None:
    _, share = share_on_grid(pan, ())
    pan.free_cm += event.volume_ml / pan.session.laid.floor_cm2
    even = np.full(pan.grid.shape, 1 / pan.grid.area_cm2)
    if pan.free_cm > 0:
        _lay(pan, event.dyes_mg, share, even, FREE)
    else:
        for layer in (FACE, BACK):
            _lay(pan, event.dyes_mg, share / 2, even, layer)
    _acid(pan, event.acid_mmol)


def _lay(pan: Pan, dyes_mg: Amounts, share: float, per_cm2: Array, layer: int) -> None:
    for i, mg in enumerate(dyes_mg):
        if mg > 0:
            pan.field.liquor[i, layer] += (mg * share * per_cm2).astype(pan.field.liquor.dtype)
            pan.added_mg[i] += mg * share


def _acid(pan: Pan, mmol: float) -> None:
    """Acid into the free water, or into what the yarn holds."""
    if mmol <= 0:
        return
    _, share = share_on_grid(pan, ())
    per_cm2 = mmol * share / pan.grid.area_cm2
    if pan.free_cm > 0:
        pan.field.acid[FREE] += per_cm2
    else:
        pan.field.acid[1:] += per_cm2 / 2
    pan.acid_added += mmol * share


def _take(pan: Pan, layers: slice, share: float) -> None:
    """Away with a share of the liquor of some layers, dye and mobile acid; what the fibre has bound stays."""
    from skeinwright.core.spread.acid import mobile

    cell = pan.grid.cell_cm2
    pan.removed_mg += share * pan.field.liquor[:, layers].sum(axis=(1, 2, 3), dtype=np.float64) * cell
    pan.field.liquor[:, layers] *= 1 - share
    for layer in range(*layers.indices(3)):
        total = pan.field.acid[layer]
        free = total if layer == FREE else mobile(total, pan.b_max, pan.a_half).astype(total.dtype)
        pan.acid_removed += share * float(free.sum(dtype=np.float64)) * cell
        total -= share * free


def _pour_off(pan: Pan, depth_cm: float) -> None:
    if pan.free_cm > 0:
        share = min(1.0, depth_cm / pan.free_cm)
        _take(pan, slice(0, 1), share)
        pan.free_cm *= 1 - share


def _squeeze(pan: Pan, leave_g_g: float) -> None:
    _take(pan, slice(0, 1), 1.0)
    pan.free_cm = 0.0
    left_cm = leave_g_g * pan.half_mg_cm2 / 1000
    if left_cm < pan.held_cm:
        _take(pan, slice(1, 3), 1 - left_cm / pan.held_cm)
        pan.held_cm = left_cm


def leave_liquor(pan: Pan) -> None:
    """Out of the free water, which stays behind with the dye and acid in it."""
    _take(pan, slice(0, 1), 1.0)
    pan.free_cm = 0.0


def _rinse(pan: Pan, temp_c: float) -> None:
    _take(pan, slice(0, 3), 1.0)
    for powder in pan.powders:
        left = powder.left_mg()
        pan.removed_mg += powder.shares * left
        pan.acid_removed += powder.acid_per_mg * left
    pan.powders = []
    pan.free_cm, pan.temp_c, pan.thick, pan.ice_s = 0.0, temp_c, 1.0, 0.0
    pan.held_cm = max(pan.held_cm, pan.session.parameters.yarn.held_g_g * pan.half_mg_cm2 / 1000)


def _turn(pan: Pan) -> None:
    pan.field.turn()
    turn_ties(pan)
    pan.row_gain = pan.row_gain[::-1].copy()
    pan.turns += 1
    for powder in pan.powders:
        powder.layer = BACK if powder.layer == FACE else FACE
        powder.grains = replace(powder.grains, y_cm=pan.grid.width_cm - powder.grains.y_cm)


def _open_up(pan: Pan, wider: float) -> None:
    """The same yarn over more area: rows grow wider and all they carry lies thinner. Free water is over the pan, not the yarn: it stays as deep."""
    for values in (pan.field.fibre, pan.field.liquor, pan.field.acid, *(tie.fibre for tie in pan.ties)):
        values /= wider
    pan.half_mg_cm2 /= wider
    pan.held_cm /= wider
    pan.grid = replace(pan.grid, dy_cm=pan.grid.dy_cm * wider)
    pan.field.grid = pan.grid
    for powder in pan.powders:
        powder.grains = replace(powder.grains, y_cm=powder.grains.y_cm * wider)
