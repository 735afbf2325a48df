"""The full forecast: a session run step by step.

One step of dt:  powder dissolves dt/2, strike dt/2, exchange dt/2, spreading dt, exchange dt/2, strike dt/2, powder dt/2, with water and heat as they are at
the step's middle. The order reads the same from both ends, so it is right to second order (strang-1968). Spreading, exchange and strike are each exact and
conserving, so dt is limited by the splitting alone:
5 s after anything is done, up to 25 s when all is quiet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import DTypeLike

from skeinwright.core.spread import grains, transport
from skeinwright.core.spread.acid import mobile
from skeinwright.core.spread.actions import act, band_mask, leave_liquor, share_on_grid
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Dip, Event, Heat, Session, Steam, Wait, Withdraw
from skeinwright.core.spread.exchange import over, rates
from skeinwright.core.spread.field import FACE, FREE
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.ice import melt
from skeinwright.core.spread.ledger import Ledger, ledger_of
from skeinwright.core.spread.soaking import leave_behind
from skeinwright.core.spread.state import Pan, Powder, start
from skeinwright.core.spread.tied import draw_out, untied
from skeinwright.core.spread.water import ACID_FASTER, Movement, dye_movement, face_under_water, movement, steams_cm_s

Progress = Callable[[float], None]
Cancel = Callable[[], bool]

QUIET = ((120.0, 5.0), (360.0, 12.0), (float("inf"), 30.0))
"""(seconds after the last event, longest step)."""
NOTHING_S = 60.0
"""Longest step while there is no dye in the pan: heat and water only."""
STEAMS_FROM_C = 60.0
"""Cooler than this a pan is not minded for running dry."""
NEARLY_ALL = 0.1
"""Share of the dye in liquor from which it is kept where that liquor lies."""
_ACID_25_CM2_S = 4.5e-6 * ACID_FASTER


class Cancelled(Exception):
    """The run was given up before its end; nothing is kept."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A moment of the film: dye on the yarn, struck or in the liquor it holds, (dyes, 2, rows, columns) g/g in small planes; `event` is what was going on."""

    time_s: float
    what: str
    dye: Array
    event: int = 0


@dataclass(frozen=True, slots=True)
class Spreading:
    """What a run leaves: dye on fibre (dyes, 2, rows, columns) in g/g (face 0 lies up at the end), the ledger, and the pan's state."""

    session: Session
    grid: Grid
    dye: Array
    ledger: Ledger
    time_s: float
    temp_c: float
    free_cm: float
    held_cm: float
    steps: int
    quick: bool = False
    film: tuple[Frame, ...] = ()
    notes: tuple[str, ...] = ()
    lying: Array | None = None
    """Dye in liquor where it lies, as `dye`, g a g of fibre; None where nearly all has struck."""
    dry_at_s: float | None = None
    """When the free water had steamed away, in a hot pan."""
    opened: float = 1.0
    """How many times the area that it was laid on the yarn covers at the end."""

    @property
    def liquor_left_ml(self) -> float:
        """Free water and what the yarn holds, in the whole pan."""
        laid = self.session.laid
        return self.free_cm * laid.floor_cm2 + 2 * self.held_cm * laid.area_cm2 * self.opened


@dataclass(slots=True)
class Runner:
    """Runs a pan through events."""

    pan: Pan
    threads: int = 1
    fineness: float = 1.0
    progress: Progress | None = None
    cancel: Cancel | None = None
    film_every_s: float | None = None
    whole_s: float = 1.0
    steps: int = 0
    film: list[Frame] = field(default_factory=list)
    event: int = 0

    def do(self, event: Event) -> None:
        """One event: an act, or time."""
        pan = self.pan
        if isinstance(event, Wait):
            self.run(event.time_s)
        elif isinstance(event, Heat):
            change = event.to_c - pan.temp_c
            if abs(change) > 1e-9:
                pan.since_s = 0.0
                self.run(abs(change) / max(event.c_per_s, 1e-6), change / abs(change) * event.c_per_s, event.to_c)
        elif isinstance(event, Steam):
            pan.steaming, before = True, pan.temp_c
            pan.temp_c = event.temp_c
            self.run(event.time_s)
            pan.steaming, pan.temp_c = False, before
        elif isinstance(event, Dip):
            self._dip(event)
        elif isinstance(event, Withdraw):
            on_fibre = pan.field.fibre.copy()
            self.run(event.time_s)
            draw_out(pan, on_fibre)
            leave_liquor(pan)
        else:
            act(pan, event)

    def run(self, time_s: float, c_per_s: float = 0.0, to_c: float | None = None) -> None:
        """Let `time_s` pass, heating evenly on the way."""
        pan, left = self.pan, time_s
        while left > 1e-9:
            empty = not pan.powders and not pan.field.liquor.any() and even(pan.field.acid)
            longest = NOTHING_S if empty else next(step for until, step in QUIET if pan.since_s < until) / self.fineness
            step = left / max(1, int(np.ceil(left / longest - 1e-9)))
            advance(pan, min(step, left), c_per_s, self.threads, empty=empty)
            left -= step
            self.steps += 1
            if self.cancel is not None and self.cancel():
                raise Cancelled
            if self.progress is not None:
                self.progress(min(1.0, pan.time_s / self.whole_s))
            if self.film_every_s is not None and pan.time_s >= len(self.film) * self.film_every_s:
                self.film.append(frame(pan, self.event))
        if to_c is not None:
            pan.temp_c = to_c

    def _dip(self, event: Dip) -> None:
        pan = self.pan
        inside, _ = share_on_grid(pan, event.bands)
        mask = np.clip(band_mask(pan, inside, 0.3), 0, 1) > 0.5
        pan.since_s = 0.0
        steps = max(1, int(np.ceil(event.time_s / 5)))
        for _ in range(steps):
            for i, c in enumerate(event.dyes_mg_cm3):
                for layer in (1, 2):
                    plane = pan.field.liquor[i, layer]
                    before = float(plane.sum(dtype=np.float64))
                    plane[mask] = c * pan.held_cm
                    pan.added_mg[i] += (float(plane.sum(dtype=np.float64)) - before) * pan.grid.cell_cm2
            self.run(event.time_s / steps)


def full(
    session: Session,
    grid: Grid,
    seed: int = 1,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
    *,
    threads: int = 1,
    dtype: DTypeLike = np.float32,
    fineness: float = 1.0,
    film_every_s: float | None = None,
    ground: Array | None = None,
) -> Spreading:
    """Run `session` on `grid`. The same seed gives the same grains; `fineness` divides every step. Raises `Cancelled` when `cancel()` says so."""
    pan = start(session, grid, np.random.default_rng(seed), dtype, ground)
    runner = Runner(pan, threads, fineness, progress, cancel, film_every_s, max(1.0, length_s(session)))
    for place, event in enumerate(session.events):
        runner.event = place
        runner.do(event)
    if film_every_s is not None:
        runner.film.append(frame(pan, runner.event))
    return result(pan, runner.steps, tuple(runner.film))


def result(pan: Pan, steps: int, film: tuple[Frame, ...] = ()) -> Spreading:
    """What the pan shows now."""
    dye = (untied(pan) / pan.half_mg_cm2).astype(np.float32)
    ledger = ledger_of(pan)
    lying = _lying(pan) if ledger.left_in_bath > NEARLY_ALL else None
    return Spreading(
        pan.session,
        pan.grid,
        dye,
        ledger,
        pan.time_s,
        pan.temp_c,
        pan.free_cm,
        pan.held_cm,
        steps,
        film=film,
        notes=pan.session.notes,
        lying=lying,
        dry_at_s=pan.dry_at_s,
        opened=pan.session.parameters.yarn.half_mg_cm2 / pan.half_mg_cm2,
    )


def _lying(pan: Pan) -> Array:
    """Liquor over its half of the yarn; free water counts with the face, which lies under it."""
    lying = pan.field.liquor[:, 1:].copy()
    lying[:, 0] += pan.field.liquor[:, FREE]
    return np.asarray(lying / pan.half_mg_cm2, dtype=np.float32)


def length_s(session: Session) -> float:
    """How long the session takes."""
    total, temp_c = 0.0, session.temp_c
    for event in session.events:
        if isinstance(event, Wait | Dip | Steam | Withdraw):
            total += event.time_s
        elif isinstance(event, Heat):
            total += abs(event.to_c - temp_c) / max(event.c_per_s, 1e-6)
            temp_c = event.to_c
    return total


def advance(pan: Pan, step_s: float, c_per_s: float = 0.0, threads: int = 1, *, empty: bool = False) -> None:
    """One step of the pan, in place. Where it is `empty` of dye, dye that is on the fibre stays there and acid comes to rest between the layers."""
    from skeinwright.core.spread import kernels

    _water(pan, step_s / 2, c_per_s)
    if empty:
        _acid_to_rest(pan, step_s)
        _water(pan, step_s / 2, c_per_s)
        pan.time_s += step_s
        pan.since_s += step_s
        return
    dtype, yarn, dyes = pan.field.acid.dtype, pan.session.parameters.yarn, pan.session.dyes
    params = pan.session.parameters.pan
    moves = [dye_movement(dye, pan.temp_c, pan.free_cm, pan.held_cm, yarn, params, thick=pan.thick) for dye in dyes]
    acid_move = _acid_movement(pan)
    _release(pan, step_s / 2)
    k = np.array([dye.strike_per_s(pan.temp_c) for dye in dyes], dtype)
    kd = np.array([dye.loosen_per_s(pan.temp_c) for dye in dyes], dtype)
    most = np.array([dye.full_share * pan.half_mg_cm2 for dye in dyes], dtype)
    e = over(np.array([rates(move.kappas, pan.free_cm, pan.held_cm) for move in (*moves, acid_move)]), step_s / 2).astype(dtype)
    e, ea = e[:-1], e[-1]
    p = kernels.constants(pan.b_max, pan.a_half, yarn.phi0, yarn.phi_half, dtype)
    field = pan.field
    flat = even(field.acid)
    kernels.react(field.liquor, field.fibre, field.acid, k, kd, most, e, ea, step_s / 2, p, strike_first=True, flat=flat, threads=threads)
    _spread(pan, moves, acid_move, step_s, p, flat, threads)
    kernels.react(field.liquor, field.fibre, field.acid, k, kd, most, e, ea, step_s / 2, p, strike_first=False, flat=flat, threads=threads)
    _release(pan, step_s / 2)
    _water(pan, step_s / 2, c_per_s)
    pan.time_s += step_s
    pan.since_s += step_s


def _acid_to_rest(pan: Pan, step_s: float) -> None:
    """Exchange of even acid, worked out in one cell."""
    if pan.acid_added <= 0:
        return
    move = _acid_movement(pan)
    column = pan.field.acid[:, 0, 0].astype(np.float64)
    for _ in range(10):
        free = np.array([column[0], *mobile(column[1:], pan.b_max, pan.a_half)])
        column = column + over(rates(move.kappas, pan.free_cm, pan.held_cm), step_s / 10) @ free - free
    pan.field.acid[:] = column[:, None, None]


def _acid_movement(pan: Pan) -> Movement:
    from skeinwright.core.bath.kinetics import water_diffusion_m2_s

    parameters = pan.session.parameters
    diffusion = 1e4 * water_diffusion_m2_s(pan.temp_c, _ACID_25_CM2_S * 1e-4)
    return movement(diffusion, pan.temp_c, pan.free_cm, pan.held_cm, parameters.yarn, parameters.pan)


def _spread(pan: Pan, moves: list[Movement], acid: Movement, step_s: float, p: Array, flat: bool, threads: int) -> None:
    from skeinwright.core.spread import kernels

    field, grid = pan.field, pan.grid
    for i, move in enumerate(moves):
        if move.along[FACE] == move.along[2] and move.across[FACE] == move.across[2]:
            transport.spread(field.liquor[i, 1:], grid, move.along[FACE] * step_s, move.across[FACE] * step_s, threads=threads)
        if pan.free_cm > 0:
            transport.spread(field.liquor[i, :1], grid, move.along[FREE] * step_s, move.across[FREE] * step_s, threads=threads)
    if flat:
        return
    if pan.free_cm > 0:
        transport.spread(field.acid[:1], grid, acid.along[FREE] * step_s, acid.across[FREE] * step_s, threads=threads)
    for layer in (1, 2):
        free = kernels.take_mobile(field.acid[layer], p)
        transport.spread(free[None], grid, acid.along[layer] * step_s, acid.across[layer] * step_s, threads=threads)
        field.acid[layer] += free


def even(acid: Array) -> bool:
    """True where acid is the same in all cells of each layer: then there is nothing to spread."""
    corner = acid[:, :1, :1]
    return bool((acid[:, ::7, ::7] == corner).all()) and bool((acid == corner).all())


def _release(pan: Pan, step_s: float) -> None:
    """Powder into solution: stamped where it lies, half of the covered share into the free water."""
    from skeinwright.core.spread import kernels

    if not pan.powders:
        return
    w = face_under_water(pan.free_cm)
    still: list[Powder] = []
    for powder in pan.powders:
        amount = _dissolving_mg(pan, powder, step_s)
        plane = np.zeros(pan.grid.shape, pan.field.acid.dtype)
        g = powder.grains
        footprint = pan.session.parameters.powder.footprint
        kernels.stamp(plane, amount, g.x_cm, g.y_cm, footprint * g.radius_cm, pan.grid.dx_cm, pan.grid.dy_cm, pan.grid.round_the_loop, pan.row_gain)
        one = plane.dtype.type
        for i, share in enumerate(powder.shares):
            if share > 0:
                pan.field.liquor[i, powder.layer] += one(share * (1 - w / 2)) * plane
                if w > 0:
                    pan.field.liquor[i, FREE] += one(share * w / 2) * plane
        if powder.acid_per_mg > 0:
            pan.field.acid[powder.layer] += one(powder.acid_per_mg) * plane
        if (powder.done < 1).any():
            still.append(powder)
    pan.powders = still


def _dissolving_mg(pan: Pan, powder: Powder, step_s: float) -> Array:
    """What each grain gives off in this step; updates how far it is."""
    g, before = powder.grains, powder.done
    if powder.over_s is not None:
        powder.done = np.minimum(1.0, before + step_s / powder.over_s)
        return np.asarray(g.mass_mg * (powder.done - before))
    parameters = pan.session.parameters.powder
    diffusion = float(sum(share * dye.diffusion_cm2_s(pan.temp_c) for share, dye in zip(powder.shares, pan.session.dyes, strict=True)))
    still = parameters.dissolves_s(1.0, diffusion, damp=pan.free_cm <= 0)
    powder.done = grains.progress(step_s, still * g.radius_cm**2, before)
    return np.asarray(g.mass_mg * ((1 - before) ** 1.5 - (1 - powder.done) ** 1.5))


def _water(pan: Pan, time_s: float, c_per_s: float) -> None:
    """Heat and the falling level over half a step; when free water is gone the yarn itself dries, down to what the model leaves it."""
    pan.temp_c = min(pan.temp_c + c_per_s * time_s, 100.0)
    melt(pan, time_s)
    if pan.steaming:
        return
    lost = steams_cm_s(pan.temp_c, pan.session.parameters.pan, lid=pan.lid) * time_s
    from_free = min(lost, pan.free_cm)
    if 0 < from_free < lost and pan.temp_c >= STEAMS_FROM_C and pan.dry_at_s is None:
        pan.dry_at_s = pan.time_s + time_s * from_free / lost
    pan.free_cm -= from_free
    if from_free > 0 and pan.free_cm <= 0:
        leave_behind(pan)
    least = pan.session.parameters.yarn.least_held_g_g * pan.half_mg_cm2 / 1000
    pan.held_cm = max(min(pan.held_cm, least), pan.held_cm - (lost - from_free) / 2)


FRAME_ROWS, FRAME_COLUMNS = 72, 700
"""A film's frame has no more rows and columns than these: means of whole cells."""


def frame(pan: Pan, event: int) -> Frame:
    """The yarn now."""
    down, along = (max(1, -(-cells // most)) for cells, most in zip(pan.grid.shape, (FRAME_ROWS, FRAME_COLUMNS), strict=True))
    rows, columns = pan.grid.rows // down, pan.grid.columns // along
    seen = (untied(pan) + pan.field.liquor[:, 1:])[:, :, : rows * down, : columns * along]
    dye = seen.reshape(*seen.shape[:2], rows, down, columns, along).mean(axis=(3, 5)) / pan.half_mg_cm2
    return Frame(pan.time_s, f"{pan.temp_c:.0f} C", dye.astype(np.float16), event)
