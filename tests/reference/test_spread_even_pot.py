"""An even pot is the same in both rooms: the spread model's strike and equilibrium come from core/bath's classes, and must come back out of its stepper.

The reference is core/bath's own `process` (implicit uptake with film and isotherm), another model in other units, run at the same water, acid, heat and dose.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from even_pots import even_run
from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.process import process
from skeinwright.core.bath.strike import half_time_s
from skeinwright.core.spread.acid import half_mobile
from skeinwright.core.spread.derive import Pot, dye_parameters, held_pot, kinds_of, of_class, sites_filled_in, sites_mmol_g
from skeinwright.core.spread.events import Bath, Laid, Session, Wait
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.parameters import PanParameters, Parameters, YarnParameters
from skeinwright.core.spread.stepper import full

GRID = Grid(2, 2, 0.1, 0.1)
WOOL, SOCK = (("wool", 1.0),), (("superwash", 0.75), ("nylon", 0.25))
AREA_CM2 = 1000.0


def _even(pot: Pot, temp_c: float, time_s: float) -> tuple[Session, np.ndarray]:
    """The pot laid as yarn that holds all of its water: dye even from the start. Returns the share of each dye on the fibre."""
    held = pot.water_ml / pot.fibre_g
    phi = sites_filled_in(pot)
    yarn = YarnParameters(half_mg_cm2=1000 * pot.fibre_g / AREA_CM2 / 2, held_g_g=held, sites_mmol_g=sites_mmol_g(pot.kinds))
    per_half = max(sum(1000 * dose.amount * dose.acid.mol_per_unit for dose in pot.acids) / AREA_CM2 / 2, 1.05 * phi * yarn.b_max)
    session = Session(
        dyes=dye_parameters(pot, held, phi),
        laid=Laid(fibre_g=pot.fibre_g, area_cm2=AREA_CM2, floor_cm2=AREA_CM2),
        events=(Bath(dyes_mg=tuple(1000 * mass for _, _, mass in pot.dyes)), Wait(time_s)),
        free_ml=0.0,
        temp_c=temp_c,
        acid_mmol=2 * per_half * AREA_CM2,
        half_mobile=half_mobile(per_half, phi, yarn.b_max),
        parameters=Parameters(yarn=yarn, pan=PanParameters(evaporation=0.0)),
    )
    return session, full(session, GRID, dtype=np.float64).ledger.on_fibre


def _bath(pot: Pot, temp_c: float, time_s: float) -> np.ndarray:
    course = process(even_run(pot, ((0.0, temp_c), (time_s, temp_c))))
    return np.array([course.uptake[name].centre[-1] for name, _, _ in pot.dyes])


@pytest.mark.parametrize("temp_c", [70.0, 95.0])
@pytest.mark.parametrize(
    ("kinds", "cls", "depth"), [(WOOL, "half-milling", 0.01), (WOOL, "levelling", 0.02), (SOCK, "milling", 0.0005), (SOCK, "half-milling", 0.02)]
)
def test_equilibrium_within_one_per_cent(kinds: tuple[tuple[str, float], ...], cls: str, depth: float, temp_c: float) -> None:
    """Dye on the fibre at rest, of what was given; and what is left in the liquor within a third, which is the harder thing."""
    pot = Pot(kinds=kinds, fibre_g=100, water_ml=300, alkalinity_mg_l=80, acids=(AcidDose(VINEGAR, 30.0),), dyes=(("Kelp", cls, 100 * depth),))
    (on,), (theirs,) = _even(pot, temp_c, 7200)[1], _bath(pot, temp_c, 14400)
    assert on == pytest.approx(theirs, rel=0.01)
    assert 1 - on == pytest.approx(1 - theirs, rel=0.35)


def test_two_dyes_share_the_sites_alike_in_both_rooms() -> None:
    pot = Pot(
        kinds=WOOL,
        fibre_g=100,
        water_ml=600,
        alkalinity_mg_l=80,
        acids=(AcidDose(VINEGAR, 40.0),),
        dyes=(("Kelp", "levelling", 3.0), ("Ember", "milling", 2.0)),
    )
    ours, theirs = _even(pot, 85.0, 7200)[1], _bath(pot, 85.0, 14400)
    assert ours == pytest.approx(theirs, rel=0.01)


@pytest.mark.parametrize("depth", [0.0005, 0.005, 0.02])
@pytest.mark.parametrize("temp_c", [60.0, 85.0])
@pytest.mark.parametrize(("kinds", "cls"), [(WOOL, "half-milling"), (WOOL, "levelling"), (SOCK, "milling")])
def test_half_time_within_a_fifth(kinds: tuple[tuple[str, float], ...], cls: str, temp_c: float, depth: float) -> None:
    """At the class's own pH, from pale to deep: the stepper has less than half on at 0.8 of the reference's half-time, and more at 1.2 of it.

    Core/bath slows with depth, by the acid that dye takes along; the strike is therefore taken at the session's mean depth (`derive.of_class`).
    """
    grid = tuple(float(t) for t in np.geomspace(2.0, 8000.0, 80))
    course = process(held_pot(cls, kinds, 3.0, temp_c, depth, grid_s=grid))
    theirs = half_time_s(course.time_s, course.uptake["dye"].centre)
    assert theirs is not None
    early, late, end = _shares_on(of_class("Kelp", cls, kinds, 3.0, depth), _own_phi(cls), temp_c, kinds, depth, (0.8 * theirs, 1.2 * theirs, 12 * theirs))
    assert early < end / 2 < late


def _own_phi(cls: str) -> float:
    from skeinwright.core.bath.classes import REFERENCE_ANIONS_EQ_L, dye_class
    from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan

    return donnan(10 ** -dye_class(cls).own_ph, REFERENCE_ANIONS_EQ_L, WOOL_SITES_MOL_KG).filled


def _shares_on(  # type: ignore[no-untyped-def]
    dye, phi: float, temp_c: float, kinds: tuple[tuple[str, float], ...], depth: float, times: tuple[float, ...]
) -> list[float]:
    """The stepper's shares on the fibre at these times, with so much dye as takes up sites."""
    yarn = YarnParameters(half_mg_cm2=50.0, sites_mmol_g=sites_mmol_g(kinds))
    a = yarn.half_mobile_share * yarn.b_max * phi / (1 - phi)
    session = Session(
        dyes=(dye,),
        laid=Laid(fibre_g=100, area_cm2=AREA_CM2, floor_cm2=AREA_CM2),
        events=(Bath(dyes_mg=(1e5 * depth,)),),
        free_ml=0.0,
        temp_c=temp_c,
        acid_mmol=2 * (a + yarn.b_max * phi) * AREA_CM2,
        parameters=Parameters(yarn=yarn, pan=PanParameters(evaporation=0.0)),
    )
    return [float(full(replace(session, events=(*session.events, Wait(time))), GRID, dtype=np.float64).ledger.on_fibre[0]) for time in times]


def test_the_base_tells_the_kinds() -> None:
    from skeinwright.core.shelf.items import Base

    base = Base(name="Quay Sock", fibres=(("merino", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, superwash=True)
    assert dict(kinds_of(base)) == pytest.approx({"superwash": 0.75, "nylon": 0.25})
