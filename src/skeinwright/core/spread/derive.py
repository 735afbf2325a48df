"""What core/bath knows of a dye's class, in the spread model's own terms, so that both rooms say the same of an even pot.

Strike: a pot with just the water that yarn holds, at the class's own pH, is run in core/bath; its half-time t50 gives k:

    k g(phi_own) (1 + 1/(Keq g)) = ln 2/t50        at each of several temperatures

Equilibrium: the session's own pot (all its water, acid and dye) is run to rest in core/bath; q/c (L/kg) gives Keq:

    Keq g(phi) A = (q/c)/held,   A = 1 - sum q_j/S_j
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import log

import numpy as np

from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.classes import REFERENCE_ANIONS_EQ_L, class_assumption, dye_class
from skeinwright.core.bath.course import PotCourse
from skeinwright.core.bath.fibre import NYLON_SITES_MOL_KG, WOOL_SITES_MOL_KG, Sponge, donnan, fibre_in_bath, fibre_kind, held_per_litre, nylon, wool
from skeinwright.core.bath.isotherm import counted_anions_eq_l
from skeinwright.core.bath.ph import Bath, best_guess
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddSalt, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.bath.process import process
from skeinwright.core.bath.strike import half_time_s
from skeinwright.core.bath.target import amount_for
from skeinwright.core.bath.uptake_of_acid import acid_uptake
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.shelf.items import Base
from skeinwright.core.spread.parameters import EQUILIBRIUM, PHI0, PHI_HALF, DyeParameters

Kinds = tuple[tuple[str, float], ...]
"""(kind in core/bath, share): ("superwash", 0.75), ("nylon", 0.25)."""
TEMPS_C = (40.0, 60.0, 75.0, 85.0, 97.0)
AT_REST_C = 85.0
USUAL_DEPTH = 0.005
_AT_REST_AFTER_S = ((50.0, 9000.0), (65.0, 5000.0), (80.0, 2500.0), (101.0, 1500.0))
"""(up to C, seconds)."""
_REST_S = 2 * 3600.0
_REST_BLOCK_S = 900.0
"""Nothing but uptake changes while the pot comes to rest: the pH is solved this often, and the end is within 0.1 % of one solved every minute."""
_SITES_G_KG_NYLON = 36.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Pot:
    """The session's pot as a whole: kinds of fibre, its mass, all water, alkalinity (mg/L), the acids, grams of dye by (name, class), and of salt."""

    kinds: Kinds
    fibre_g: float
    water_ml: float
    alkalinity_mg_l: float
    acids: tuple[AcidDose, ...] = ()
    dyes: tuple[tuple[str, str, float], ...] = ()
    salt_g: float = 0.0


def kinds_of(base: Base | None) -> Kinds:
    """The kinds of fibre of a base that take up acid dye; plain wool where nothing is known. Shares add up to 1."""
    if base is None:
        return (("wool", 1.0),)
    found: dict[str, float] = {}
    for name, share in base.fibres:
        kind = fibre_kind(name)
        if kind != "inert" and share > 0:
            kind = "superwash" if kind == "wool" and base.superwash else kind
            found[kind] = found.get(kind, 0.0) + share
    whole = sum(found.values())
    if whole <= 0:
        raise BadInput("Acid dye goes on wool, silk and nylon; this base has none of them.", where="base")
    return tuple((kind, share / whole) for kind, share in found.items())


def sites_mmol_g(kinds: Kinds) -> float:
    """Acid sites of the yarn: 0.82 for wool, 0.04 for nylon, by share."""
    return sum(share * (NYLON_SITES_MOL_KG if kind == "nylon" else WOOL_SITES_MOL_KG) for kind, share in kinds)


def site_rate(phi: float, phi0: float = PHI0, phi_half: float = PHI_HALF) -> float:
    """g(phi) = phi0 + (1 - phi0) phi (1 + phih)/(phi + phih): strike over that with all sites filled."""
    return phi0 + (1 - phi0) * phi * (1 + phi_half) / (phi + phi_half)


def sites_filled_in(pot: Pot, temp_c: float = AT_REST_C) -> float:
    """phi that core/bath finds for the pot's acid once the fibre has drunk its share, at the anions it counts for dye (0.02 eq/L at least)."""
    return _sites_filled_in(replace(pot, dyes=()), temp_c)


@lru_cache(maxsize=64)
def _sites_filled_in(pot: Pot, temp_c: float) -> float:
    if not any(dose.amount > 0 for dose in pot.acids):
        return 0.0
    bath = Bath(volume_ml=pot.water_ml, temp_c=temp_c, alkalinity=Estimate.exact(pot.alkalinity_mg_l, "mg/L"), doses=pot.acids)
    after = acid_uptake(bath, _sponges(pot.kinds, pot.fibre_g)).after
    return donnan(10**-after.ph.value, float(counted_anions_eq_l(after.ionic_strength_mol_l)), WOOL_SITES_MOL_KG).filled


def dye_parameters(pot: Pot, held_g_g: float, phi: float) -> tuple[DyeParameters, ...]:
    """Every dye of the pot, from its class. `phi` is the session's share of filled sites."""
    course = _at_rest(pot)
    on = _on_fibre_g_g(course, pot)
    full = [_full_share(pot.kinds, cls) for _, cls, _ in pot.dyes]
    room = max(0.05, 1 - sum(q / s for q, s in zip(on, full, strict=True)))
    found = []
    for (name, cls, mass), q, share in zip(pot.dyes, on, full, strict=True):
        c_g_ml = course.bath_g[name] / (1000 * float(course.water_l.centre[-1]))
        keq = q / c_g_ml / held_g_g / (site_rate(phi) * room) if c_g_ml > 0 and q > 0 else EQUILIBRIUM
        made = of_class(name, cls, pot.kinds, held_g_g, mass / pot.fibre_g)
        found.append(replace(made, equilibrium_85=keq, full_share=share))
    return tuple(found)


def of_class(name: str, cls: str, kinds: Kinds = (("wool", 1.0),), held_g_g: float = 3.0, depth: float = USUAL_DEPTH) -> DyeParameters:
    """A dye with its class's strike on these fibres at a mean depth (core/bath's uptake slows with depth), and the equilibrium left at its default."""
    depth = float(f"{max(depth, 1e-4):.1g}")
    known = dye_class(cls)
    phi = donnan(10**-known.own_ph, REFERENCE_ANIONS_EQ_L, WOOL_SITES_MOL_KG).filled
    strikes = tuple((temp, log(2) / _half_time_s(cls, kinds, held_g_g, temp, depth) / site_rate(phi)) for temp in TEMPS_C)
    return DyeParameters(
        name=name,
        pieces_cold=known.pieces_cold,
        pieces_hot=known.pieces_hot,
        strikes=strikes,
        full_share=_full_share(kinds, cls),
        assumed=(class_assumption(name, cls),),
    )


def _full_share(kinds: Kinds, cls: str) -> float:
    wool_g_kg = dye_class(cls).saturation_g_kg.value
    return sum(share * (_SITES_G_KG_NYLON if kind == "nylon" else wool_g_kg) for kind, share in kinds) / 1000


@lru_cache(maxsize=512)
def _half_time_s(cls: str, kinds: Kinds, held_g_g: float, temp_c: float, depth: float) -> float:
    """Until half of what goes on in the end is on, in core/bath's own run; watched from 1 s on, until it should be at rest."""
    end_s = next(end for below, end in _AT_REST_AFTER_S if temp_c <= below)
    grid = tuple(float(t) for t in np.geomspace(1.0, end_s, 40))
    course = process(held_pot(cls, kinds, held_g_g, temp_c, depth, grid_s=grid))
    return max(half_time_s(course.time_s, course.uptake["dye"].centre) or 1e6, 0.5)


def held_pot(cls: str, kinds: Kinds, held_g_g: float, temp_c: float, depth: float, *, grid_s: Sequence[float]) -> PotRun:
    """A kilogram of yarn with only the water it holds, at its dye's own pH (or the nearest that vinegar reaches), dye even in it from the start."""
    known = dye_class(cls)
    water_ml = 1000 * held_g_g
    exact = Estimate.exact(0.0, "mg/L")
    sponges = _sponges(kinds, 1000.0)
    bath = Bath(volume_ml=water_ml, temp_c=temp_c, alkalinity=exact, held=held_per_litre(sponges, water_ml))
    each = (amount_for(bath, VINEGAR, ph, best_guess(bath), fibre_in_bath(sponges, water_ml)) for ph in (known.own_ph, known.other_ph))
    amount = next((one for one in each if one), 0.0)
    events = (
        AddWater(at_s=0, volume_ml=max(0.0, water_ml - amount)),
        AddAcid(at_s=0, acid=VINEGAR, amount=amount),
        AddDye(at_s=0, grams=(("dye", 1000 * depth),)),
        LayIn(at_s=0),
    )
    fibres = tuple(FibreInPot(base="yarn", kind=kind, mass_g=1000 * share) for kind, share in kinds)
    programme = ((0.0, temp_c), *((t, temp_c) for t in grid_s))
    return PotRun(fibres=fibres, dyes=(DyeInPot(name="dye", dye_class=cls),), events=events, programme=programme, alkalinity=exact)


@lru_cache(maxsize=32)
def _at_rest(pot: Pot) -> PotCourse:
    """The whole pot at 85 C until nothing moves."""
    events = [AddWater(at_s=0, volume_ml=pot.water_ml)]
    salt = (AddSalt(at_s=0, mass_g=pot.salt_g),) if pot.salt_g > 0 else ()
    acids = [AddAcid(at_s=0, acid=dose.acid, amount=dose.amount) for dose in pot.acids]
    grams = tuple((name, max(mass, 1e-9)) for name, _, mass in pot.dyes)
    run = PotRun(
        fibres=tuple(FibreInPot(base="yarn", kind=kind, mass_g=pot.fibre_g * share) for kind, share in pot.kinds),
        dyes=tuple(DyeInPot(name=name, dye_class=cls) for name, cls, _ in pot.dyes),
        events=(*events, *acids, *salt, AddDye(at_s=0, grams=grams), LayIn(at_s=0)),
        programme=((0.0, AT_REST_C), (_REST_S, AT_REST_C)),
        alkalinity=Estimate.exact(pot.alkalinity_mg_l, "mg/L"),
    )
    return process(run, block_s=_REST_BLOCK_S)


def _on_fibre_g_g(course: PotCourse, pot: Pot) -> list[float]:
    return [float(course.uptake[name].centre[-1]) * mass / pot.fibre_g for name, _, mass in pot.dyes]


def _sponges(kinds: Kinds, fibre_g: float) -> tuple[Sponge, ...]:
    return tuple(nylon(fibre_g * share) if kind == "nylon" else wool(fibre_g * share) for kind, share in kinds)
