"""Fit the dyes of a table of swatches, and say how well each swatch is met (the command line's `dye fit`)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.services.read_dye_table import read_dye_table


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeFit:
    """One dye: depths of its rungs (fractions), CIEDE2000 of the model to each, of each from the others alone, and the 90 % radius
    of its colour at 1 % (`dye_spread`)."""

    depths: tuple[float, ...]
    residual_de00: tuple[float, ...]
    leave_one_out_de00: tuple[float, ...]
    exponent: float
    spread_de00: float
    guessed: bool
    flags: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object."""
        return {
            "depth_pct": [float(f"{100 * depth:.6g}") for depth in self.depths],
            "residual_de00": [round(value, 3) for value in self.residual_de00],
            "leave_one_out_de00": [round(value, 3) for value in self.leave_one_out_de00],
            "depth_exponent": round(self.exponent, 3),
            "spread_de00_at_1_pct": round(self.spread_de00, 2),
            "spectrum": "guessed from Lab" if self.guessed else "measured",
            "flags": list(self.flags),
        }


@dataclass(frozen=True, kw_only=True, slots=True)
class DyesFit:
    """The fits by dye."""

    dyes: dict[str, DyeFit]
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        dyes = {name: fit.to_plain() for name, fit in self.dyes.items()}
        return {"dyes": dyes, "inputs": self.inputs, "warnings": list(self.warnings), "assumed": list(self.assumed)}


def fit_dyes(table: str, *, base_lab: str = "", seed: int = 1) -> DyesFit:
    """The fit of every dye in the text of a table. Raises BadInput for a table that cannot be read."""
    facts = read_dye_table(table, base_lab=base_lab)
    found = {name: _fit(facts, name, seed) for name in facts.models()}
    assumed = list(facts.assumed)
    if any(swatch.base not in facts.undyed and not swatch.spectrum for dye in facts.known for swatch in dye.swatches):
        assumed.append("The undyed yarn under the swatches is Lab 93, 0, 8 (D65, 10 degree).")
    warnings = tuple(f"{name}: {flag}{'' if flag.endswith('?') else '.'}" for name, fit in found.items() for flag in fit.flags)
    return DyesFit(dyes=found, inputs={"swatches": {dye.name: len(dye.swatches) for dye in facts.dyes}}, warnings=warnings, assumed=tuple(assumed))


def _fit(facts: DyeFacts, name: str, seed: int) -> DyeFit:
    import numpy as np

    from skeinwright.core.colour.ladder import leave_one_out
    from skeinwright.core.forecast.dye_spread import dye_spread

    dye = next(dye for dye in facts.known if dye.name == name)
    model = facts.models()[name]
    bases = facts.bases_under(dye)
    return DyeFit(
        depths=model.rungs,
        residual_de00=model.residual_de00,
        leave_one_out_de00=leave_one_out(dye.swatches, bases),
        exponent=model.exponent,
        spread_de00=dye_spread(dye, model, bases[0], rng=np.random.default_rng(seed)),
        guessed=model.guessed,
        flags=model.flags,
    )
