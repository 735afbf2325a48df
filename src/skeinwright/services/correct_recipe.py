"""Correct a recipe after a measured trial: what to add to that skein, and the recipe for the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from skeinwright.core.forecast.dye_facts import DyeFacts, in_pct, said_doses
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.swatch import READING_SD, Reading

if TYPE_CHECKING:
    from skeinwright.core.colour.correct import Correction
    from skeinwright.core.forecast.ground import Ground


@dataclass(frozen=True, kw_only=True, slots=True)
class CorrectRequest:
    """What the trial was dyed with ("Kelp=0.5 %"), the target and the dry trial's colour as typed Lab, and how that was read; `sd` is the reading's own
    standard deviation in each of L*, a*, b*, where it has one.

    `uptake` is what the trial's pot lays on the yarn over what the swatches' bath does, by dye (1 where it is not known).
    """

    doses: Sequence[str]
    target: str
    measured: str
    reading: Reading = Reading.TYPED
    sd: float | None = None
    base_lab: str = ""
    base: str = ""
    ground: Ground | None = field(default=None, compare=False)
    uptake: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    habits: Habits = HABITS
    seed: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class CorrectedRecipe:
    """The correction, with what it was made from: `went_in` {dye: depth} as applied, and `uptake` as it was asked with."""

    correction: Correction
    inputs: dict[str, Any]
    assumed: tuple[str, ...]
    went_in: Mapping[str, float]
    uptake: Mapping[str, float]

    def left_after(self, recipe: Mapping[str, float]) -> float:
        """CIEDE2000 to the target that this recipe {dye: depth as applied} leaves: of amounts as they are rounded."""
        return self.correction.left_by({name: depth * self.uptake.get(name, 1.0) for name, depth in recipe.items()})

    def left_after_adding(self, top_up: Mapping[str, float]) -> float:
        """The same where this is added to the trial."""
        return self.left_after({name: self.went_in.get(name, 0.0) + top_up.get(name, 0.0) for name in {**self.went_in, **top_up}})

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        found = self.correction
        return {
            "strengths": {name: round(value, 3) for name, value in found.strengths.items()},
            "trial_de00": round(found.trial_de00, 2),
            "recipe": in_pct(found.recipe),
            "recipe_de00": round(found.recipe_de00, 2),
            "recipe_spread_de00": _two(found.recipe_spread_de00),
            "top_up": in_pct(found.top_up),
            "top_up_de00": round(found.top_up_de00, 2),
            "top_up_spread_de00": _two(found.top_up_spread_de00),
            "inputs": self.inputs,
            "warnings": list(found.notes),
            "assumed": list(self.assumed),
        }


def correct_recipe(facts: DyeFacts, request: CorrectRequest) -> CorrectedRecipe:
    """The correction. Target and trial have to be of one light and observer. Raises BadInput."""
    import numpy as np

    from skeinwright.core.colour.correct import STRENGTH_SD, correct

    doses = facts.depths(list(request.doses), habits=request.habits)
    target, measured = parse_lab(request.target, where="target"), parse_lab(request.measured, where="measured")
    if (target.illuminant, target.observer) != (measured.illuminant, measured.observer):
        raise BadInput("Target and trial are for different lights or observers: they cannot be compared.", where="measured")
    ground, said = (request.ground, request.ground.name) if request.ground is not None else facts.ground(request.base_lab, request.base)
    found = correct(
        facts.dye_set(ground, tuple(doses)),
        {name: depth * request.uptake.get(name, 1.0) for name, depth in doses.items()},
        np.array(target.values),
        np.array(measured.values),
        reading_sd=request.sd or READING_SD[request.reading],
        illuminant=target.illuminant,
        observer=target.observer,
        rng=np.random.default_rng(request.seed),
    )
    found = replace(found, recipe=_applied(found.recipe, request.uptake), top_up=_applied(found.top_up, request.uptake))
    assumed = (
        *facts.assumed,
        f"A dye's effect in one pot strays by {100 * STRENGTH_SD:.0f} % (one standard deviation).",
        "The trial was read dry, and the next pot is run in the same way.",
    )
    inputs = {"doses": said_doses(doses), "target": write_lab(target), "measured": write_lab(measured), "base": said}
    return CorrectedRecipe(correction=found, inputs=inputs, assumed=assumed, went_in=doses, uptake=request.uptake)


def _two(value: float | None) -> float | None:
    return None if value is None else round(value, 2)


def _applied(depths: Mapping[str, float], uptake: Mapping[str, float]) -> dict[str, float]:
    """Depths to weigh out, of depths that count: this pot lays `uptake` times as much on the yarn as the swatches' bath."""
    return {name: depth / uptake.get(name, 1.0) for name, depth in depths.items()}
