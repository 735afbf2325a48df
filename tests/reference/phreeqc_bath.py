"""A dyebath put to PHREEQC: the independent solver that the pH tests are held to.

PHREEQC (Parkhurst and Appelo, USGS) through phreeqpython, with its own database phreeqc.dat: its own carbonate, sulphate, ammonium and water constants
and its own activity model. It ships neither acetate nor citrate; they are defined here with the same pK, so for them it checks the solver
and not the constants.
"""

from __future__ import annotations

from math import log10
from typing import Any

import phreeqpython

from skeinwright.core.bath.constants import ACETIC, CITRIC

_DEFINED = """
SOLUTION_MASTER_SPECIES
Ace Ace- 0 Ace 59.044
Cit Cit-3 0 Cit 189.1
SOLUTION_SPECIES
Ace- = Ace-
Cit-3 = Cit-3
Ace- + H+ = HAce
    log_k {a}
Cit-3 + H+ = HCit-2
    log_k {c3}
Cit-3 + 2H+ = H2Cit-
    log_k {c2}
Cit-3 + 3H+ = H3Cit
    log_k {c1}
END
"""


def phreeqc() -> Any:
    """PHREEQC with acetate and citrate defined, at 25 C for those two."""
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    pk1, pk2, pk3 = (step.pk25 for step in CITRIC)
    engine.ip.run_string(_DEFINED.format(a=ACETIC[0].pk25, c3=pk3, c2=pk3 + pk2, c1=pk3 + pk2 + pk1))
    return engine


def phreeqc_ph(engine: Any, *, temp_c: float = 25.0, open_to_air: bool = False, **mol: float) -> tuple[float, float]:
    """(pH, ionic strength) of a bath: `Na`, `C`, `Ace`, `Cit`, `N` (as ammonium) and `S` (as sulphate) in mol per kg of water."""
    names = {"Na": "Na", "C": "C(4)", "Ace": "Ace", "Cit": "Cit", "N": "N(-3)", "S": "S(6)"}
    said: dict[str, Any] = {"units": "mol/kgw", "temp": temp_c, "pH": "5 charge"}
    said |= {names[key]: repr(value) for key, value in mol.items() if value}
    solution = engine.add_solution(said)
    if open_to_air:
        solution.equalize(["CO2(g)"], [log10(420e-6)])
    found = float(solution.pH), float(solution.I)
    solution.forget()
    return found
