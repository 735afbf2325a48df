"""The few colours that make up an unevenly dyed skein, each with how far it may be off.

Places taken evenly over the skein are sorted by the hue that their colour is called by; of each hue that covers enough and is not bare yarn, the mean depths
that count are forecast as an even dyeing of those depths would be. Where only specks are coloured, they are the one colour.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from skeinwright.core.colour.ladder import DyeModel
from skeinwright.core.colour.tables import Array
from skeinwright.core.forecast.dyeing import BaseForecast, forecast_dyeing
from skeinwright.core.forecast.ground import Ground
from skeinwright.core.forecast.mapped_colour import sampled_amounts, sampled_labs
from skeinwright.core.forecast.skein_colour import Lookup
from skeinwright.core.shelf.items import Dye
from skeinwright.core.spread.skein_map import SkeinMap

Name = Callable[[tuple[float, float, float]], str]
"""Lab (D65) -> the name of a colour."""
MOST, LEAST_SHARE = 3, 0.05
BARE_DE = 8.0
"""CIE76 difference from the undyed ground under which a place counts as bare."""


@dataclass(frozen=True, slots=True)
class MainColour:
    """One of them: its name, the share of the skein's places that have it (0-1), and its forecast with edges."""

    words: str
    share: float
    forecast: BaseForecast


def main_colours(
    skein: SkeinMap,
    shares: Mapping[str, float],
    look_up: Lookup,
    dyes: Sequence[Dye],
    models: Mapping[str, DyeModel],
    ground: Ground,
    *,
    hue: Name,
    name: Name,
    seed: int,
) -> tuple[MainColour, ...]:
    """Up to three, the largest first; none where all places are bare or a dye's colour is not known.

    `shares` makes dye on the fibre the depth that counts: dye over share (`mapped_colour.shares_on_yarn`).
    Places of one `hue` are one colour, told by the `name` that most of them have.
    """
    if not skein.names or any(name not in models for name in skein.names):
        return ()
    amounts = sampled_amounts(skein)
    labs = sampled_labs(look_up(amounts))
    bare = np.array(sampled_labs(look_up(np.zeros((1, len(skein.names)))))[0])
    found: dict[str, list[int]] = {}
    for place, lab in enumerate(labs):
        if float(np.linalg.norm(np.array(lab) - bare)) >= BARE_DE:
            found.setdefault(hue(lab), []).append(place)
    ranked = sorted(found.values(), key=lambda places: (-len(places), places))
    kept = [places for places in ranked if len(places) >= LEAST_SHARE * len(labs)] or ranked[:1]
    made = []
    for places in kept[:MOST]:
        forecast = _forecast(skein.names, amounts[places].mean(axis=0), shares, dyes, models, ground, seed)
        names = [name(labs[place]) for place in places]
        words = max(sorted(set(names)), key=names.count)
        made.append(MainColour(words, len(places) / len(labs), forecast))
    return tuple(made)


def _forecast(
    names: Sequence[str], mean: Array, shares: Mapping[str, float], dyes: Sequence[Dye], models: Mapping[str, DyeModel], ground: Ground, seed: int
) -> BaseForecast:
    """What lies at such a place, dyed evenly; traces that no eye sees are left out."""
    depths = {name: float(depth) / shares.get(name, 1.0) for name, depth in zip(names, mean, strict=True)}
    depths = {name: depth for name, depth in depths.items() if depth > 1e-7}
    return forecast_dyeing(depths, dyes, ground, rng=np.random.default_rng(seed), models=models)
