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
STRANGE_DE00, STRANGE_SDS = 4.0, 3.0
"""A trial that its own dyes miss by more than both, CIEDE2000 and errors of its reading, is another thing than was written down [assumed, as for a swatch]."""
WEIGHING_SD, UPTAKE_SD = 0.02, 0.05
"""How far a weighed amount, and all that a pot takes up, stray from one pot to the next [assumed, as in every forecast]."""
DRAWS, HELD = 400, 0.9
_ROUNDS = 30


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Correction:
    """`strengths` {dye: measured effect / intended}; the next recipe and the top-up as {dye: depth}, each with the CIEDE2000 to the target that is left.

    A top-up only adds: where the trial is too deep already, it is empty and `top_up_de00` is the trial's own distance. The spreads are CIEDE2000 radii that
    hold nine in ten of what comes out, from the reading's error, the strengths as far as it leaves them open, weighing and the pot; None without `rng`.
    `real` are the dyes as strong as the trial showed them, over the trial's ground, `aim` the Lab that they have to make in `light`.
    """

    strengths: Mapping[str, float]
    trial_de00: float
    recipe: Mapping[str, float]
    recipe_de00: float
    top_up: Mapping[str, float]
    top_up_de00: float
    notes: tuple[str, ...]
    recipe_spread_de00: float | None = None
    top_up_spread_de00: float | None = None
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
    rng: np.random.Generator | None = None,
) -> Correction:
    """What a trial dyed with `doses` {dye: depth} and read as `measured` (Lab) says, for a `target` (Lab of the same light).

    The factors f_i scale each dye's K/S; they minimise |Lab(f) - measured|^2/sd^2 + sum (ln f_i)^2/0.15^2. What they leave unexplained is taken off the target.
    The next recipe solves for the target with the dyes scaled by f; the top-up adds to the trial, so nothing in it is below 0.
    """
    target, measured = np.asarray(target, dtype=float), np.asarray(measured, dtype=float)
    used = np.array([dyes.names.index(name) for name in doses], dtype=np.intp)
    amounts = dyes.amounts(dyes.depths_of(doses))
    factors = np.ones(len(dyes.names))
    trial = _Trial(dyes, used, amounts[used], measured, reading_sd, illuminant, observer)
    log_f, built = trial.fitted()
    factors[used] = np.exp(log_f)
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
    notes = _strange({dyes.names[index]: float(factors[index]) for index in used}, float(ciede2000(measured, built)), reading_sd)
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
        recipe_spread_de00=None if rng is None else trial.spread(log_f, np.zeros(len(used)), fresh.amounts[0], rng),
        top_up_spread_de00=None if rng is None or not top_up.any() else trial.spread(log_f, amounts[used], added.amounts[0], rng),
        real=real,
        aim=aim,
        light=(illuminant, observer),
    )


def _strange(strengths: Mapping[str, float], miss_de00: float, reading_sd: float) -> list[str]:
    """What does not look like a pot that only strayed: a colour that these dyes do not make, or a dye further off than pots stray."""
    if miss_de00 > max(STRANGE_DE00, STRANGE_SDS * reading_sd):
        return [f"These dyes do not make the colour that was read: it stays {miss_de00:.1f} off (CIEDE2000). Look again at the reading and at what went in."]
    far = STRANGE_SDS * STRENGTH_SD
    odd = [name for name, factor in strengths.items() if abs(np.log(factor)) > far]
    return [f"{' and '.join(odd)}: further off than pots stray. Was it weighed as written, and did the bath clear?"] if odd else []


def _dense(amounts: Array, used: Indices, dyes: DyeSet) -> Array:
    dense = np.zeros(len(dyes.names))
    dense[used] = amounts
    return dense


@dataclass(frozen=True, slots=True, eq=False)
class _Trial:
    """A trial of `amounts` (n,) of the `used` dyes that was read as `measured`, with the reading's error `sd` in each of L*, a*, b*."""

    dyes: DyeSet
    used: Indices
    amounts: Array
    measured: Array
    sd: float
    illuminant: str
    observer: int

    def fitted(self) -> tuple[Array, Array]:
        """The logarithms of the dyes' factors (n,), and the Lab that they give."""
        log_f = np.zeros(len(self.used))
        for _ in range(_ROUNDS):
            lab, slope = self._look(log_f)
            pull = slope.T @ (self.measured - lab) / self.sd**2 - log_f / STRENGTH_SD**2
            step = np.linalg.solve(self._precision(slope), pull)
            log_f = log_f + np.clip(step, -0.3, 0.3)
            if np.abs(step).max() < 1e-8:
                break
        return log_f, self._look(log_f)[0]

    def spread(self, log_f: Array, there: Array, added: Array, rng: np.random.Generator) -> float:
        """The radius of nine in ten colours that a skein with `there` of the trial's dye on it takes from `added`, about the one that is expected.

        A draw has factors of N(ln f, M^-1) and another pot; what the mixing law misses, the trial misses too. What f leaves of the reading is taken off the
        target as if it were the yarn's, and may be the reading's error: the draws go without it, and the radius is the wider for it.
        """
        root = np.linalg.cholesky(np.linalg.inv(self._precision(self._look(log_f)[1])))
        z = rng.standard_normal((DRAWS, len(self.used)))
        pot = np.exp(UPTAKE_SD * rng.standard_normal((DRAWS, 1)) + WEIGHING_SD * rng.standard_normal(z.shape))
        meant = self.measured - self._labs(np.exp(log_f) * self.amounts) + self._labs(np.exp(log_f) * (there + added))
        came = self._labs(np.exp(log_f + z @ root.T) * (there + added * pot))
        return float(np.quantile(ciede2000(meant, came), HELD))

    def _precision(self, slope: Array) -> Array:
        """M = S'S/sd^2 + I/0.15^2."""
        precision: Array = slope.T @ slope / self.sd**2 + np.eye(len(self.used)) / STRENGTH_SD**2
        return precision

    def _labs(self, amounts: Array) -> Array:
        q = self.dyes.base_ks + amounts @ self.dyes.ks[self.used]
        spectra = (1 - SURFACE) / (1 + q + np.sqrt(q * (q + 2))) + SURFACE
        return xyz_to_lab(spectrum_to_xyz(spectra, self.illuminant, self.observer), white_xyz(self.illuminant, self.observer))

    def _look(self, at: Array) -> tuple[Array, Array]:
        """Lab at these logarithms of the factors, and its slope (3, n)."""
        table, white = weights(self.illuminant, self.observer), white_xyz(self.illuminant, self.observer)
        part = np.exp(at)[:, None] * self.amounts[:, None] * self.dyes.ks[self.used]
        q = self.dyes.base_ks + part.sum(axis=0)
        root = np.sqrt(q * (q + 2))
        reflectance = 1 / (1 + q + root)
        xyz = spectrum_to_xyz((1 - SURFACE) * reflectance + SURFACE, self.illuminant, self.observer)
        slope = lab_slope(xyz, white) @ table.T @ (-(1 - SURFACE) * reflectance / np.maximum(root, 1e-9) * part).T
        return xyz_to_lab(xyz, white), slope
