"""The colour of a dyed base while it is wet, from its forecast dry.

    K/S_wet = m K/S_dry        m is one figure a base: tested by the dyer, else assumed

The spread adds what the dry forecast may be off to what m may be off:  sqrt(dry^2 + wet^2), each a radius that holds 90 %. A difference dry is about as
large wet [assumed; on dyed textiles it shrinks a little as colours grow deeper].
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import spectrum_to_lab, spectrum_to_xyz, xyz_to_srgb
from skeinwright.core.colour.wet import ASSUMED, Wetness, wet_r
from skeinwright.core.forecast.dyeing import BaseForecast, as_lab
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.calibration import WET, Calibration
from skeinwright.core.shelf.swatch import Lab

DRAWS = 400
HELD = 0.9
_Z = 1.645


@dataclass(frozen=True, kw_only=True, slots=True)
class WetLook:
    """Lab (D65, 10 degree), sRGB (D65, 2 degree) with whether a screen cannot show it, the 90 % radius round `lab`, m, and what m rests on."""

    lab: Lab
    srgb: tuple[int, int, int]
    clipped: bool
    spread_de00: float
    m: float
    origin: Origin
    rests_on: str

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object; illuminants and observers are those of the dry forecast."""
        return {
            "lab": [round(value, 2) for value in self.lab.values],
            "srgb": list(self.srgb),
            "clipped": self.clipped,
            "spread_de00": round(self.spread_de00, 2),
            "m": round(self.m, 3),
            "rests_on": self.rests_on,
        }


def wetness_of(calibrations: Iterable[Calibration], base: str) -> tuple[Wetness, str]:
    """m of a base from the newest test of it, and what that is in words; the assumed one where it was never tested."""
    for one in calibrations:
        if one.quantity == WET and one.of_kind == "base" and one.of.casefold() == base.casefold() and one.low > 0:
            sd = float(np.log(one.high / one.low)) / (2 * _Z)
            said = f"Wet it looks {one.value:.2g} times as deep ({one.low:.2g} to {one.high:.2g}): your own test of {one.made_on.isoformat()}."
            return Wetness(one.value, sd, 0.0), said
    wide = float(np.exp(_Z * ASSUMED.log_sd))
    return (
        ASSUMED,
        f"Wet it looks {ASSUMED.m:.1f} times as deep ({ASSUMED.m / wide:.1f} to {ASSUMED.m * wide:.1f}), assumed: three pieces seen wet and dry would tell.",
    )


def wet_look(dry: BaseForecast, wetness: Wetness, said: str, *, rng: np.random.Generator) -> WetLook | None:
    """How the forecast colour looks soaked; None where there is no forecast. `wetness` and `said` are those of `wetness_of`."""
    if dry.spectrum is None or dry.spread_de00 is None:
        return None
    spectrum = wet_r(dry.spectrum, wetness.m)
    lab = spectrum_to_lab(spectrum)
    drawn = wetness.m * np.exp(wetness.log_sd * rng.standard_normal(DRAWS))
    apart = ciede2000(lab, spectrum_to_lab(wet_r(dry.spectrum, np.maximum(drawn, 1.0)[:, None])))
    srgb, clipped = xyz_to_srgb(spectrum_to_xyz(spectrum, "D65", 2))
    red, green, blue = (int(value) for value in srgb)
    return WetLook(
        lab=as_lab(lab),
        srgb=(red, green, blue),
        clipped=bool(clipped),
        spread_de00=float(np.hypot(dry.spread_de00, np.quantile(apart, HELD))),
        m=wetness.m,
        origin=Origin.ASSUMED if wetness.left_de00 is None else Origin.MEASURED,
        rests_on=said,
    )
