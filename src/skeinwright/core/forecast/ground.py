"""What colour lies under the new one: undyed yarn, or an earlier dyeing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import Array
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab

if TYPE_CHECKING:
    from skeinwright.core.forecast.dyeing import BaseForecast

ASSUMED_SD = 2.0
STATED_SD = 1.0
_FULL_RADIUS = 2.5
"""The radius of 90 % in three dimensions is 2.5 standard deviations (chi, 3 degrees of freedom)."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Ground:
    """A spectrum (31,) with a standard deviation `sd` in each of L*, a*, b*; `logit_slope` (31, 3) says how the spectrum moves with them."""

    name: str
    spectrum: Array
    logit_slope: Array
    sd: float
    origin: Origin
    observer_changed: bool = False
    assumed: tuple[str, ...] = ()


def ground_of(lab: Lab | None, name: str = "") -> Ground:
    """The ground of undyed yarn with this colour; without one, 93, 0, 8, and `assumed` says so."""
    if lab is None:
        guess = recover(ASSUMED_UNDYED)
        L, a, b = ASSUMED_UNDYED.values
        said = f"The undyed colour{f' of {name}' if name else ''} is Lab {L:g}, {a:g}, {b:g} (D65, 10 degree)."
        return Ground(name=name, spectrum=guess.reflectance, logit_slope=guess.logit_slope, sd=ASSUMED_SD, origin=Origin.ASSUMED, assumed=(said,))
    guess, changed = recover(lab), lab.observer != 10
    return Ground(name=name, spectrum=guess.reflectance, logit_slope=guess.logit_slope, sd=STATED_SD, origin=Origin.MEASURED, observer_changed=changed)


def ground_of_base(base: Base) -> Ground:
    """The ground of a base on the shelf."""
    return ground_of(base.undyed, base.name)


def ground_of_spectrum(spectrum: Array, name: str = "", *, sd: float = STATED_SD, origin: Origin = Origin.MEASURED, observer_changed: bool = False) -> Ground:
    """The ground of yarn whose reflectance (31,) is known, or was guessed from a Lab: `observer_changed` says that that one was of 2 degrees."""
    L, a, b = (float(value) for value in spectrum_to_lab(spectrum))
    slope = recover(Lab(L, a, b)).logit_slope
    return Ground(name=name, spectrum=np.asarray(spectrum, dtype=float), logit_slope=slope, sd=sd, origin=origin, observer_changed=observer_changed)


def ground_of_forecast(earlier: BaseForecast) -> Ground:
    """The ground that an earlier dyeing leaves, for an overdye: its spectrum, and its spread / 2.5 as standard deviation."""
    if earlier.spectrum is None or earlier.spread_de00 is None:
        raise ValueError("an incomplete forecast leaves no ground")
    return ground_of_spectrum(earlier.spectrum, earlier.base, sd=earlier.spread_de00 / _FULL_RADIUS, origin=Origin.COMPUTED)
