"""After a trial has been dyed and measured: what the dyes really did, what to add to that skein, and the recipe for the next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet
from skeinwright.core.colour.match import DEEPEST
from skeinwright.core.colour.mixing import SURFACE
from skeinwright.core.colour.solve import TIGHT, Indices, Solver
from skeinwright.core.colour.spaces import lab_slope, spectrum_to_xyz, xyz_to_lab
from skeinwright.core.colour.tables import Array, weights, white_xyz

STRENGTH_SD = 0.15
"""How far a dye's effect in one pot strays from what was intended, as a standard deviation of its logarithm [assumed]."""
_ROUNDS = 30


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Correction:
    """`strengths` {dye: measured effect / intended}; the next recipe and the top-up as {dye: depth}, each with the CIEDE2000 to the target that is left.

    A top-up only adds: where the trial is too deep already, it is empty and `top_up_de00` is the trial's own distance.
    `real` are the dyes as strong as the trial showed them, over the trial's ground, `aim` the Lab that they have to make in `light`.
    """

    strengths: Mapping[str, float]
    trial_de00: float
    recipe: Mapping[str, float]
    recipe_de00: float
    top_up: Mapping[str, float]
    top_up_de00: float
    notes: tuple[str, ...]
    real: DyeSet = field(repr=False)
    aim: Array = field(repr=False)
    light: tuple[str, int] = ("D65", 10)

    def left_by(self, depths: Mapping[str, float]) -> float:
        """CIEDE2000 to the target that a skein keeps which has these depths {dye: depth} in all: of amounts as rounded, say."""
        return float(ciede2000(self.aim, self.real.labs(self.real.depths_of(depths), *self.light)))


def correct(
    dyes: DyeSet,
    doses: Mapping[str, float],
    target: Array,
    measured: Array,
    *,
    reading_sd: float = 1.0,
    deepest: float = DEEPEST,
    illuminant: str = "D65",
    observer: int = 10,
) -> Correction:
    """What a trial dyed with `doses` {dye: depth} and read as `measured` (Lab) says, for a `target` (Lab of the same light).

    The factors f_i scale each dye's K/S; they minimise |Lab(f) - measured|^2/sd^2 + sum (ln f_i)^2/0.15^2. What they leave unexplained is taken off the target.
    The next recipe solves for the target with the dyes scaled by f; the top-up adds to the trial, so nothing in it is below 0.
    """
    target, measured = np.asarray(target, dtype=float), np.asarray(measured, dtype=float)
    used = np.array([dyes.names.index(name) for name in doses], dtype=np.intp)
    amounts = dyes.amounts(dyes.depths_of(doses))
    factors = np.ones(len(dyes.names))
    factors[used], built = _factors(dyes, used, amounts, measured, reading_sd, illuminant, observer)
    aim = target - (measured - built)
    real = replace(dyes, ks=dyes.ks * factors[:, None])
    limits = np.full(len(dyes.names), deepest)
    solver = Solver(real, aim, limits, illuminant=illuminant, observer=observer)
    fresh = solver.solve(used[None], start=amounts[used][None], enough=TIGHT, thrift=1e-6)
    recipe = real.depths(_dense(fresh.amounts[0], used, dyes))
    dyed = replace(real, ground=real.spectra(dyes.depths_of(doses)), base_ks=real.base_ks + amounts @ real.ks)
    solver = Solver(dyed, aim, limits, illuminant=illuminant, observer=observer)
    added = solver.solve(used[None], start=np.full((1, len(used)), 1e-4), enough=TIGHT, thrift=1e-6)
    top_up = np.maximum(real.depths(amounts + _dense(added.amounts[0], used, dyes)) - dyes.depths_of(doses), 0)
    top_up = np.where(top_up < 1e-5, 0.0, top_up)
    here, there = float(ciede2000(target, measured)), float(ciede2000(aim, added.lab[0]))
    if not top_up.any():
        there = here
    notes = []
    if here > 1 and (not top_up.any() or there > 0.5 * here):
        notes.append("A top-up cannot bring this skein to the target: what is too deep already cannot be taken away.")
    return Correction(
        strengths={dyes.names[index]: float(factors[index]) for index in used},
        trial_de00=here,
        recipe=dyes.doses_of(recipe),
        recipe_de00=float(ciede2000(aim, fresh.lab[0])),
        top_up=dyes.doses_of(top_up),
        top_up_de00=there,
        notes=tuple(notes),
        real=real,
        aim=aim,
        light=(illuminant, observer),
    )


def _dense(amounts: Array, used: Indices, dyes: DyeSet) -> Array:
    dense = np.zeros(len(dyes.names))
    dense[used] = amounts
    return dense


def _factors(dyes: DyeSet, used: Indices, amounts: Array, measured: Array, sd: float, illuminant: str, observer: int) -> tuple[Array, Array]:
    """The factors of the used dyes, and the Lab that they give."""
    table, white = weights(illuminant, observer), white_xyz(illuminant, observer)
    layers = amounts[used, None] * dyes.ks[used]
    log_f = np.zeros(len(used))

    def look(at: Array) -> tuple[Array, Array]:
        part = np.exp(at)[:, None] * layers
        q = dyes.base_ks + part.sum(axis=0)
        root = np.sqrt(q * (q + 2))
        reflectance = 1 / (1 + q + root)
        xyz = spectrum_to_xyz((1 - SURFACE) * reflectance + SURFACE, illuminant, observer)
        slope = lab_slope(xyz, white) @ table.T @ (-(1 - SURFACE) * reflectance / np.maximum(root, 1e-9) * part).T
        return xyz_to_lab(xyz, white), slope

    for _ in range(_ROUNDS):
        lab, slope = look(log_f)
        matrix = slope.T @ slope / sd**2 + np.eye(len(used)) / STRENGTH_SD**2
        step = np.linalg.solve(matrix, slope.T @ (measured - lab) / sd**2 - log_f / STRENGTH_SD**2)
        log_f = log_f + np.clip(step, -0.3, 0.3)
        if np.abs(step).max() < 1e-8:
            break
    return np.exp(log_f), look(log_f)[0]
