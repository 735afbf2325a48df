"""Wool and nylon as sponges of acid: how much of the bath's acid the fibre takes, and what that leaves for the bath.

Donnan's picture: the fibre is a small water of its own with charged sites that cannot leave it. The acid inside keeps the balance of charge with the anions
that come along. Undissociated acid enters as into any solvent. Superwash wool takes up the same at rest; only its speed differs (gacen-intertex, seen).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from skeinwright.core.bath.root import bracketed_root
from skeinwright.core.foundations.errors import BadInput

WOOL_SITES_MOL_KG = 0.82
"""Most acid that wool binds (steinhardt-harris-1940, abstract seen)."""
NYLON_SITES_MOL_KG = 0.040
"""Amine ends of regular nylon (0.020-0.070), from memory."""
INTERNAL_PK = 4.25
"""Inside the fibre, +-0.15 (peters-speakman-1949, abstract seen: 4.15-4.35 with hydrochloric acid)."""
INTERNAL_WATER_L_KG = 0.4
"""Water inside swollen wool (0.3-0.6) [assumed]."""
NYLON_WATER_L_KG = 0.08
"""Water inside nylon (0.05-0.12) [assumed]."""
UNDISSOCIATED_L_KG = 1.0
"""Undissociated weak acid in wool over that in the bath (0.3-3) [assumed; that it enters: nbs-rp1523, first page seen]."""
SITES_LEFT = 0.1
"""Dye never takes more than all but this share of the sites from the acid."""

WOOLS = ("wool", "merino", "leicester", "bfl", "corriedale", "shetland", "alpaca", "mohair", "cashmere", "yak", "camel", "silk", "angora")
NYLONS = ("nylon", "polyamide")


@dataclass(frozen=True, slots=True)
class Sponge:
    """Fibre that takes up acid: mass (g), sites (mol/kg), pK inside, water inside (L/kg), what undissociated acid it holds (L/kg), and sites that dye holds."""

    fibre_g: float
    sites_mol_kg: float = WOOL_SITES_MOL_KG
    internal_pk: float = INTERNAL_PK
    internal_water_l_kg: float = INTERNAL_WATER_L_KG
    undissociated_l_kg: float = UNDISSOCIATED_L_KG
    dye_acid_mol_kg: float = 0.0

    def bound_mol_kg(self, h_mol_l: float, anions_eq_l: float) -> float:
        """Protons on the free sites, mol/kg; see `donnan`."""
        free = max(self.sites_mol_kg - self.dye_acid_mol_kg, SITES_LEFT * self.sites_mol_kg)
        return free * donnan(h_mol_l, anions_eq_l, free, self.internal_pk, self.internal_water_l_kg).filled


@dataclass(frozen=True, slots=True)
class Donnan:
    """The share of sites that hold a proton (0-1) and the ratio of anions inside to outside."""

    filled: float
    ratio: float


def donnan(h_mol_l: float, anions_eq_l: float, sites_mol_kg: float, internal_pk: float = INTERNAL_PK, water_l_kg: float = INTERNAL_WATER_L_KG) -> Donnan:
    """How full the sites are in a bath of so much H+ (mol/L) and so many anions (eq/L, 0 or more).

        filled = h_i/(h_i + 10^-pK_i),  h_i = h/r;    N filled + h_i V = r A V    (one positive root r)

    N sites (mol/kg), V water inside (L/kg), A anions of the bath. Sources: peters-speakman-1949 and steinhardt-harris-1940 (abstracts seen).
    Wool in 0.02 eq/L of anions, pH 4.5: 7 % of the sites.
    """
    k = 10**-internal_pk
    if anions_eq_l <= 0 or sites_mol_kg <= 0:
        return Donnan(0.0 if anions_eq_l <= 0 else h_mol_l / (h_mol_l + k), 1.0)

    def left_over(r: float) -> float:
        inside = h_mol_l / r
        return r * anions_eq_l * water_l_kg - sites_mol_kg * inside / (inside + k) - inside * water_l_kg

    high = max(1.0, (h_mol_l / anions_eq_l) ** 0.5) + sites_mol_kg / (anions_eq_l * water_l_kg)
    r = bracketed_root(left_over, 1e-9, high, tolerance=1e-13)
    inside = h_mol_l / r
    return Donnan(inside / (inside + k), r)


def wool(fibre_g: float) -> Sponge:
    """Wool, superwash or not."""
    return Sponge(fibre_g)


def nylon(fibre_g: float) -> Sponge:
    """Nylon: its amine ends; the pK inside is taken as wool's [assumed]."""
    return Sponge(fibre_g, NYLON_SITES_MOL_KG, INTERNAL_PK, NYLON_WATER_L_KG, 0.3)


def sponges_of(fibre_g: float, shares: Mapping[str, float] | Iterable[tuple[str, float]]) -> tuple[Sponge, ...]:
    """The sponges in a yarn of named shares ("wool" 0.75, "nylon" 0.25); animal fibres count as wool, what takes up no acid is left out."""
    pairs = shares.items() if isinstance(shares, Mapping) else shares
    found = []
    for name, share in pairs:
        kind = fibre_kind(name)
        if kind != "inert" and share > 0:
            found.append(wool(fibre_g * share) if kind == "wool" else nylon(fibre_g * share))
    return tuple(found)


def fibre_kind(name: str) -> str:
    """ "wool" for animal fibres, "nylon", or "inert" (cotton, acrylic, polyester ...) for what acid dye does not go on."""
    words = name.casefold()
    if any(one in words for one in NYLONS):
        return "nylon"
    return "wool" if any(one in words.split() or one in words for one in WOOLS) else "inert"


def fibre_in_bath(sponges: Iterable[Sponge], bath_ml: float) -> Callable[[float, float], float]:
    """What the charge balance asks of fibre: eq of acid on it per litre of bath, from H+ and anions of the bath.

    Acid that dye brought along counts too: the dye's own charge was in the bath with its sodium, and now stands against a proton.
    """
    if not bath_ml > 0:
        raise BadInput("A bath needs some water.", where="water")
    kept = tuple(sponges)

    def charge(h_mol_l: float, anions_eq_l: float) -> float:
        return sum((one.bound_mol_kg(h_mol_l, anions_eq_l) + one.dye_acid_mol_kg) * one.fibre_g for one in kept) / bath_ml

    return charge


def held_per_litre(sponges: Iterable[Sponge], bath_ml: float) -> float:
    """Undissociated acid in the fibre over that in the bath: sum(K g)/bath_ml. 100 g of wool in 4 l: 0.025, in 0.3 l: 0.33."""
    return sum(one.undissociated_l_kg * one.fibre_g for one in sponges) / bath_ml


def with_dye(sponges: Iterable[Sponge], dye_acid_mol_kg: float) -> tuple[Sponge, ...]:
    """The same with so many protons on it that dye brought (mol/kg)."""
    return tuple(replace(one, dye_acid_mol_kg=dye_acid_mol_kg) for one in sponges)
