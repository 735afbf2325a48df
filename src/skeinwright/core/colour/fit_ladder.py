"""The joint fit of all rungs of a dye's ladder: spectrum, strength and depth curve at once, with their covariance.

    q_j = q_base,j + exp(a + m + B w + b (ln c_j - mean ln c) + d_base)
    minimise  sum_j |Lab_j - Lab(q_j)|^2/s_j^2 + sum w_k^2/sd_k^2 + ((a - 1)/2.5)^2 + ((b - 0.9)/0.15)^2 + sum d^2/0.15^2

by Levenberg-Marquardt. Each Lab is met under its own illuminant and observer. A measured spectrum stands with its 31 bands in the place of its Lab, each within
0.002 + 1 % of the reflectance, and then all 31 directions of the prior may move. With a single depth b is 1 and keeps only its prior's spread. d, one a base,
is there where the swatches are on several. The covariance is the inverse of the least-squares matrix at the end (Laplace), times 1.3.
A swatch that stands alone is met within 0.3 however it was read, since nothing speaks against it; its covariance still has its reading's error.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import SURFACE, inner_ks, outer_r
from skeinwright.core.colour.prior import COMPONENTS, prior
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import lab_slope, lab_to_srgb, spectrum_to_lab, xyz_to_lab
from skeinwright.core.colour.spectra import on_bands
from skeinwright.core.colour.tables import BANDS, Array, weights, white_xyz
from skeinwright.core.shelf.swatch import Reading, Swatch

EXPONENT, EXPONENT_SD = 0.9, 0.15
"""Prior of b [assumed]."""
STRENGTH, STRENGTH_SD = 1.0, 2.5
BASE_SD = 0.15
"""How differently two bases take up the same dye, as a standard deviation of the logarithm [assumed]."""
WIDEN = 1.3
"""What the covariance is multiplied by: Laplace intervals of this prior were found a little narrow."""
_ALONE_SD = 0.3
_BAND_SD, _BAND_SHARE = 0.002, 0.01
_ROUNDS = 60
_ENOUGH = 1e-7
_DARKEST = SURFACE + 0.003


@dataclass(frozen=True, slots=True, eq=False)
class Rung:
    """One dyed swatch as the fit sees it. `seen` is its Lab (3,), or its spectrum (31,) where it was measured, with the standard deviations `sd`."""

    depth: float
    base: str
    base_ks: Array
    seen: Array
    sd: Array
    measured: bool
    illuminant: str
    observer: int
    reflectance: Array
    """Measured, or the smoothest with its Lab."""
    lab: Array
    lab_sd: float
    no_surface: bool
    """True where no reflectance has its Lab."""
    at_edge: bool = False
    """True where it was given as hex with a channel of 0 or 255: its own colour may lie outside what a screen can show."""

    def built(self, dye_ks: Array) -> Array:
        """Lab (3,) of its base dyed with K/S (31,), as this swatch was seen."""
        return spectrum_to_lab(outer_r(self.base_ks + dye_ks), self.illuminant, self.observer)

    def miss(self, dye_ks: Array) -> float:
        """CIEDE2000 between this swatch and its base dyed with K/S (31,)."""
        return float(ciede2000(self.lab, self.built(dye_ks)))


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """log K/S (31,) at the depth `centre`, the exponent, their spread (32, k), the rungs' residuals, and the cost at the end."""

    log_ks: Array
    centre: float
    exponent: float
    spread: Array
    residual_de00: tuple[float, ...]
    residual_sd: tuple[float, ...]
    """Root mean square of each rung's residuals in its own standard deviations."""
    cost: float
    strengths: Mapping[str, float] = field(default_factory=dict)


def rung_of(swatch: Swatch, base: Array) -> Rung:
    """A dyed swatch over its base's reflectance (31,)."""
    lab = np.array(swatch.lab.values, dtype=float)
    light = (swatch.lab.illuminant, swatch.lab.observer)
    if swatch.spectrum:
        reflectance = on_bands(swatch.spectrum)
        lab, seen, sd = spectrum_to_lab(reflectance, *light), reflectance, _BAND_SD + _BAND_SHARE * reflectance
        no_surface, lab_sd = False, 0.5
    else:
        guess = recover(swatch.lab)
        reflectance, seen, sd = guess.reflectance, lab, np.full(3, swatch.sd)
        no_surface, lab_sd = guess.miss > 0.5, swatch.sd
    at_edge = swatch.reading is Reading.HEX and light == ("D65", 2) and bool(np.any(np.isin(lab_to_srgb(lab)[0], (0, 255))))
    return Rung(swatch.depth, swatch.base, inner_ks(base), seen, sd, bool(swatch.spectrum), *light, reflectance, lab, lab_sd, no_surface, at_edge)


class _Problem:
    """The least-squares problem of a ladder: parameters (a, w_1 ... w_k, b, d_1 ...)."""

    def __init__(self, rungs: Sequence[Rung]) -> None:
        known, self.rungs = prior(), rungs
        self.k = BANDS if any(rung.measured for rung in rungs) else COMPONENTS
        logs = np.log([rung.depth for rung in rungs])
        self.centre, self.x = float(np.exp(logs.mean())), logs - logs.mean()
        self.varied = bool(np.ptp(logs) > 1e-9)
        names = list(dict.fromkeys(rung.base for rung in rungs))
        self.names = names if len(names) > 1 else []
        self.on = np.array([[float(rung.base == name) for name in self.names] for rung in rungs]).reshape(len(rungs), len(self.names))
        self.shape = np.column_stack([np.ones(BANDS), known.directions[:, : self.k]])
        self.mean = known.mean
        self.at = np.concatenate([[STRENGTH], np.zeros(self.k), [EXPONENT if self.varied else 1.0], np.zeros(len(self.names))])
        self.sd = np.concatenate([[STRENGTH_SD], known.sd[: self.k], [EXPONENT_SD], np.full(len(self.names), BASE_SD)])
        self.base_ks = np.array([rung.base_ks for rung in rungs])
        self.tables = np.array([weights(rung.illuminant, rung.observer) for rung in rungs])
        self.whites = np.array([white_xyz(rung.illuminant, rung.observer) for rung in rungs])
        # d q / d parameters is q times this: (n, 31, parameters)
        n = len(rungs)
        by_all = [np.broadcast_to(self.shape, (n, *self.shape.shape)), np.broadcast_to(self.x[:, None, None], (n, BANDS, 1))]
        self.by = np.concatenate([*by_all, np.broadcast_to(self.on[:, None, :], (n, BANDS, len(self.names)))], axis=2)
        self.seen = np.concatenate([rung.seen / rung.sd for rung in rungs])

    def log_ks(self, theta: Array) -> Array:
        """log K/S (31,) at the centre."""
        result: Array = self.mean + self.shape @ theta[: self.k + 1]
        return result

    def start(self) -> Array:
        """From the smoothest spectra: the rungs' log K/S brought to the centre, averaged, and laid onto the prior's directions."""
        dye = np.array([np.maximum(inner_ks(np.maximum(rung.reflectance, _DARKEST)) - rung.base_ks, 0.05 * rung.base_ks + 0.003) for rung in self.rungs])
        middle = (np.log(dye) - self.at[self.k + 1] * self.x[:, None]).mean(axis=0)
        matrix = self.shape.T @ self.shape / 0.3**2 + np.diag(1 / self.sd[: self.k + 1] ** 2)
        theta = self.at.copy()
        theta[: self.k + 1] = np.linalg.solve(matrix, self.shape.T @ (middle - self.mean) / 0.3**2 + self.at[: self.k + 1] / self.sd[: self.k + 1] ** 2)
        return theta

    def look(self, theta: Array) -> tuple[Array, Array]:
        """What the rungs would read, in standard deviations, and its slope with the parameters."""
        power = theta[self.k + 1] * self.x + self.on @ theta[self.k + 2 :]
        dye = np.exp(np.minimum(self.log_ks(theta) + power[:, None], 12.0))
        total = self.base_ks + dye
        reflectance = outer_r(total)
        # dR/dq = (1 - Rs) (1 - (q + 1)/sqrt(q^2 + 2q)), dq/d(log q) = q
        by_log = (1 - SURFACE) * (1 - (total + 1) / np.sqrt(total * (total + 2) + 1e-12)) * dye
        xyz = np.einsum("nb,nbx->nx", reflectance, self.tables)
        lab = xyz_to_lab(xyz, self.whites)
        lab_by = np.einsum("nxy,nby->nxb", np.array([lab_slope(one, white) for one, white in zip(xyz, self.whites, strict=True)]), self.tables)
        values, slopes = [], []
        for index, rung in enumerate(self.rungs):
            if rung.measured:
                values.append(reflectance[index] / rung.sd)
                slopes.append((by_log[index] / rung.sd)[:, None] * self.by[index])
            else:
                values.append(lab[index] / rung.sd)
                slopes.append((lab_by[index] * by_log[index]) @ self.by[index] / rung.sd[:, None])
        return np.concatenate(values), np.concatenate(slopes)

    def cost(self, value: Array, theta: Array) -> float:
        return float(((self.seen - value) ** 2).sum() + (((theta - self.at) / self.sd) ** 2).sum())


def fit_rungs(rungs: Sequence[Rung]) -> Fit:
    """The most likely spectrum and curve of the rungs together."""
    problem = _Problem(rungs)
    if len(rungs) == 1:
        close = _Problem([replace(rungs[0], sd=np.minimum(rungs[0].sd, _ALONE_SD))])
        theta = _descend(close, close.start())[0]
        value, slope = problem.look(theta)
        cost = problem.cost(value, theta)
    else:
        theta, slope, value, cost = _descend(problem, problem.start())
    matrix = slope.T @ slope + np.diag(1 / problem.sd**2)
    factor = np.linalg.cholesky(WIDEN * np.linalg.inv(matrix))
    rows = problem.k + 1
    spread = np.vstack([problem.shape @ factor[:rows], factor[rows : rows + 1]])
    log_ks, exponent = problem.log_ks(theta), float(theta[rows])
    shifts = theta[rows + 1 :]
    residual = tuple(rung.miss(np.exp(log_ks + exponent * x + float(on @ shifts))) for rung, x, on in zip(rungs, problem.x, problem.on, strict=True))
    strengths = {name: float(np.exp(shift)) for name, shift in zip(problem.names, shifts, strict=True)}
    return Fit(log_ks, problem.centre, exponent, spread, residual, _in_sd(rungs, problem.seen - value), cost, strengths)


def _in_sd(rungs: Sequence[Rung], off: Array) -> tuple[float, ...]:
    ends = np.cumsum([len(rung.seen) for rung in rungs])
    return tuple(float(np.sqrt((part**2).mean())) for part in np.split(off, ends[:-1]))


def _descend(problem: _Problem, theta: Array) -> tuple[Array, Array, Array, float]:
    """Levenberg-Marquardt from `theta` to where nothing more is gained: the parameters, the slope, the readings there, and the cost."""
    value, slope = problem.look(theta)
    cost, damping = problem.cost(value, theta), 1e-3
    held = problem.k + 1
    for _ in range(_ROUNDS):
        matrix = slope.T @ slope + np.diag(1 / problem.sd**2)
        pull = slope.T @ (problem.seen - value) - (theta - problem.at) / problem.sd**2
        trial = theta + np.linalg.solve(matrix + damping * np.diag(np.diag(matrix)), pull)
        trial[held] = np.clip(trial[held], 0.3, 1.5) if problem.varied else problem.at[held]
        trial_value, trial_slope = problem.look(trial)
        trial_cost = problem.cost(trial_value, trial)
        if trial_cost < cost:
            gained = cost - trial_cost
            theta, value, slope, cost, damping = trial, trial_value, trial_slope, trial_cost, max(damping / 5, 1e-9)
            if gained < _ENOUGH * (1 + cost):
                break
        else:
            damping *= 8
            if damping > 1e9:
                break
    return theta, slope, value, cost
