"""How far the figures of a session may be off: the quick forecast, over and over, with what is assumed drawn anew each time.

Drawn, all [assumed] unless the dyer's own tests have moved them off their usual value, which narrows them: spreading in the yarn (half to twice), stirring of
free water (a tenth to ten times), grain and stain (two thirds to one and a half), strike (two thirds to one and a half), and the places of the grains. The
interval that holds 90 % of the draws, over the quick forecast's own figure, is what a full forecast's figure is multiplied by.
"""

from __future__ import annotations

from dataclasses import replace
from math import log

import numpy as np

from skeinwright.core.spread.events import Session, Sprinkle
from skeinwright.core.spread.figures import clearer_side, figures
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.parameters import PanParameters, PowderParameters, YarnParameters
from skeinwright.core.spread.quick import quick

DRAWS = 24
HELD = (5.0, 95.0)
SPREADING, STIRRING, GRAIN, STRIKE = 2.0, 10.0, 1.5, 1.5
"""Each between 1/f and f for nine in ten."""
TESTED = 1.15
"""The same where a test of the dyer's own says it."""
_NINE_IN_TEN = 1.645
FIGURES = ("speckle_mm", "half_width_mm", "per_cm2", "per_gram", "coverage", "front_back")
Ranges = dict[str, tuple[float, float]]
"""By figure: what its value may have to be multiplied by, low and high."""


def scatter_of(session: Session, grid: Grid, seed: int = 1, draws: int = DRAWS) -> Ranges:
    """The ranges of the figures on `grid`; a figure that most draws do not have is left out. The same seed gives the same ranges."""
    rng = np.random.default_rng([seed, 97])
    centre = _figures(session, grid, seed)
    found = [_figures(_drawn(session, rng), grid, seed + 1 + place) for place in range(draws)]
    ranges = {}
    for name in FIGURES:
        values = [one[name] for one in found if one[name] is not None]
        middle = centre[name]
        if middle and len(values) > draws / 2:
            low, high = np.percentile(np.array(values, dtype=float) / middle, HELD)
            ranges[name] = (min(1.0, float(low)), max(1.0, float(high)))
    return ranges


def _figures(session: Session, grid: Grid, seed: int) -> dict[str, float | None]:
    found = figures(clearer_side(quick(session, grid, seed))[0])
    return {name: getattr(found, name) for name in FIGURES}


def _factor(rng: np.random.Generator, within: float, *, tested: bool = False) -> float:
    return float(np.exp(log(TESTED if tested else within) / _NINE_IN_TEN * rng.standard_normal()))


def _drawn(session: Session, rng: np.random.Generator) -> Session:
    """The session with what is assumed drawn anew."""
    known, usual_yarn, usual_powder = session.parameters, YarnParameters(), PowderParameters()
    grain = _factor(rng, GRAIN, tested=known.powder.grain_mm != usual_powder.grain_mm)
    stain = _factor(rng, GRAIN, tested=known.powder.footprint != usual_powder.footprint)
    powder = replace(known.powder, grain_mm=known.powder.grain_mm * grain, footprint=known.powder.footprint * stain)
    yarn = replace(known.yarn, spreading=known.yarn.spreading * _factor(rng, SPREADING, tested=known.yarn.spreading != usual_yarn.spreading))
    pan = replace(known.pan, stirring=known.pan.stirring * _factor(rng, STIRRING, tested=known.pan.stirring != PanParameters().stirring))
    strike = _factor(rng, STRIKE)
    dyes = tuple(replace(dye, strikes=tuple((temp_c, k * strike) for temp_c, k in dye.strikes)) for dye in session.dyes)
    events = tuple(
        replace(event, grain_mm=event.grain_mm * grain) if isinstance(event, Sprinkle) and event.grain_mm is not None else event for event in session.events
    )
    return replace(session, dyes=dyes, events=events, parameters=replace(known, yarn=yarn, powder=powder, pan=pan))
