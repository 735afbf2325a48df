"""One recipe of known depths, rounded to what can be weighed or pipetted on a weight of fibre, and forecast as rounded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.forecast.found_recipe import FoundRecipe
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground


def forecast_recipe(
    facts: DyeFacts, doses: Mapping[str, float], ground: Ground, *, fibre_g: float, seed: int = 1, uptake: Mapping[str, float] | None = None
) -> FoundRecipe:
    """The recipe {dye: depth} as a match for its own colour: `match.de00` is what rounding moves it. Raises BadInput where nothing is left of it.

    With `uptake` (what this pot lays on the yarn over what the swatches' bath does, by dye) the colour is that of what gets on; the depths stay as applied.
    """
    from dataclasses import replace

    import numpy as np

    from skeinwright.core.colour.match import Wanted, rank
    from skeinwright.core.colour.weighable import rounded
    from skeinwright.core.forecast.dyeing import as_lab, forecast_dyeing

    dyes = facts.dye_set(ground)
    amounts, depths = rounded(doses, facts.doser(fibre_g))
    if not depths:
        raise BadInput("On so little fibre nothing of this recipe can be weighed. Take more fibre, or make a solution.", where="fibre")

    def counted(applied: Mapping[str, float]) -> dict[str, float]:
        return {name: depth * (uptake or {}).get(name, 1.0) for name, depth in applied.items()}

    wanted = Wanted(lab=as_lab(dyes.labs(dyes.depths_of(counted(doses)))))
    match = rank(dyes, wanted, dyes.depths_of(counted(depths))[None], prices=facts.prices(), rng=np.random.default_rng(seed)).matches[0]
    rng = np.random.default_rng(seed)
    forecast = forecast_dyeing(match.doses, facts.dyes, ground, rng=rng, undyed=facts.undyed, models=facts.models(), fibre_g=fibre_g)
    return FoundRecipe(match=replace(match, doses=dict(depths)) if uptake else match, forecast=forecast, amounts=amounts)
