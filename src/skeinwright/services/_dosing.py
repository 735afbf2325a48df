"""How the recipes of `match_target` are dosed: for the bath's own liquor ratio, and rounded to what can be weighed or pipetted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts, fibre_g_of
from skeinwright.core.forecast.found_recipe import FoundRecipe

if TYPE_CHECKING:
    from skeinwright.core.colour.ladder import DyeModel
    from skeinwright.core.colour.match import Match, Matches, Wanted
    from skeinwright.core.colour.weighable import Dose
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.forecast.liquor_scale import LiquorScale
    from skeinwright.core.shelf.items import Base

SCALED = 40
"""Of so many recipes, the nearest, the doses are worked out for another liquor ratio: each dye's bath has to be followed for it."""


def forecast_weighed(
    facts: DyeFacts,
    ground: Ground,
    doses: Mapping[str, float],
    scale: LiquorScale | None,
    *,
    models: Mapping[str, DyeModel],
    seed: int,
    fibre_g: float | None = None,
) -> BaseForecast:
    """The colour of doses as they are weighed out for the bath of `scale`."""
    import numpy as np

    from skeinwright.core.forecast.dyeing import forecast_dyeing
    from skeinwright.core.forecast.liquor_scale import counted_in, scatter_in

    counted, scatter = counted_in(scale, doses), scatter_in(scale, doses)
    rng = np.random.default_rng(seed)
    return forecast_dyeing(counted, facts.dyes, ground, rng=rng, undyed=facts.undyed, models=models, fibre_g=fibre_g, scatter=scatter)


class Dosing:
    """Turns the depths that a search found into doses of this bath, rounded where the fibre's weight is known, and forecasts them."""

    def __init__(self, facts: DyeFacts, wanted: Wanted, ground: Ground, *, fibre: str, scale: LiquorScale | None, seed: int) -> None:
        self.facts, self.wanted, self.ground, self.scale, self.seed = facts, wanted, ground, scale, seed
        self.fibre_g = fibre_g_of(fibre)
        self.dyes = facts.dye_set(ground)
        self.models = facts.models()
        self.doser = None if self.fibre_g is None else facts.doser(self.fibre_g)

    def as_dosed(self, solved: Matches) -> Matches:
        """The recipes as they can be weighed or pipetted, ranked again: rounding can put another one nearest. As they are where no weight is known."""
        import numpy as np

        from skeinwright.core.colour.match import rank
        from skeinwright.core.forecast.liquor_scale import counted_in

        if self.doser is None:
            return solved
        near = solved.matches if self.scale is None else solved.matches[:SCALED]
        rows = np.unique([self.dyes.depths_of(counted_in(self.scale, self._rounded(match)[1])) for match in near], axis=0)
        return rank(self.dyes, self.wanted, rows, prices=self.facts.prices(), rng=np.random.default_rng(self.seed))

    def _rounded(self, match: Match) -> tuple[tuple[Dose, ...], dict[str, float]]:
        from skeinwright.core.colour.weighable import rounded
        from skeinwright.core.forecast.liquor_scale import applied_in

        assert self.doser is not None
        return rounded(applied_in(self.scale, match.doses), self.doser)

    def recipe(self, match: Match) -> FoundRecipe:
        """A recipe of `as_dosed` with its forecast and, where the fibre's weight is known, its amounts."""
        import numpy as np

        from skeinwright.core.colour.match import cost_minor
        from skeinwright.core.forecast.dyeing import forecast_dyeing
        from skeinwright.core.forecast.liquor_scale import applied_in, scatter_in

        amounts, applied = ((), applied_in(self.scale, match.doses)) if self.doser is None else self._rounded(match)
        forecast = forecast_dyeing(
            match.doses,
            self.facts.dyes,
            self.ground,
            rng=np.random.default_rng(self.seed),
            undyed=self.facts.undyed,
            models=self.models,
            fibre_g=self.fibre_g,
            scatter=scatter_in(self.scale, applied),
        )
        if self.scale is None:
            return FoundRecipe(match=match, forecast=forecast, amounts=amounts)
        cost = cost_minor(applied, self.facts.prices())
        return FoundRecipe(match=replace(match, doses=dict(applied), cost_minor=cost), forecast=forecast, amounts=amounts, counted=match.doses)


def liquor_scale(facts: DyeFacts, liquor: str, yarn: Base | None) -> LiquorScale | None:
    """What another liquor ratio than the swatches' does; None where it is theirs, or the yarn takes no acid dye at all. Raises BadInput."""
    from skeinwright.core.bath.written_run import Load, fibres_of
    from skeinwright.core.forecast.liquor_scale import LiquorScale, liquor_ratio_of
    from skeinwright.core.shelf.no_base import NO_BASE
    from skeinwright.services.warm_pots import warm_pots

    ratio = liquor_ratio_of(liquor)
    fibres = () if ratio is None else fibres_of((Load(base=yarn or NO_BASE, mass_g=100.0),))
    if ratio is None or not fibres:
        return None
    warm_pots()  # some dozens of baths are followed: seconds as written, a few tenths of one compiled
    return LiquorScale(ratio=ratio, fibres=fibres, classes={dye.name: dye.dye_class for dye in facts.dyes})
