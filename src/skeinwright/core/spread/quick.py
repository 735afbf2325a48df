"""The quick forecast: everything laid down at one moment goes on in one spectral solve instead of hundreds of steps.

With strike k, exchange X and spreading D held as they are when the dye comes down, and sites that never fill, the dye that has struck in the end is, mode
by mode,

    s = diag(k) (diag(k_l + Dx_l L_x + Dy_l L_y) - X)^-1 P,   k = (0, k g, k g)

a 3 x 3 adjugate for each mode of P, what was laid in the three layers. Heat that is still to come counts: k is such that dye goes as far before it strikes
as in the heat ahead,

    <r^2> = 4 integral D(T) e^(-K) dt,  K = integral k(T) g dt;   D and X at the temperature at which half of it has struck

and the share that has struck by the end, or by the next rinse, is taken from the mean rates without space. It leaves out: filling sites, water that falls
meanwhile, powder that dissolves slowly, acid that moves. Good for sliders; the full forecast has the last word.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import DTypeLike

from skeinwright.core.spread.actions import act, leave_liquor
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.events import Dip, Event, Heat, Lid, Rinse, Session, Steam, Wait, Withdraw
from skeinwright.core.spread.exchange import rates
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.parameters import DyeParameters
from skeinwright.core.spread.state import Pan, filled, start
from skeinwright.core.spread.stepper import Spreading, _water, result
from skeinwright.core.spread.tied import draw_out
from skeinwright.core.spread.transport import symbol
from skeinwright.core.spread.water import THIN_CM, Movement, dye_movement, face_under_water, steams_cm_s

PARTS = 8
"""Pieces that a stretch of heat or time is cut into."""
Coming = tuple[tuple[float, float, bool], ...]
"""(seconds, C, whether nothing steams away: under a lid or in steam) one after another."""
_NOTHING = 1e-6
"""Share of the dye below which the solve is taken to lay none of it on a half."""
_NEVER = 1e-7
"""Keeps a layer without exchange or strike from being singular, 1/s."""


def one_shot(laid: Array, grid: Grid, move: Movement, x: Array, k_per_s: tuple[float, float], *, threads: int = 1) -> Array:
    """Dye struck in the end (2, rows, columns) from `laid` (3, rows, columns)."""
    from scipy import fft

    def there(plane: Array) -> Array:
        if not grid.round_the_loop:
            return np.asarray(fft.dctn(plane, norm="ortho", workers=threads))
        return np.asarray(fft.rfft(fft.dct(plane, axis=0, norm="ortho", workers=threads), axis=1, workers=threads))

    def back(modes: Array) -> Array:
        if not grid.round_the_loop:
            return np.asarray(fft.idctn(modes, norm="ortho", workers=threads, overwrite_x=True))
        return np.asarray(fft.idct(fft.irfft(modes, n=grid.columns, axis=1, workers=threads), axis=0, norm="ortho", workers=threads))

    lx = symbol(grid.columns, grid.dx_cm, closed=grid.round_the_loop).astype(laid.dtype)[None, :]
    ly = symbol(grid.rows, grid.dy_cm, closed=False).astype(laid.dtype)[:, None]
    p = [there(plane) if plane.any() else None for plane in laid]
    strike = (0.0, *k_per_s)
    m = [move.along[i] * lx + move.across[i] * ly + laid.dtype.type(strike[i] - x[i, i] + _NEVER) for i in range(3)]
    modes = solve(m, x.astype(laid.dtype), p)
    return np.stack([np.maximum(back(laid.dtype.type(strike[i]) * modes[i - 1]), 0) for i in (1, 2)])


def solve(m: list[Array], x: Array, p: list[Array | None]) -> tuple[Array, Array]:
    """Components 1 and 2 of (diag(m) - offdiag(x))^-1 p, mode by mode, by the adjugate."""
    a, b, c = m
    x01, x02, x10, x12, x20, x21 = x[0, 1], x[0, 2], x[1, 0], x[1, 2], x[2, 0], x[2, 1]
    inner = b * c - x12 * x21
    per = 1 / (a * inner - x01 * (x10 * c + x12 * x20) - x02 * (x10 * x21 + b * x20))
    one, two = np.zeros_like(inner), np.zeros_like(inner)
    if p[0] is not None:
        one, two = one + (x10 * c + x12 * x20) * p[0], two + (x10 * x21 + b * x20) * p[0]
    if p[1] is not None:
        one, two = one + (a * c - x02 * x20) * p[1], two + (a * x21 + x01 * x20) * p[1]
    if p[2] is not None:
        one, two = one + (a * x12 + x02 * x10) * p[2], two + (a * b - x01 * x10) * p[2]
    return one * per, two * per


def quick(session: Session, grid: Grid, seed: int = 1, *, threads: int = 1, dtype: DTypeLike = np.float32, ground: Array | None = None) -> Spreading:
    """Run `session` with one solve for each dye each time something was laid. The same seed lays the same grains as the full forecast on the same grid."""
    pan = start(session, grid, np.random.default_rng(seed), dtype, ground)
    left = np.zeros(len(session.dyes))
    pending = False
    for place, event in enumerate(session.events):
        if isinstance(event, Wait | Heat | Steam | Dip):
            if pending or isinstance(event, Dip):
                left += _settle(pan, event, ahead(session, place, pan.temp_c, lid=pan.lid), threads)
                pending = False
            _pass(pan, event)
        elif isinstance(event, Withdraw):
            before = pan.field.fibre.copy()
            if pending:
                pan.removed_mg += _settle(pan, event, ((event.time_s, pan.temp_c, pan.lid),), threads)
                pending = False
            _pass(pan, Wait(event.time_s))
            draw_out(pan, before)
            leave_liquor(pan)
        else:
            if isinstance(event, Rinse):
                pan.removed_mg += left
                left[:] = 0
            act(pan, event)
            pending = pending or bool(pan.powders) or bool(pan.field.liquor.any())
    if pending:
        left += _settle(pan, Wait(0.0), (), threads)
    for i, rest in enumerate(left):
        pan.field.liquor[i, 0 if pan.free_cm > 0 else 1] += pan.field.liquor.dtype.type(rest / pan.grid.area_cm2)
    return replace(result(pan, 0), quick=True, notes=(*session.notes, "Quick forecast: the full one follows where speckles matter."))


def ahead(session: Session, place: int, temp_c: float, *, lid: bool) -> Coming:
    """The heat from event number `place` on, to the next rinse or withdrawal, or to the end."""
    return tuple(piece for _, piece in ahead_by_event(session, place, temp_c, lid=lid))


def ahead_by_event(session: Session, place: int, temp_c: float, *, lid: bool) -> tuple[tuple[int, tuple[float, float, bool]], ...]:
    """The pieces of `ahead`, each with the number of its event."""
    found: list[tuple[int, tuple[float, float, bool]]] = []
    for number, event in enumerate(session.events[place:], start=place):
        if isinstance(event, Rinse | Withdraw):
            break
        if isinstance(event, Lid):
            lid = event.on
        elif isinstance(event, Heat):
            change = event.to_c - temp_c
            found += [(number, (abs(change) / max(event.c_per_s, 1e-6) / PARTS, temp_c + change * (part + 0.5) / PARTS, lid)) for part in range(PARTS)]
            temp_c = event.to_c
        elif isinstance(event, Steam):
            found += [(number, (event.time_s / PARTS, event.temp_c, True))] * PARTS
        elif isinstance(event, Wait | Dip):
            found += [(number, (event.time_s / PARTS, temp_c, lid))] * PARTS
    return tuple(one for one in found if one[1][0] > 0)


@dataclass(frozen=True, slots=True)
class Ahead:
    """What one dye meets from here on, piece by piece: seconds, k (1/s, sites filled), the loosening, movement and exchange."""

    times: Array
    k: Array
    kd: Array
    moves: tuple[Movement, ...]
    exchange: Array

    def one_k(self, g: float) -> tuple[int, float]:
        """(the piece in which half of what strikes has struck, the k that takes the dye as far, at that piece's speed, as all pieces together do)."""
        there = np.cumsum(self.k * g * self.times)
        before = np.concatenate([[0.0], there[:-1]])
        struck = 1 - np.exp(-there)
        half = int(np.searchsorted(struck, struck[-1] / 2))
        d = np.array([move.along[1] for move in self.moves])
        stays_s = np.where(there - before > 1e-9, (np.exp(-before) - np.exp(-there)) / np.maximum(self.k * g, 1e-30), self.times * np.exp(-before))
        far = float(d @ stays_s) / max(float(struck[-1]), 1e-9)
        return half, float(d[half]) / max(far, 1e-30) / max(g, 1e-9)


def ahead_of(pan: Pan, dye: DyeParameters, coming: Coming) -> Ahead:
    """The pieces, with the water falling as it steams away; of water that is gone, a film stays in the count through which its dye goes into the yarn."""
    session, free, found = pan.session, pan.free_cm, []
    film = min(free, THIN_CM)
    for time_s, temp_c, lid in coming:
        free = max(film, free - steams_cm_s(temp_c, session.parameters.pan, lid=lid) * time_s)
        move = dye_movement(dye, temp_c, free, pan.held_cm, session.parameters.yarn, session.parameters.pan, thick=pan.thick)
        found.append((time_s, dye.strike_per_s(temp_c), dye.loosen_per_s(temp_c), move, rates(move.kappas, free, pan.held_cm)))
    times, k, kd = (np.array([one[place] for one in found]) for place in (0, 1, 2))
    return Ahead(times, k, kd, tuple(one[3] for one in found), np.array([one[4] for one in found]))


def _pass(pan: Pan, event: Event) -> None:
    """Time without space: heat and water only."""
    if isinstance(event, Heat):
        change = event.to_c - pan.temp_c
        time_s = abs(change) / max(event.c_per_s, 1e-6)
        for _ in range(24):
            _water(pan, time_s / 24, change / max(time_s, 1e-9))
            pan.time_s += time_s / 24
        pan.temp_c = event.to_c
    else:
        time_s = event.time_s if isinstance(event, Wait | Steam | Dip) else 0.0
        pan.steaming = isinstance(event, Steam)
        _water(pan, time_s, 0.0)
        pan.steaming = False
        pan.time_s += time_s


def _settle(pan: Pan, event: Event, coming: Coming, threads: int) -> Array:
    """Strike all that lies in liquor or as powder; returns what has not struck by the end, mg of each dye."""
    from skeinwright.core.spread import kernels

    w = face_under_water(pan.free_cm)
    footprint = pan.session.parameters.powder.footprint
    if isinstance(event, Dip):
        for i, c in enumerate(event.dyes_mg_cm3):
            columns = [slice(max(0, int(low / pan.grid.dx_cm)), int(np.ceil(high / pan.grid.dx_cm))) for low, high in event.bands]
            for part in columns:
                pan.field.liquor[i, 1:, :, part] += c * pan.held_cm
                pan.added_mg[i] += 2 * c * pan.held_cm * pan.grid.dy_cm * pan.grid.dx_cm * pan.field.liquor[i, 1, :, part].size
    for powder in pan.powders:
        g = powder.grains
        plane = np.zeros(pan.grid.shape, pan.field.acid.dtype)
        kernels.stamp(plane, g.mass_mg, g.x_cm, g.y_cm, footprint * g.radius_cm, pan.grid.dx_cm, pan.grid.dy_cm, pan.grid.round_the_loop, pan.row_gain)
        for i, share in enumerate(powder.shares):
            if share > 0:
                pan.field.liquor[i, powder.layer] += plane.dtype.type(share * (1 - w / 2)) * plane
                pan.field.liquor[i, 0] += plane.dtype.type(share * w / 2) * plane
        if powder.acid_per_mg:
            pan.field.acid[powder.layer] += plane.dtype.type(powder.acid_per_mg) * plane
    pan.powders = []
    left_s = sum(time_s for time_s, _, _ in coming)
    if left_s <= 0:
        return np.zeros(len(pan.session.dyes))  # no time is left: all of it lies where it fell
    yarn = pan.session.parameters.yarn
    phi = [float(half.mean()) for half in filled(pan)]
    g_of = [yarn.phi0 + (1 - yarn.phi0) * one * (1 + yarn.phi_half) / (one + yarn.phi_half) for one in phi]
    rest = np.zeros(len(pan.session.dyes))
    for i, dye in enumerate(pan.session.dyes):
        liquor = pan.field.liquor[i]
        if not liquor.any():
            continue
        way = ahead_of(pan, dye, coming)
        piece, short = way.one_k((g_of[0] + g_of[1]) / 2)
        total = liquor.sum(axis=(1, 2), dtype=np.float64)
        struck = one_shot(liquor, pan.grid, way.moves[piece], way.exchange[piece], (short * g_of[0], short * g_of[1]), threads=threads)
        share = _in_time(total, way, (g_of[0], g_of[1]))
        for half in (0, 1):
            pattern = struck[half]
            sum_ = float(pattern.sum(dtype=np.float64))
            if sum_ <= _NOTHING * total.sum():  # cut off at the one moment that is solved, but not before: it goes down as it lay
                pattern = liquor.sum(axis=0)
                sum_ = float(pattern.sum(dtype=np.float64))
            pan.field.fibre[i, half] += pattern * liquor.dtype.type(share[half] / sum_)
        rest[i] = (total.sum() - share.sum()) * pan.grid.cell_cm2
        liquor[:] = 0
    return rest


def _in_time(total: Array, way: Ahead, g: tuple[float, float]) -> Array:
    """Amounts that have struck on face and back at the end, from the same rates without space."""
    from scipy.linalg import expm

    rate = np.zeros((len(way.times), 5, 5))
    rate[:, :3, :3] = way.exchange
    for half in (0, 1):
        rate[:, half + 1, half + 1] -= way.k * g[half]
        rate[:, half + 3, half + 1] += way.k * g[half]
        rate[:, half + 1, half + 3] += way.kd
        rate[:, half + 3, half + 3] -= way.kd
    done = np.array([*total, 0.0, 0.0])
    for step in expm(rate * way.times[:, None, None]):
        done = step @ done
    return np.asarray(np.maximum(done[3:], 0))
