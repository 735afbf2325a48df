"""The depth of shade that each step of a plan adds, from its doses: what is weighed out and what is forecast can never disagree.

depth = grams of powder x the jar's strength / fibre_g;  a solution holds ml x strength grams, shared out by its parts
"""

from __future__ import annotations

from collections.abc import Sequence

from skeinwright.core.bath.amounts import depth_of, powder_in_solution_g
from skeinwright.core.lot.lot import Dose, Planned
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.shelf.items import Blend, Dye, Leftover, Solution

StepDepths = tuple[str, dict[str, float]]
"""A step's word, and the depth (fraction of the fibre's weight, as applied) that it adds of each dye."""


def step_depths(plan: Sequence[Planned], fibre_g: float, shelf: OnShelf, *, vessel: str | None = None) -> tuple[StepDepths, ...]:
    """(word, {dye: depth}) of each planned step on `fibre_g` grams; with `vessel` only what goes into that one.

    A dye that is not on the shelf counts as 100 %. What has no known weight of powder adds nothing: `of_no_known_weight` names it. A leftover's dye counts here
    although it is not weighed out again.
    """
    found: list[StepDepths] = []
    for planned in plan:
        depths: dict[str, float] = {}
        for dose in _mine(planned, vessel):
            for name, powder_g in (*powder_of(dose, shelf), *carried_by(dose, shelf)):
                depths[name] = depths.get(name, 0.0) + depth_of(powder_g, fibre_g, strength_of(name, shelf))
        found.append((planned.step.do, depths))
    return tuple(found)


def powder_of(dose: Dose, shelf: OnShelf) -> list[tuple[str, float]]:
    """(dye, grams of powder) in a dose of a dye, a solution or a blend; nothing where its weight cannot be known."""
    solution, blend = shelf.find(Solution, dose.name), shelf.find(Blend, dose.name)
    if dose.kind == "dye" and dose.unit == "g":
        return [(dose.name, dose.amount)]
    if dose.kind == "solution" and solution is not None:
        powder_g = powder_in_solution_g(dose.amount, solution.strength)
        return [(name, powder_g * share) for name, share in solution.parts]
    if dose.kind == "blend" and blend is not None:
        return [(name, dose.amount * share) for name, share in blend.parts if shelf.find(Dye, name) is not None]
    return []


def carried_by(dose: Dose, shelf: OnShelf) -> list[tuple[str, float]]:
    """(dye, grams of powder) that a dose of leftover liquor brings along, its share of what the whole leftover holds; nothing where that is not known."""
    found = shelf.find(Leftover, dose.name) if dose.kind == "leftover" else None
    return [] if found is None else list(found.dyes_in(dose.amount))


def of_no_known_weight(planned: Planned) -> tuple[str, ...]:
    """Dyes that a step gives in millilitres although no solution of that name, and so no strength, is known."""
    return tuple(dose.name for dose in planned.doses if dose.kind == "dye" and dose.unit == "ml")


def strength_of(name: str, shelf: OnShelf) -> float:
    """The strength of a dye's powder; 1 where it is not on the shelf."""
    dye = shelf.find(Dye, name)
    return 1.0 if dye is None else dye.strength


def _mine(planned: Planned, vessel: str | None) -> tuple[Dose, ...]:
    return tuple(dose for dose in planned.doses if vessel is None or dose.vessel == vessel)
