"""Work out dye and solution for a depth of shade."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from skeinwright.core.bath.amounts import dye_g, parts_g, solution_ml
from skeinwright.core.bath.guards import Guard, depth_guards, refusals, solution_guards, strength_guards, warnings, weighing_guards
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import Habits, parse, parse_fibre, parse_parts, say


@dataclass(frozen=True, kw_only=True, slots=True)
class AmountsRequest:
    """What was typed: fibre "300 g", depth "3 %", and where they matter solution "1 %", strength of the powder "80 %", parts "3 Kelp : 1 Ember"."""

    fibre: str
    depth: str
    solution: str = ""
    strength: str = ""
    parts: str = ""
    habits: Habits = field(default_factory=Habits)


@dataclass(frozen=True, kw_only=True, slots=True)
class Amounts:
    """Grams of powder in all and by dye, millilitres of solution (None without one), and what was understood."""

    dye_g: float
    solution_ml: float | None
    dyes: dict[str, float]
    fibre_g: float
    depth: float
    inputs: dict[str, str]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object; `dyes` is there where parts were given."""
        plain: dict[str, Any] = {"dye_g": _tidy(self.dye_g), "solution_ml": None if self.solution_ml is None else _tidy(self.solution_ml)}
        if self.dyes:
            plain["dyes"] = {name: _tidy(grams) for name, grams in self.dyes.items()}
        return {**plain, "inputs": self.inputs, "warnings": list(self.warnings), "assumed": list(self.assumed)}


def work_out_amounts(request: AmountsRequest) -> Amounts:
    """Dye and solution for a depth of shade on so much fibre, as weighed. 300 g, 3 %, powder of 80 %, solution of 1 %: 11.25 g and 1125 ml.

    Raises BadInput where a value cannot be read or a guard refuses it.
    """
    fibre = parse_fibre(request.fibre, where="fibre", habits=request.habits)
    depth = parse("fraction", request.depth, where="depth", habits=request.habits)
    inputs = {"fibre": fibre.echo, "depth": depth.echo}
    assumed, guards = [], list(depth_guards(depth.value))
    strength = 1.0
    if request.strength.strip():
        said = parse("fraction", request.strength, where="strength", habits=request.habits)
        strength, inputs["strength"] = said.value, said.echo
        guards += strength_guards(strength)
    else:
        assumed.append("the powder is as strong as the one the depth was worked out with (100 %)")
    _refuse(guards)
    powder = dye_g(fibre.total_g, depth.value, strength)
    dyes = _by_dye(request, fibre.total_g, depth.value, strength, inputs)
    volume = None
    if request.solution.strip():
        solution = parse("strength", request.solution, where="solution", habits=request.habits)
        inputs["solution"] = solution.echo if "%" in solution.text else f"{solution.text} = {say('strength', solution.value)}"
        found = solution_guards(solution.value)
        _refuse(found)
        guards += found
        volume = solution_ml(powder, solution.value)
    else:
        for name, grams in (dyes or {"dye": powder}).items():
            guards += weighing_guards(grams, name)
    return Amounts(
        dye_g=powder,
        solution_ml=volume,
        dyes=dyes,
        fibre_g=fibre.total_g,
        depth=depth.value,
        inputs=inputs,
        warnings=warnings(guards),
        assumed=tuple(assumed),
    )


def _by_dye(request: AmountsRequest, fibre_g: float, depth: float, strength: float, inputs: dict[str, str]) -> dict[str, float]:
    if not request.parts.strip():
        return {}
    parts = parse_parts(request.parts, where="parts")
    inputs["parts"] = ", ".join(f"{name} {say('fraction', share)}" for name, share in parts)
    return parts_g(fibre_g, depth, parts, {name: strength for name, _ in parts})


def _refuse(guards: list[Guard] | tuple[Guard, ...]) -> None:
    for guard in refusals(guards):
        raise BadInput(guard.sentence, where=guard.where)


def _tidy(value: float) -> float:
    """Without the dust of binary fractions: 1125, not 1124.9999999999998."""
    return float(f"{value:.12g}")
