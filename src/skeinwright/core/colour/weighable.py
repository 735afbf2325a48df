"""A recipe rounded to what can be weighed or pipetted, and what it then gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

STEP_G = 0.01
"""A kitchen jeweller's balance [assumed]."""
STEP_ML = 0.5
"""A 10 ml syringe, by eye [assumed]."""
_FEW_STEPS = 5


@dataclass(frozen=True, kw_only=True, slots=True)
class Doser:
    """How amounts are taken: a balance that reads `step_g`, and solutions {dye: grams of powder in 1 ml} taken in steps of `step_ml`.

    `strengths` {dye: fraction} are those of the jars: powder = depth x fibre / strength.
    """

    fibre_g: float
    step_g: float = STEP_G
    step_ml: float = STEP_ML
    solutions: Mapping[str, float] = field(default_factory=dict)
    strengths: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Dose:
    """One amount: grams of powder, or millilitres of a solution; `coarse` where a step is more than a fifth of it."""

    dye: str
    amount: float
    unit: str
    coarse: bool

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object."""
        return {"dye": self.dye, "amount": self.amount, "unit": self.unit, "coarse": self.coarse}


def rounded(doses: Mapping[str, float], doser: Doser) -> tuple[tuple[Dose, ...], dict[str, float]]:
    """The amounts {dye: depth} to the nearest step, and the depths that those are: what is forecast afterwards. An amount under half a step falls out."""
    amounts, depths = [], {}
    for name, depth in doses.items():
        powder_g = depth * doser.fibre_g / doser.strengths.get(name, 1.0)
        per_ml = doser.solutions.get(name)
        unit, step, each_g = ("g", doser.step_g, 1.0) if per_ml is None else ("ml", doser.step_ml, per_ml)
        steps = round(powder_g / each_g / step)
        if steps == 0:
            continue
        amount = round(steps * step, 6)
        amounts.append(Dose(name, amount, unit, steps < _FEW_STEPS))
        depths[name] = amount * each_g * doser.strengths.get(name, 1.0) / doser.fibre_g
    return tuple(amounts), depths
