"""Forecast the colour of doses of dyes from their swatches (the command line's `forecast`)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import Habits, say
from skeinwright.core.shelf.swatch import Lab

if TYPE_CHECKING:
    from skeinwright.core.forecast.dye_facts import DyeFacts
    from skeinwright.core.forecast.dyeing import BaseForecast


@dataclass(frozen=True, kw_only=True, slots=True)
class DyesRequest:
    """Doses as typed ("Kelp=0.5 %"), the undyed base (its Lab as typed, or its name), and the text of a table of swatches where no facts are at hand."""

    doses: Sequence[str]
    table: str = ""
    base_lab: str = ""
    base: str = ""
    seed: int = 1
    habits: Habits = field(default_factory=Habits)


@dataclass(frozen=True, kw_only=True, slots=True)
class DyesForecast:
    """The colour of the fitted spectrum: `lab` (D65, 10 degree), `srgb` 0-255 (D65, 2 degree), and the radius in CIEDE2000 that holds 90 % of the draws."""

    lab: Lab
    srgb: tuple[int, int, int]
    clipped: bool
    spread_de00: float
    rests_on: str
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object. Lab and spread to two decimals: nothing finer is known."""
        return {
            "lab": [round(value, 2) for value in self.lab.values],
            "illuminant": self.lab.illuminant,
            "observer": self.lab.observer,
            "srgb": list(self.srgb),
            "srgb_illuminant": "D65",
            "srgb_observer": 2,
            "clipped": self.clipped,
            "spread_de00": round(self.spread_de00, 2),
            "rests_on": self.rests_on,
            "inputs": self.inputs,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def forecast_dyes(request: DyesRequest, facts: DyeFacts | None = None) -> DyesForecast:
    """The forecast of one dyeing, from `facts` or the request's table. Raises BadInput for a table, dose or base that cannot be read, or an unknown dye."""
    import numpy as np

    from skeinwright.core.forecast.dyeing import forecast_dyeing
    from skeinwright.services.read_dye_table import read_dye_table

    facts = facts if facts is not None else read_dye_table(request.table, base_lab=request.base_lab)
    doses = facts.depths(list(request.doses), habits=request.habits)
    ground, said = facts.ground(request.base_lab, request.base)
    forecast = forecast_dyeing(doses, facts.dyes, ground, rng=np.random.default_rng(request.seed), undyed=facts.undyed, models=facts.models())
    return _answer(forecast, doses, facts, said)


def _answer(forecast: BaseForecast, doses: dict[str, float], facts: DyeFacts, base: str) -> DyesForecast:
    if forecast.lab is None or forecast.srgb is None or forecast.spread_de00 is None:
        raise BadInput(" ".join(forecast.notes), where="dyes")
    inputs = {
        "doses": {name: say("fraction", depth) for name, depth in doses.items()},
        "dose_fractions": doses,
        "base": base,
        "swatches": {dye.name: len(dye.swatches) for dye in facts.dyes},
    }
    return DyesForecast(
        lab=forecast.lab,
        srgb=forecast.srgb,
        clipped=forecast.clipped,
        spread_de00=forecast.spread_de00,
        rests_on=forecast.rests_on,
        inputs=inputs,
        warnings=forecast.notes,
        assumed=(*facts.assumed, *forecast.assumed),
    )
