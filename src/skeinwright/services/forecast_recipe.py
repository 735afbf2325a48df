"""One recipe of known depths, rounded to what can be weighed or pipetted on a weight of fibre, and forecast as rounded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.forecast.found_recipe import FoundRecipe
from skeinwright.core.foundations.errors import BadInput
from skeinwright.services._dosing import liquor_scale

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base


def forecast_recipe(
    facts: DyeFacts,
    doses: Mapping[str, float],
    ground: Ground,
    *,
    fibre_g: float,
    seed: int = 1,
    uptake: Mapping[str, float] | None = None,
    liquor: str = "",
    yarn: Base | None = None,
) -> FoundRecipe:
    """The recipe {dye: depth} as a match for its own colour: `match.de00` is what rounding moves it. Raises BadInput where nothing is left of it.

    With `uptake` (what this pot lays on the yarn over what the swatches' bath does, by dye) the colour is that of what gets on; the depths stay as applied.
    With `liquor` ("60:1") the same for the swatches' bath with that liquor ratio, on `yarn`.
    """
    from dataclasses import replace

    import numpy as np

    from skeinwright.core.colour.match import Wanted, cost_minor, rank
    from skeinwright.core.colour.weighable import rounded
    from skeinwright.core.forecast.dyeing import as_lab, forecast_dyeing
    from skeinwright.core.forecast.liquor_scale import counted_in, scatter_in

    dyes, scale = facts.dye_set(ground), liquor_scale(facts, liquor, yarn)
    amounts, depths = rounded(doses, facts.doser(fibre_g))
    if not depths:
        raise BadInput("On so little fibre nothing of this recipe can be weighed. Take more fibre, or make a solution.", where="fibre")

    def counted(applied: Mapping[str, float]) -> dict[str, float]:
        return counted_in(scale, {name: depth * (uptake or {}).get(name, 1.0) for name, depth in applied.items()})

    wanted = Wanted(lab=as_lab(dyes.labs(dyes.depths_of(counted(doses)))))
    match = rank(dyes, wanted, dyes.depths_of(counted(depths))[None], prices=facts.prices(), rng=np.random.default_rng(seed)).matches[0]
    rng = np.random.default_rng(seed)
    scatter = scatter_in(scale, depths)
    forecast = forecast_dyeing(match.doses, facts.dyes, ground, rng=rng, undyed=facts.undyed, models=facts.models(), fibre_g=fibre_g, scatter=scatter)
    if not uptake and scale is None:
        return FoundRecipe(match=match, forecast=forecast, amounts=amounts)
    weighed = replace(match, doses=dict(depths), cost_minor=cost_minor(depths, facts.prices()))
    return FoundRecipe(match=weighed, forecast=forecast, amounts=amounts, counted=match.doses)
