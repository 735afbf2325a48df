"""How a dissolved acid is shared out among its forms at one pH."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from skeinwright.core.bath.activity import activity_coefficient
from skeinwright.core.bath.constants import ACETIC, AMMONIUM, BISULPHATE, CARBONIC, CITRIC, Dissociation
from skeinwright.core.bath.water_ions import pkw

_HIGHEST_CHARGE = 3


@dataclass(frozen=True, slots=True)
class Family:
    """An acid and the forms it takes by losing protons one after another; `top_charge` is the charge of the first."""

    name: str
    steps: tuple[Dissociation, ...]
    top_charge: int

    @property
    def charges(self) -> tuple[int, ...]:
        """The charge of each form, most protons first."""
        return tuple(self.top_charge - lost for lost in range(len(self.steps) + 1))


FAMILIES = {
    "acetate": Family("acetate", ACETIC, 0),
    "citrate": Family("citrate", CITRIC, 0),
    "ammonium": Family("ammonium", AMMONIUM, 1),
    "sulphate": Family("sulphate", BISULPHATE, -1),
    "carbonate": Family("carbonate", CARBONIC, 0),
}


@dataclass(frozen=True, slots=True)
class Conditions:
    """Everything about a bath that does not depend on pH: the constants at its temperature and the activity coefficients at its ionic strength."""

    temp_c: float
    ionic_strength_mol_l: float
    pk_lean: float
    gammas: tuple[float, ...]
    """Activity coefficients by size of charge, 0-3."""
    pkw: float
    constants: dict[str, tuple[float, ...]]
    """K of each step of each family."""

    @classmethod
    def at(cls, temp_c: float, ionic_strength_mol_l: float, pk_lean: float = 0.0) -> Conditions:
        """The conditions at a temperature (C) and ionic strength (mol/L); `pk_lean` (-1 to 1) moves every pK by so
        many of its half widths, to see what its uncertainty does.
        """
        gammas = tuple(activity_coefficient(charge, ionic_strength_mol_l, temp_c) for charge in range(_HIGHEST_CHARGE + 1))
        return cls(temp_c, ionic_strength_mol_l, pk_lean, gammas, pkw(temp_c), _constants(temp_c, pk_lean))

    def with_ionic_strength(self, ionic_strength_mol_l: float) -> Conditions:
        """The same temperature at another ionic strength."""
        gammas = tuple(activity_coefficient(charge, ionic_strength_mol_l, self.temp_c) for charge in range(_HIGHEST_CHARGE + 1))
        return Conditions(self.temp_c, ionic_strength_mol_l, self.pk_lean, gammas, self.pkw, self.constants)

    def hydrogen_mol_l(self, ph: float) -> float:
        """Concentration of H+ at a pH: 10^-pH / g1."""
        return float(10**-ph / self.gammas[1])

    def hydroxide_mol_l(self, ph: float) -> float:
        """Concentration of OH- at a pH: 10^(pH - pKw) / g1."""
        return float(10 ** (ph - self.pkw) / self.gammas[1])

    def weights(self, family: Family, ph: float) -> tuple[float, ...]:
        """Concentrations of the forms relative to the activity of the first: w_j = K_1..K_j / (a_H^j g_j)."""
        activity = 1.0
        weights: list[float] = []
        hydrogen_activity = 10**-ph
        constants = (1.0, *self.constants[family.name])
        for charge, k in zip(family.charges, constants, strict=True):
            activity = activity * k / hydrogen_activity if weights else 1.0
            weights.append(activity / self.gammas[abs(charge)])
        return tuple(weights)

    def shares(self, family: Family, ph: float, held: float = 0.0) -> tuple[float, ...]:
        """The share of each form in the bath, most protons first; with what fibre holds of the first, `held` times as much, they add up to 1."""
        weights = self.weights(family, ph)
        whole = sum(weights) + held * weights[0]
        return tuple(weight / whole for weight in weights)

    def mean_charge(self, family: Family, ph: float) -> float:
        """The mean charge of a family: sum of share x charge."""
        return sum(share * charge for share, charge in zip(self.shares(family, ph), family.charges, strict=True))


def _constants(temp_c: float, pk_lean: float) -> dict[str, tuple[float, ...]]:
    return {name: tuple(10 ** -(step.pk(temp_c) + pk_lean * step.half_width(temp_c)) for step in family.steps) for name, family in FAMILIES.items()}


Fibre = Callable[[float, float], float]
"""The fibre's share of the charge balance: (H+ mol/L, anions in the bath eq/L) -> charge on the fibre's account, eq per litre of bath."""
