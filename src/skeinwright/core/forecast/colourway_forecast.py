"""A colourway's colour on each of its bases: its steps up to the first that no model covers.

Baths are forecast: what a step adds is a depth of shade for each dye, the same all over the skein.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from skeinwright.core.bath.amounts import depth_of, powder_in_solution_g
from skeinwright.core.colourway.meaning import Recipe
from skeinwright.core.colourway.reading import ReadStep
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.forecast.dyeing import BaseForecast, Scatter, fit_dyes, forecast_dyeing
from skeinwright.core.forecast.ground import Ground, ground_of
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import Quantity
from skeinwright.core.shelf.items import Dye, Solution
from skeinwright.core.shelf.swatch import Lab

NOT_AFTER = "not forecast after this step"
StepDoses = tuple[str, Mapping[str, float]]
"""A step's word, and the depth (fraction of the fibre's weight, as applied) that it adds of each dye."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourwayForecast:
    """One forecast a base, in the order of the grounds. `stopped_at` is the index of the first step that no model covers, None where all are covered."""

    bases: tuple[BaseForecast, ...]
    doses: Mapping[str, float]
    stopped_at: int | None

    @property
    def stopped(self) -> str:
        """"not forecast after this step", or "" where nothing stopped it."""
        return "" if self.stopped_at is None else NOT_AFTER


def forecast_colourway(
    steps: Sequence[StepDoses],
    dyes: Sequence[Dye],
    grounds: Sequence[Ground] = (),
    *,
    seed: int,
    undyed: Mapping[str, Lab] | None = None,
    fibre_g: float | None = None,
    scatter: Scatter | None = None,
) -> ColourwayForecast:
    """The forecast of the steps up to the first whose word is not `forecast`.

    Every base is drawn with the same `seed`, so that bases differ by themselves and not by chance. Without grounds: one undyed base of assumed colour.
    """
    stopped_at = next((index for index, (do, _) in enumerate(steps) if not WORDS[do].forecast), None)
    doses: dict[str, float] = {}
    for _, added in steps[:stopped_at]:
        for name, depth in added.items():
            doses[name] = doses.get(name, 0.0) + depth
    models = fit_dyes([dye for dye in dyes if dye.name in doses], undyed)
    bases = tuple(
        forecast_dyeing(doses, dyes, ground, rng=np.random.default_rng(seed), undyed=undyed, models=models, fibre_g=fibre_g, scatter=scatter)
        for ground in grounds or (ground_of(None),)
    )
    return ColourwayForecast(bases=bases, doses=doses, stopped_at=stopped_at)


def step_doses(steps: Iterable[ReadStep], *, fibre_g: float, skeins: float | None, dyes: Sequence[Dye], solutions: Sequence[Solution]) -> list[StepDoses]:
    """What each step adds, as depths: from per cent, grams, grams per skein, parts of a total, or millilitres of a solution on the shelf.

    depth = grams of powder x the jar's strength / fibre. Raises BadInput where a step's amount cannot be a depth, with the step's number as `where`.
    """
    strengths = {dye.name.casefold(): dye.strength for dye in dyes}
    written = {dye.name.casefold(): dye.name for dye in dyes}
    shelf = {solution.name.casefold(): solution for solution in solutions}
    found: list[StepDoses] = []
    for number, step in enumerate(steps, start=1):
        where = f"step {number}"
        added = _added(step, fibre_g, skeins, strengths, shelf, where) if step.do == "add dye" else {}
        found.append((step.do, {written.get(name.casefold(), name): depth for name, depth in added.items()}))
    return found


def _added(step: ReadStep, fibre_g: float, skeins: float | None, strengths: Mapping[str, float], shelf: Mapping[str, Solution], where: str) -> dict[str, float]:
    total = step.quantity("depth") or step.quantity("amount")
    recipe = step.values.get("recipe")
    if isinstance(recipe, Recipe) and recipe.doses:
        return {name: _depth(name, dose, fibre_g, skeins, strengths, where) for name, dose in recipe.doses}
    if total is None:
        raise BadInput("How much dye? Give a depth ('0.8 %') or an amount.", where=where)
    if isinstance(recipe, Recipe):
        return {name: share * _depth(name, total, fibre_g, skeins, strengths, where) for name, share in recipe.parts}
    if step.name("solution"):
        return _from_solution(step.name("solution"), total, fibre_g, skeins, strengths, shelf, where)
    name = step.name("dye")
    return {name: _depth(name, total, fibre_g, skeins, strengths, where)}


def _depth(name: str, dose: Quantity, fibre_g: float, skeins: float | None, strengths: Mapping[str, float], where: str) -> float:
    if dose.kind == "fraction":
        return dose.value
    if dose.kind == "mass":
        return depth_of(dose.value, fibre_g, strengths.get(name.casefold(), 1.0))
    if dose.kind == "per_skein":
        return depth_of(dose.value * _skeins(skeins, where), fibre_g, strengths.get(name.casefold(), 1.0))
    raise BadInput(f"'{dose.text}' of {name} is no amount of powder. Give a depth, grams, or grams per skein; millilitres are for solutions.", where=where)


def _from_solution(
    name: str, dose: Quantity, fibre_g: float, skeins: float | None, strengths: Mapping[str, float], shelf: Mapping[str, Solution], where: str
) -> dict[str, float]:
    solution = shelf.get(name.casefold())
    if solution is None:
        raise BadInput(f"There is no solution {name} on the shelf. Add it there, with its strength.", where=where)
    if dose.kind == "fraction":
        return {dye: share * dose.value for dye, share in solution.parts}
    if dose.kind not in ("volume", "volume_per_skein"):
        raise BadInput(f"'{dose.text}' of the solution {name} is no volume. Give millilitres or a depth.", where=where)
    volume_ml = dose.value * (_skeins(skeins, where) if dose.kind == "volume_per_skein" else 1.0)
    powder_g = powder_in_solution_g(volume_ml, solution.strength)
    return {dye: depth_of(share * powder_g, fibre_g, strengths.get(dye.casefold(), 1.0)) for dye, share in solution.parts}


def _skeins(skeins: float | None, where: str) -> float:
    if not skeins:
        raise BadInput("An amount per skein needs the number of skeins: write the fibre as '2 skeins of 100 g'.", where=where)
    return skeins
