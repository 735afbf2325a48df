"""A dye from its swatches: one K/S spectrum, a curve of depth, and how far both may be off.

    q_dye(c) = exp(y) g(c)/g(c0)         ln c0 the mean of ln c over the rungs, y the log K/S spectrum there
    y = a + m + B w                      m, B: mean and directions of the prior (`prior`)
    g(c) = c^b                           between the palest rung p and the deepest d
    g(c) = p^b c/p                       below
    g(c) = d^b (1 + b x/(1 + (c - d)/c_sat)), x = (c - d)/d, beyond: keeps the slope at d and levels off

`fit_dye` is the only door to the fit. Sources: broadbent2001 (additive K/S), safi2021 (K/S falls behind at depth).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from skeinwright.core.colour.fit_ladder import Fit, Rung, fit_rungs, rung_of
from skeinwright.core.colour.misfit import flags_of
from skeinwright.core.colour.tables import BANDS, Array
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Swatch

SATURATION = 0.06
"""c_sat, the depth at which the curve beyond the deepest rung bends: 6 % of the fibre, with a factor of 2 either way [assumed]."""
SATURATION_SPREAD = 0.7
_DOUBTFUL_WIDER = 2.0


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
    strengths: Mapping[str, float] = field(default_factory=dict)
    """How strongly each base takes the dye up against the mean of them, by base; empty where all swatches are on one."""

    @property
    def unit_ks(self) -> Array:
        """K/S (31,) of the dye at a depth of 1 % on its own."""
        return self.ks(0.01)

    def ks(self, depth: float, base: str = "") -> Array:
        """The dye's own K/S (31,) at a depth (fraction), exactly 0 at 0; on a named base with that base's own strength, where swatches tell it."""
        ks: Array = self.ks_at(np.array([depth]), base)[0]
        return ks

    def ks_at(self, depth: Array, base: str = "") -> Array:
        """The dye's own K/S (n, 31) at depths (n,)."""
        factor = self.curve(depth, np.full(len(depth), self.exponent), np.full(len(depth), SATURATION))
        result: Array = np.exp(self.log_ks) * (factor * self.strengths.get(base, 1.0))[:, None]
        return result

    def curve(self, depth: Array, exponent: Array, saturation: Array) -> Array:
        """g(c)/g(c0) for depths (n,), exponents (n,) and c_sat (n,). Below the palest rung the power is 1 + (exponent - the fitted one)."""
        inside = np.clip(depth, self.palest, self.deepest)
        factor = (inside / self.centre) ** exponent
        below = np.minimum(depth, self.palest) / self.palest
        beyond = np.maximum(depth - self.deepest, 0)
        result: Array = factor * below ** np.maximum(1 + exponent - self.exponent, 0.3) * (1 + exponent * beyond / self.deepest / (1 + beyond / saturation))
        return result

    def draw(self, depth: Array, rng: np.random.Generator, base: str = "") -> Array:
        """Draws (n, 31) of the dye's K/S at depths (n,), one of the dye for each depth."""
        n = len(depth)
        off = rng.standard_normal((n, self.spread.shape[1])) @ self.spread.T
        exponent = np.maximum(self.exponent + off[:, BANDS], 0.3)
        saturation = SATURATION * np.exp(SATURATION_SPREAD * rng.standard_normal(n))
        factor = self.curve(depth, exponent, saturation) * self.strengths.get(base, 1.0)
        drawn: Array = np.exp(self.log_ks + off[:, :BANDS]) * factor[:, None]
        return drawn


def fit_dye(swatches: Sequence[Swatch], base_spectrum: Array) -> DyeModel:
    """The model of one dye from all its swatches together and the undyed base's spectrum: (31,), or (n, 31) where the swatches are on different bases.

    Swatches of depth 0 are the base itself and teach nothing here. One rung is enough; its curve then is a straight line. Raises BadInput where no dyed
    swatch is left.
    """
    rungs = _rungs(swatches, base_spectrum)
    fit = fit_rungs(rungs)
    flags, is_doubtful = flags_of(rungs, fit)
    return _model(rungs, fit, flags, fit.spread * (_DOUBTFUL_WIDER if is_doubtful else 1.0))


def leave_one_out(swatches: Sequence[Swatch], base_spectrum: Array) -> tuple[float, ...]:
    """CIEDE2000 between each dyed swatch and what the others alone forecast for it: the dyer's own error. Empty with fewer than two dyed swatches."""
    rungs = _rungs(swatches, base_spectrum)
    if len(rungs) < 2:
        return ()
    misses = []
    for index, rung in enumerate(rungs):
        others = rungs[:index] + rungs[index + 1 :]
        fit = fit_rungs(others)
        model = _model(others, fit, (), fit.spread)
        misses.append(rung.miss(model.ks(rung.depth, rung.base)))
    return tuple(misses)


def _rungs(swatches: Sequence[Swatch], base_spectrum: Array) -> list[Rung]:
    bases = np.broadcast_to(np.asarray(base_spectrum, dtype=float), (len(swatches), BANDS))
    rungs = [rung_of(swatch, base) for swatch, base in zip(swatches, bases, strict=True) if swatch.depth > 0]
    if not rungs:
        raise BadInput("A dye needs at least one swatch with a depth above 0.")
    return rungs


def _model(rungs: Sequence[Rung], fit: Fit, flags: tuple[str, ...], spread: Array) -> DyeModel:
    depths = [rung.depth for rung in rungs]
    return DyeModel(
        log_ks=fit.log_ks,
        centre=fit.centre,
        exponent=fit.exponent,
        palest=min(depths),
        deepest=max(depths),
        spread=spread,
        rungs=tuple(depths),
        residual_de00=fit.residual_de00,
        guessed=any(not rung.measured for rung in rungs),
        observer_changed=any(rung.observer != 10 and not rung.measured for rung in rungs),
        flags=flags,
        strengths=fit.strengths,
    )
