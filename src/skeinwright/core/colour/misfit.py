"""What looks wrong with a ladder: a rung that does not fit, a dye that may fluoresce, a colour that no surface has."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from skeinwright.core.colour.fit_ladder import Fit, Rung, fit_rungs
from skeinwright.core.colour.spectra import may_fluoresce

_SAME_SD = 0.7
"""Two rungs of one dye differ by about this much in Lab for reasons that no reading shows: unlevel dyeing, folding, uptake [assumed]."""
_MISFIT_DE00, _MISFIT_SDS = 4.0, 3.0
_LIGHTER = 3.0


def flags_of(rungs: Sequence[Rung], fit: Fit) -> tuple[str, ...]:
    """Sentences, without the dye's name, on what looks wrong."""
    flags = []
    if fluoresces(rungs):
        flags.append("reflects more than 95 % in some band: it may fluoresce, its mixtures cannot be trusted, and its spread is doubled")
    if any(rung.no_surface for rung in rungs):
        flags.append("a swatch has a colour that no surface can have: look for a slip in its figures")
    if any(rung.at_edge for rung in rungs):
        flags.append("a hex swatch stands at the edge of what a screen can show: its true colour may be stronger")
    bad = bad_rung(rungs, fit)
    if bad is not None:
        flags.append(f"the {100 * bad.depth:.3g} % swatch does not fit: typed wrong?")
    elif np.any(np.diff([rung.lab[0] for rung in sorted(rungs, key=lambda rung: rung.depth)]) > _LIGHTER):
        flags.append("a deeper swatch is lighter than a paler one: look for swapped rows")
    elif len(rungs) == 2 and max(fit.residual_de00) > _limit(rungs[0]):
        flags.append("the two swatches do not fit together: is one of them typed wrong?")
    return tuple(flags)


def fluoresces(rungs: Sequence[Rung]) -> bool:
    """True where a measured swatch reflects more than 95 % in some band [assumed]; Labs alone cannot tell a fluorescent dye from a slip."""
    return any(rung.measured and may_fluoresce(rung.reflectance) for rung in rungs)


def bad_rung(rungs: Sequence[Rung], fit: Fit) -> Rung | None:
    """The one rung of three or more that the others disown: left out, they fit well and it lies far from what they forecast. None where there is no such."""
    if len(rungs) < 3 or max(miss - _limit(rung) / 2 for miss, rung in zip(fit.residual_de00, rungs, strict=True)) < 0:
        return None
    best: tuple[float, Rung] | None = None
    for index, rung in enumerate(rungs):
        others = [*rungs[:index], *rungs[index + 1 :]]
        without = fit_rungs(others)
        x = np.log(rung.depth / without.centre)
        miss = rung.miss(np.exp(without.log_ks + without.exponent * x) * without.strengths.get(rung.base, 1.0))
        if miss > _limit(rung) and (best is None or without.cost < best[0]):
            best = without.cost, rung
    return best[1] if best is not None else None


def _limit(rung: Rung) -> float:
    return max(_MISFIT_DE00, _MISFIT_SDS * float(np.hypot(rung.lab_sd, _SAME_SD)))

