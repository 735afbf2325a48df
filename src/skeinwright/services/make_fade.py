"""Make a fade: skeins evenly spaced to the eye between two recipes, with their doses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.forecast.dye_facts import DyeFacts, fibre_g_of, in_pct, lab_list, said_doses
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.services._dosing import forecast_weighed, liquor_scale
from skeinwright.services.say_bath import in_scale

if TYPE_CHECKING:
    from skeinwright.core.colour.weighable import Dose
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base

MOST = 50


@dataclass(frozen=True, kw_only=True, slots=True)
class FadeRequest:
    """Two recipes as typed doses ("Kelp=0.5 %"), how many skeins, and the ground; with `fibre` ("100 g", one skein) amounts are rounded and forecast again.

    `liquor` ("60:1") is the bath's liquor ratio where it is not the swatches', and `yarn` the base that takes up from it: the two recipes stay as they are,
    and the colours are those of that bath.
    """

    start: Sequence[str]
    end: Sequence[str]
    skeins: int
    base_lab: str = ""
    base: str = ""
    ground: Ground | None = field(default=None, compare=False)
    fibre: str = ""
    liquor: str = ""
    yarn: Base | None = field(default=None, compare=False)
    seed: int = 1
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class FadeSkein:
    """One skein of a fade."""

    doses: dict[str, float]
    forecast: BaseForecast
    amounts: tuple[Dose, ...]

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object."""
        forecast = self.forecast
        plain: dict[str, Any] = {
            "doses": in_pct(self.doses),
            "lab": None if forecast.lab is None else lab_list(forecast.lab),
            "srgb": None if forecast.srgb is None else list(forecast.srgb),
            "spread_de00": None if forecast.spread_de00 is None else round(forecast.spread_de00, 2),
        }
        if self.amounts:
            plain["amounts"] = [dose.to_plain() for dose in self.amounts]
        return plain


@dataclass(frozen=True, kw_only=True, slots=True)
class Fade:
    """The skeins in order, and CIEDE2000 from each to the next."""

    skeins: tuple[FadeSkein, ...]
    steps_de00: tuple[float, ...]
    bath: str
    """In which bath the doses give these colours, in a sentence."""
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "skeins": [skein.to_plain() for skein in self.skeins],
            "steps_de00": [round(step, 2) for step in self.steps_de00],
            "illuminant": "D65",
            "observer": 10,
            "inputs": self.inputs,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def make_fade(facts: DyeFacts, request: FadeRequest) -> Fade:
    """The fade. Raises BadInput for doses, a base or a number of skeins that cannot be."""
    import numpy as np

    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.core.colour.fade import make_fade as spaced
    from skeinwright.core.colour.weighable import rounded
    from skeinwright.core.forecast.liquor_scale import applied_in, counted_in

    if not 2 <= request.skeins <= MOST:
        raise BadInput(f"A fade has 2 to {MOST} skeins.", where="skeins")
    start = facts.depths(list(request.start), where="from", habits=request.habits)
    end = facts.depths(list(request.end), where="to", habits=request.habits)
    ground, said = (request.ground, request.ground.name) if request.ground is not None else facts.ground(request.base_lab, request.base)
    dyes = facts.dye_set(ground, tuple(dict.fromkeys([*start, *end])))
    scale = liquor_scale(facts, request.liquor, request.yarn)
    depths, _ = spaced(dyes, dyes.depths_of(counted_in(scale, start)), dyes.depths_of(counted_in(scale, end)), request.skeins)
    fibre_g, models, skeins = fibre_g_of(request.fibre), facts.models(), []
    for row in depths:
        doses, amounts = applied_in(scale, dyes.doses_of(row)), _none()
        if fibre_g is not None:
            amounts, doses = rounded(doses, facts.doser(fibre_g))
        forecast = forecast_weighed(facts, ground, doses, scale, models=models, seed=request.seed, fibre_g=fibre_g)
        skeins.append(FadeSkein(doses=doses, forecast=forecast, amounts=amounts))
    labs = np.array([skein.forecast.lab.values for skein in skeins if skein.forecast.lab is not None])
    steps = tuple(float(step) for step in ciede2000(labs[:-1], labs[1:]))
    inputs = {"from": said_doses(start), "to": said_doses(end), "skeins": request.skeins, "base": said}
    bath = in_scale(scale, "" if scale is None else scale.laid({name: max(start.get(name, 0.0), end.get(name, 0.0)) for name in (*start, *end)}), request.yarn)
    notes = _notes(skeins)
    assumed = dict.fromkeys([*facts.assumed, *(sentence for skein in skeins for sentence in skein.forecast.assumed)])
    return Fade(
        skeins=tuple(skeins),
        steps_de00=steps,
        bath=bath,
        inputs=inputs if scale is None else inputs | {"liquor_ratio": scale.ratio},
        warnings=(*_close(steps), *notes),
        assumed=(*assumed, bath),
    )


def _notes(skeins: Sequence[FadeSkein]) -> list[str]:
    """What is said of the forecasts, each once, with the skeins that it is said of unless it is all of them."""
    of: dict[str, list[int]] = {}
    for number, skein in enumerate(skeins, start=1):
        for note in skein.forecast.notes:
            of.setdefault(note, []).append(number)
    return [note if len(found) == len(skeins) else f"Skein{'s' if len(found) > 1 else ''} {', '.join(map(str, found))}: {note}" for note, found in of.items()]


def _none() -> tuple[Dose, ...]:
    return ()


def _close(steps: tuple[float, ...]) -> tuple[str, ...]:
    if max(steps) < 1:
        return ("Neighbouring skeins differ so little that nobody would see it: take fewer.",)
    if max(steps) > 2 * max(min(steps), 0.1) and max(steps) > 2:
        return ("Rounding makes the steps uneven: use solutions, or dye more fibre in a pot.",)
    return ()
