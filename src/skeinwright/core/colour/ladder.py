"""A dye from its swatches: one K/S spectrum, a curve of depth, and how far both may be off.

    q_dye(c) = exp(y) g(c) / g(c0)            c0 the weighted mean rung, y the log K/S spectrum there
    g(c) = c^b between the palest and the deepest rung, a straight line to nothing below, and beyond the deepest rung d
    g(c) = d^b (1 + b x / (1 + (c - d)/c_sat)), x = (c - d)/d, which keeps the slope at d and levels off

From each swatch: a spectrum (measured, or guessed from its Lab), the base taken off in K/S, its logarithm. The rungs are averaged band by band with weights
1/variance; then a few smooth waves and b are settled so that the model meets the rungs' Labs. b has the prior 0.9 +- 0.15 [assumed]; one rung alone has b = 1.
This is a simple fit; `fit_dye` is the only door to it. Sources: broadbent2001 (additive K/S), safi2021 (K/S falls behind at depth), burns2020.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import SURFACE, inner_ks, mix, outer_r
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import lab_slope, spectrum_to_lab, spectrum_to_xyz, xyz_to_lab
from skeinwright.core.colour.spectra import may_fluoresce, on_bands
from skeinwright.core.colour.tables import BANDS, WAVELENGTHS_NM, Array, weights, white_xyz
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import READING_SD, Reading, Swatch

SATURATION = 0.06
"""c_sat, the depth at which the curve beyond the deepest rung bends: 6 % of the fibre, with a factor of 2 either way [assumed]."""
SATURATION_SPREAD = 0.7
_EXPONENT, _EXPONENT_SD = 0.9, 0.15
_DARKEST = SURFACE + 0.003
_SHAPE_SD = 0.15
_MEASURED_SHAPE_SD = 0.04
_WAVES = 8
_WAVE_SD = 1.0
"""Prior of the first wave that may bend a guessed log K/S spectrum; the k-th has this / (1 + k) [assumed, chosen on invented dyes]."""
_ROUNDS = 12
_WIDEN = 1.3
"""What the covariance of the fit is multiplied by [assumed]. On the invented dyes of seed 0, used to choose it, it lifts the share inside from 74 to 81 %
for one swatch matched by eye, the weakest case; ladders of several rungs become wider than they need be. On other dyes: docs/proof/dyes_from_swatches.md."""
_BASE_SHARE = 0.3
_MISFIT, _MISFIT_SDS = 4.0, 2.5
_SAME_SD = 0.7
"""Two rungs of one dye differ by about this much in Lab for reasons that no reading shows: unlevel dyeing, folding, uptake [assumed]."""


@dataclass(frozen=True, slots=True, eq=False)
class DyeModel:
    """What is known of a dye's colour. Depths are fractions of the fibre's weight, as applied under the swatches' own conditions.

    `spread` (32, k) makes draws of (log_ks, exponent): theirs is the mean plus spread @ normal(k).
    """

    log_ks: Array
    centre: float
    exponent: float
    palest: float
    deepest: float
    spread: Array
    rungs: tuple[float, ...]
    residual_de00: tuple[float, ...]
    """CIEDE2000 between each swatch and the model at its depth, in the order of `rungs`."""
    guessed: bool
    """True where the spectrum is guessed from Lab, False where every swatch had a measured one."""
    observer_changed: bool
    """True where a swatch read with the 2 degree observer went into it without a spectrum."""
    flags: tuple[str, ...]

    @property
    def unit_ks(self) -> Array:
        """K/S (31,) of the dye at a depth of 1 % on its own."""
        return self.ks(0.01)

    def ks(self, depth: float) -> Array:
        """The dye's own K/S (31,) at a depth (fraction), exactly 0 at 0."""
        factor: Array = self.curve(np.array([depth]), np.array([self.exponent]), np.array([SATURATION]))
        result: Array = np.exp(self.log_ks) * factor[0]
        return result

    def curve(self, depth: Array, exponent: Array, saturation: Array) -> Array:
        """g(c)/g(c0) for depths (n,), exponents (n,) and c_sat (n,). Below the palest rung the power is 1 + (exponent - the fitted one)."""
        inside = np.clip(depth, self.palest, self.deepest)
        factor = (inside / self.centre) ** exponent
        below = np.minimum(depth, self.palest) / self.palest
        beyond = np.maximum(depth - self.deepest, 0)
        result: Array = factor * below ** np.maximum(1 + exponent - self.exponent, 0.3) * (1 + exponent * beyond / self.deepest / (1 + beyond / saturation))
        return result

    def draw(self, depth: Array, rng: np.random.Generator) -> Array:
        """Draws (n, 31) of the dye's K/S at depths (n,), one of the dye for each depth."""
        n = len(depth)
        off = rng.standard_normal((n, self.spread.shape[1])) @ self.spread.T
        exponent = np.maximum(self.exponent + off[:, BANDS], 0.3)
        saturation = SATURATION * np.exp(SATURATION_SPREAD * rng.standard_normal(n))
        drawn: Array = np.exp(self.log_ks + off[:, :BANDS]) * self.curve(depth, exponent, saturation)[:, None]
        return drawn


@dataclass(frozen=True, slots=True, eq=False)
class _Rung:
    """One dyed swatch: log K/S of the dye alone (31,), its variance (31,), the reflectance and the base under it, and its Lab (D65/10) with one sd."""

    depth: float
    log_ks: Array
    variance: Array
    reflectance: Array
    base_ks: Array
    lab: Array
    lab_sd: float


def fit_dye(swatches: Sequence[Swatch], base_spectrum: Array) -> DyeModel:
    """The model of one dye from its swatches and the undyed base's spectrum: (31,), or (n, 31) where the swatches are on different bases.

    Swatches of depth 0 are the base itself and teach nothing here. Raises BadInput where no dyed swatch is left.
    """
    bases = np.broadcast_to(np.asarray(base_spectrum, dtype=float), (len(swatches), BANDS))
    dyed = [(swatch, base) for swatch, base in zip(swatches, bases, strict=True) if swatch.depth > 0]
    if not dyed:
        raise BadInput("A dye needs at least one swatch with a depth above 0.")
    rungs = [_rung(swatch, base) for swatch, base in dyed]
    guessed = any(not swatch.spectrum for swatch, _ in dyed)
    log_ks, centre, x = _average(rungs)
    log_ks, exponent, spread = _settle(rungs, log_ks, x, guessed)
    depths = [rung.depth for rung in rungs]
    model = DyeModel(
        log_ks=log_ks,
        centre=centre,
        exponent=exponent,
        palest=min(depths),
        deepest=max(depths),
        spread=spread,
        rungs=tuple(depths),
        residual_de00=(),
        guessed=guessed,
        observer_changed=any(swatch.lab.observer != 10 and not swatch.spectrum for swatch, _ in dyed),
        flags=(),
    )
    return _with_residuals(model, rungs, np.array([base for _, base in dyed]), [swatch for swatch, _ in dyed])


def _rung(swatch: Swatch, base: Array) -> _Rung:
    base_ks = inner_ks(base)
    if swatch.spectrum:
        reflectance = on_bands(swatch.spectrum)
        sd, shape_sd = READING_SD[Reading.INSTRUMENT], _MEASURED_SHAPE_SD
        logit_error = np.full((BANDS, 1), 0.02)
    else:
        guess = recover(swatch.lab)
        reflectance, sd, shape_sd = guess.reflectance, swatch.sd, _SHAPE_SD
        logit_error = guess.logit_slope * sd
    held = np.maximum(reflectance, _DARKEST)
    ks = inner_ks(held)
    inner = np.clip((held - SURFACE) / (1 - SURFACE), 1e-6, 1.0)
    slope = (inner**2 - 1) / (2 * inner**2) / (1 - SURFACE) * held * (1 - held)
    ks_sd = np.sqrt(((slope[:, None] * logit_error) ** 2).sum(axis=1) + (_BASE_SHARE * base_ks) ** 2 + (0.02 * ks) ** 2)
    dye = np.maximum(ks - base_ks, 0.3 * ks_sd)
    variance = (ks_sd / dye) ** 2 + shape_sd**2
    return _Rung(swatch.depth, np.log(dye), variance, reflectance, base_ks, spectrum_to_lab(reflectance), float(np.hypot(sd, _SAME_SD)))


def _average(rungs: list[_Rung]) -> tuple[Array, float, Array]:
    """Log K/S (31,) at the mean depth, that depth, and ln(c / it) of each rung: the weighted mean of the rungs, each brought there with c^0.9."""
    weight = np.array([1 / rung.variance for rung in rungs])
    depths = np.array([rung.depth for rung in rungs])
    centre = float(np.exp(np.average(np.log(depths), weights=weight.sum(axis=1))))
    x = np.log(depths / centre)
    y = np.array([rung.log_ks for rung in rungs]) - _exponent(rungs) * x[:, None]
    return (weight * y).sum(axis=0) / weight.sum(axis=0), centre, x


def _exponent(rungs: list[_Rung]) -> float:
    return _EXPONENT if len({rung.depth for rung in rungs}) > 1 else 1.0


def _settle(rungs: list[_Rung], log_ks: Array, x: Array, guessed: bool) -> tuple[Array, float, Array]:
    """The averaged log K/S bent by eight smooth waves, and b, so that the rungs' Labs are met; with the spread (32, 9) of both.

    Minimises sum |Lab_j - Lab of the model|^2/s_j^2 + sum w_k^2/sd_k^2 + ((b - b0)/0.15)^2 by damped Gauss-Newton; the spread is the Cholesky factor of the
    inverse of its matrix at the end (Laplace), so what the Labs leave open keeps the width of its prior.
    """
    place = (WAVELENGTHS_NM - WAVELENGTHS_NM[0]) / (WAVELENGTHS_NM[-1] - WAVELENGTHS_NM[0])
    order = np.arange(_WAVES)
    waves = np.cos(np.pi * order * place[:, None])
    wave_sd = (_WAVE_SD if guessed else _MEASURED_SHAPE_SD) / (1 + order)
    start, prior_sd = np.append(np.zeros(_WAVES), _exponent(rungs)), np.append(wave_sd, _EXPONENT_SD)
    varied = len({rung.depth for rung in rungs}) > 1
    seen = np.array([rung.lab for rung in rungs])
    sd = np.array([rung.lab_sd for rung in rungs])[:, None]
    base_ks = np.array([rung.base_ks for rung in rungs])

    def look(theta: Array) -> tuple[Array, Array]:
        dye_ks = np.exp(log_ks + waves @ theta[:-1] + theta[-1] * x[:, None])
        return _lab_and_slope(base_ks, dye_ks, waves, x)

    theta, damping = start.copy(), 1e-3
    lab, slope = look(theta)
    cost = _cost(seen, lab, sd, theta, start, prior_sd)
    for _ in range(_ROUNDS):
        jacobian = (slope / sd[:, :, None]).reshape(-1, _WAVES + 1)
        matrix = jacobian.T @ jacobian + np.diag(1 / prior_sd**2)
        pull = jacobian.T @ ((seen - lab) / sd).reshape(-1) - (theta - start) / prior_sd**2
        step = np.linalg.solve(matrix + damping * np.diag(np.diag(matrix)), pull)
        trial = theta + step
        trial[-1] = np.clip(trial[-1], 0.4, 1.4) if varied else start[-1]
        trial_lab, trial_slope = look(trial)
        trial_cost = _cost(seen, trial_lab, sd, trial, start, prior_sd)
        if trial_cost < cost:
            gained = cost - trial_cost
            theta, lab, slope, cost, damping = trial, trial_lab, trial_slope, trial_cost, damping / 5
            if gained < 1e-6:
                break
        else:
            damping *= 10
    jacobian = (slope / sd[:, :, None]).reshape(-1, _WAVES + 1)
    factor = np.linalg.cholesky(_WIDEN * np.linalg.inv(jacobian.T @ jacobian + np.diag(1 / prior_sd**2)))
    spread = np.vstack([waves @ factor[:-1], factor[-1:]])
    return log_ks + waves @ theta[:-1], float(theta[-1]), spread


def _cost(seen: Array, lab: Array, sd: Array, theta: Array, start: Array, prior_sd: Array) -> float:
    return float((((seen - lab) / sd) ** 2).sum() + (((theta - start) / prior_sd) ** 2).sum())


def _lab_and_slope(base_ks: Array, dye_ks: Array, waves: Array, x: Array) -> tuple[Array, Array]:
    """Lab (n, 3) of rungs with dye K/S (n, 31) over their bases, and its slope (n, 3, k + 1) with the waves and with b."""
    total = base_ks + dye_ks
    xyz, white = spectrum_to_xyz(outer_r(total)), white_xyz()
    # dR/dq = 1 - (q + 1)/sqrt(q^2 + 2q), and dq/d(log q_dye) = q_dye
    by_log = (1 - SURFACE) * (1 - (total + 1) / np.sqrt(total * (total + 2) + 1e-12)) * dye_ks
    lab_by_log = lab_slope(xyz, white) @ (weights().T * by_log[:, None, :])
    by_waves = lab_by_log @ waves
    by_exponent = lab_by_log.sum(axis=2) * x[:, None]
    return xyz_to_lab(xyz, white), np.concatenate([by_waves, by_exponent[:, :, None]], axis=2)


def _with_residuals(model: DyeModel, rungs: list[_Rung], bases: Array, swatches: list[Swatch]) -> DyeModel:
    built = np.array([mix(base, model.ks(rung.depth)[None]) for rung, base in zip(rungs, bases, strict=True)])
    residual = ciede2000(spectrum_to_lab(np.array([rung.reflectance for rung in rungs])), spectrum_to_lab(built))
    flags = []
    if any(swatch.spectrum and may_fluoresce(rung.reflectance) for swatch, rung in zip(swatches, rungs, strict=True)):
        flags.append("reflects more than 95 % in some band: it may fluoresce, and its mixtures cannot be trusted")
    if any(not swatch.spectrum and recover(swatch.lab).miss > 0.5 for swatch in swatches):
        flags.append("a swatch has a colour that no surface can have: look for a slip in its figures")
    for rung, miss in zip(rungs, residual, strict=True):
        if miss > max(_MISFIT, _MISFIT_SDS * rung.lab_sd):
            flags.append(f"the swatch at {100 * rung.depth:.3g} % does not fit the others (off by {miss:.1f}): look for a swapped or misread one")
    lightness = np.array([rung.lab[0] for rung in rungs])
    order = np.argsort([rung.depth for rung in rungs])
    if np.any(np.diff(lightness[order]) > 3.0):
        flags.append("a deeper swatch is lighter than a paler one: look for swapped rows")
    return replace(model, residual_de00=tuple(float(value) for value in residual), flags=tuple(flags))
