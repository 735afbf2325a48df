"""One recipe of known depths, rounded to what can be weighed or pipetted on a weight of fibre, and forecast as rounded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.match_target import FoundRecipe

if TYPE_CHECKING:
    from skeinwright.core.forecast.ground import Ground


def forecast_recipe(facts: DyeFacts, doses: Mapping[str, float], ground: Ground, *, fibre_g: float, seed: int = 1) -> FoundRecipe:
    """The recipe {dye: depth} as a match for its own colour: `match.de00` is what rounding moves it. Raises BadInput where nothing is left of it."""
    import numpy as np

    from skeinwright.core.colour.match import Wanted, rank
    from skeinwright.core.colour.weighable import Doser, rounded
    from skeinwright.core.forecast.dyeing import as_lab, forecast_dyeing

    dyes = facts.dye_set(ground)
    amounts, depths = rounded(doses, Doser(fibre_g=fibre_g, solutions=facts.pipetted(), strengths=facts.strengths()))
    if not depths:
        raise BadInput("On so little fibre nothing of this recipe can be weighed. Take more fibre, or make a solution.", where="fibre")
    wanted = Wanted(lab=as_lab(dyes.labs(dyes.depths_of(doses))))
    match = rank(dyes, wanted, dyes.depths_of(depths)[None], prices=facts.prices(), rng=np.random.default_rng(seed)).matches[0]
    rng = np.random.default_rng(seed)
    forecast = forecast_dyeing(match.doses, facts.dyes, ground, rng=rng, undyed=facts.undyed, models=facts.models(), fibre_g=fibre_g)
    return FoundRecipe(match=match, forecast=forecast, amounts=amounts)
