"""What looks wrong with a ladder: a rung that does not fit, a dye that may fluoresce, a colour that no surface has."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from skeinwright.core.colour.fit_ladder import Fit, Rung, fit_rungs
from skeinwright.core.colour.spectra import may_fluoresce

_SAME_SD = 0.7
"""Two rungs of one dye differ by about this much in Lab for reasons that no reading shows: unlevel dyeing, folding, uptake [assumed]."""
_MISFIT_DE00, _MISFIT_SDS = 4.0, 3.0
"""A rung is named from this miss on [assumed]. On the same 800 plain ladders: in none with an error of 0.5, in 8 of 100 with errors of 1 to 5; so it asks."""
_LIGHTER = 3.0
_HUE_SUM, _HUE_SDS, _HUE_SHARE = 3.0, 1.75, 0.3
"""The Labs of three rungs or more are off a single dye when their misses add up to 3, to 1.75 of their errors, and 0.3 of that is in hue [assumed].

Measured on 100 dyes of fresh sets (300-399 of the hidden dyes), 3 and 5 rungs, errors 0.5 to 5 that the swatches admit: none of 800 plain ladders is
called so. Of 100 fresh pinks that emit as much again as they reflect 18 are, with an error of 0.5, and 9 with 1; of pinks of another form 3. In 54 to 62
others one rung is named instead. Of pinks half as strong 1 to 3 in 100 are called so. So silence says nothing, and a call may as well be a mixed-up swatch.
"""


def flags_of(rungs: Sequence[Rung], fit: Fit) -> tuple[tuple[str, ...], bool]:
    """Sentences, without the dye's name, on what looks wrong; and whether the dye is doubtful, so that its spread is doubled.

    That is so where it may fluoresce, by its spectrum or by its Labs, and where the other rungs disown one.
    """
    flags = []
    emits = fluoresces(rungs)
    if emits:
        flags.append("reflects more than 95 % in some band: it may fluoresce, its mixtures cannot be trusted, and its spread is doubled")
    if any(rung.no_surface for rung in rungs):
        flags.append("a swatch has a colour that no surface can have: look for a slip in its figures")
    if any(rung.at_edge for rung in rungs):
        flags.append("a hex swatch stands at the edge of what a screen can show: its true colour may be stronger")
    bad = bad_rung(rungs, fit)
    is_off = bad is None and not emits and off_in_hue(rungs, fit)
    if is_off:
        flags.append("the swatches do not fit one dye, and mostly in hue: it may fluoresce, or two are mixed up; its spread is doubled")
    if bad is not None:
        flags.append(f"the {100 * bad.depth:.3g} % swatch does not fit: typed wrong? Until it is put right the spread is doubled")
    elif np.any(np.diff([rung.lab[0] for rung in sorted(rungs, key=lambda rung: rung.depth)]) > _LIGHTER):
        flags.append("a deeper swatch is lighter than a paler one: look for swapped rows")
    elif len(rungs) == 2 and max(fit.residual_de00) > _limit(rungs[0]):
        flags.append("the two swatches do not fit together: is one of them typed wrong?")
    return tuple(flags), emits or is_off or bad is not None


def fluoresces(rungs: Sequence[Rung]) -> bool:
    """True where a measured swatch reflects more than 95 % in some band [assumed]."""
    return any(rung.measured and may_fluoresce(rung.reflectance) for rung in rungs)


def off_in_hue(rungs: Sequence[Rung], fit: Fit) -> bool:
    """True where the Labs of three rungs or more miss any single dye, and much of it in hue: what an emission does, and a mixed-up swatch too."""
    seen = [(rung, miss) for rung, miss in zip(rungs, fit.residual_de00, strict=True) if not rung.measured]
    errors = sum(float(np.hypot(rung.lab_sd, _SAME_SD)) for rung, _ in seen)
    if len(seen) < 3 or sum(miss for _, miss in seen) < max(_HUE_SUM, _HUE_SDS * errors):
        return False
    whole, hue = 0.0, 0.0
    for rung, _ in seen:
        ks = np.exp(fit.log_ks + fit.exponent * np.log(rung.depth / fit.centre)) * fit.strengths.get(rung.base, 1.0)
        built = rung.built(ks)
        off, chroma = built - rung.lab, float(np.hypot(*built[1:]) - np.hypot(*rung.lab[1:]))
        whole += float(np.linalg.norm(off))
        hue += float(np.sqrt(max(off[1] ** 2 + off[2] ** 2 - chroma**2, 0.0)))
    return hue > _HUE_SHARE * whole


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
