"""Use it up: what can be dyed today from jars and leftovers that are nearly gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base, Dye, Leftover
from skeinwright.services._dosing import forecast_weighed, liquor_scale
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.reach_of_shelf import Chip, chips_of
from skeinwright.services.say_bath import AS_THE_SWATCHES, in_scale
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.ground import Ground

NEARLY_GONE_G = 3.0
"""A jar with less powder than this is nearly gone [assumed]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Pot:
    """One dyeing that empties jars or leftovers: its colour, the fibre for it, and grams of powder (at full strength) by dye."""

    chip: Chip
    fibre_g: float
    takes_g: dict[str, float]
    forecast: BaseForecast
    """The same colour with its spread."""


@dataclass(frozen=True, kw_only=True, slots=True)
class UseUp:
    """What is nearly gone {dye: grams at full strength}, the pots, and what could not be used."""

    left_g: dict[str, float]
    pots: tuple[Pot, ...]
    notes: tuple[str, ...]
    bath: str = AS_THE_SWATCHES
    """In which bath these are the colours, in a sentence."""


def use_up(
    studio: Studio,
    ground: Ground,
    *,
    fibre_g: Sequence[float] = (100.0, 200.0),
    nearly_gone_g: float = NEARLY_GONE_G,
    liquor: str = "",
    yarn: Base | None = None,
) -> UseUp:
    """Pots that empty what is nearly gone, on each weight of fibre. Leftovers count with the dye that is still in them.

    The colours are those of the swatches' bath, or with `liquor` ("60:1") of one of that liquor ratio on `yarn`. Raises BadInput for no fibre.
    """
    from skeinwright.core.colour.use_up import use_up as emptied
    from skeinwright.core.forecast.liquor_scale import counted_in

    if not fibre_g or min(fibre_g) <= 0:
        raise BadInput("How much fibre could be dyed? Give its weight.", where="fibre")
    facts = gather_dyes(studio)
    scale = liquor_scale(facts, liquor, yarn)
    left, notes = _left(studio, nearly_gone_g)
    known = {dye.name for dye in facts.known}
    notes.extend(f"{name} has no swatch: its colour is not known." for name in left if name not in known)
    left = {name: grams for name, grams in left.items() if name in known}
    if not left:
        return UseUp(left_g={}, pots=(), notes=tuple(notes))
    dyes = facts.dye_set(ground, tuple(left))
    found = emptied(dyes, left, tuple(fibre_g))
    pots, models = [], facts.models()
    for one in found:
        (chip,) = chips_of(dyes, dyes.depths_of(counted_in(scale, one.doses))[None], [one.doses])
        forecast = forecast_weighed(facts, ground, one.doses, scale, models=models, seed=studio.seed, fibre_g=one.fibre_g)
        pots.append(Pot(chip=chip, fibre_g=one.fibre_g, takes_g={name: depth * one.fibre_g for name, depth in one.doses.items()}, forecast=forecast))
    deepest = {name: max((one.doses.get(name, 0.0) for one in found), default=0.0) for name in left}
    bath = in_scale(scale, "" if scale is None else scale.laid({name: depth for name, depth in deepest.items() if depth > 0}), yarn)
    return UseUp(left_g=left, pots=tuple(pots), notes=tuple(notes), bath=bath)


def _left(studio: Studio, nearly_gone_g: float) -> tuple[dict[str, float], list[str]]:
    """Grams at full strength of each dye that is nearly gone, in its jar and in leftovers; leftovers count however full the jar is."""
    left: dict[str, float] = {}
    notes: list[str] = []
    with studio.store.reading() as reading:
        dyes = [kept.thing for kept in reading.items("dye") if isinstance(kept.thing, Dye)]
        leftovers = [kept.thing for kept in reading.items("leftover") if isinstance(kept.thing, Leftover)]
    for dye in dyes:
        if dye.on_hand_g is not None and 0 < dye.on_hand_g <= nearly_gone_g:
            left[dye.name] = dye.on_hand_g * dye.strength
    strengths = {dye.name: dye.strength for dye in dyes}
    for leftover in leftovers:
        if not leftover.dyes_g:
            notes.append(f"How much dye is still in {leftover.name} is not known.")
        for name, grams in leftover.dyes_g:
            left[name] = left.get(name, 0.0) + grams * strengths.get(name, 1.0)
    return left, notes
