"""Which inner loops a pot runs on: arrays of all draws (always there), or the same compiled, once somebody has had them made ready."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from skeinwright.core.bath.charge_balance_many import SolvedMany, filled_sites, solve_ph_many
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.kinetics import Going, Rates, advance


@dataclass(frozen=True, slots=True)
class Engine:
    """The three loops: dye over some steps of so many seconds, the pH of all draws, and how full wool's sites are. `name` is "plain" or "compiled".

    Both engines answer alike to 1e-9 (`tests/unit/test_compiled_pot.py`), so that it is no matter which one an answer came from.
    """

    name: str
    go_on: Callable[[Going, Rates, Array, Array, float, int], None]
    solve: Callable[..., SolvedMany]
    filled: Callable[[Array, Array, Array, Array, Array, Array], tuple[Array, Array]]


def _go_on(going: Going, rates: Rates, mass_kg: Array, volume_l: Array, step_s: float, steps: int) -> None:
    for _ in range(steps):
        advance(going, rates, mass_kg, volume_l, step_s)


PLAIN = Engine("plain", _go_on, solve_ph_many, filled_sites)

_engines = [PLAIN]


def engine() -> Engine:
    """The quickest that is ready."""
    return _engines[-1]


def make_compiled_ready() -> Engine:
    """Compiles the loops (some seconds the first time on a machine, a fraction of one from its cache afterwards); from then on `engine` gives them."""
    if engine().name == "compiled":
        return engine()
    from skeinwright.core.bath import compiled

    made = Engine("compiled", compiled.go_on, compiled.solve_ph_many, compiled.filled_sites)
    compiled.run_once()
    _engines.append(made)
    return made
