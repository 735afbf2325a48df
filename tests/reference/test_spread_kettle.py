"""Exchange between free water and the halves of the yarn: through the yarn by Crank's slab, and in deep water as core/bath has it in a pot."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from even_pots import even_run
from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.process import process
from skeinwright.core.bath.water_properties import viscosity_mpa_s
from skeinwright.core.spread.acid import half_mobile
from skeinwright.core.spread.derive import Pot, dye_parameters, sites_filled_in, sites_mmol_g
from skeinwright.core.spread.events import Bath, Laid, Session, Wait
from skeinwright.core.spread.exchange import over, rates
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.ledger import Ledger
from skeinwright.core.spread.parameters import DyeParameters, PanParameters, Parameters, YarnParameters
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.stepper import full
from skeinwright.core.spread.water import density_kg_m3, dye_movement, heat_diffusion_cm2_s, movement, rayleigh

GRID = Grid(2, 2, 0.1, 0.1)
WOOL, SOCK = (("wool", 1.0),), (("superwash", 0.75), ("nylon", 0.25))
AREA_CM2 = 700.0
MG_L_EQ = 50_043.0
"""Alkalinity as mg of calcium carbonate a litre over eq/L: half of 100.087 g/mol."""


def test_the_halves_come_to_one_level_as_a_slab_does() -> None:
    """Crank, The Mathematics of Diffusion, a closed slab of thickness 2h with all in one half (form from memory, a cosine series): the means of its halves
    differ by the sum over odd n of 8/(n pi)^2 exp(-(n pi/2h)^2 D t). In the end two stirred halves must close up at the rate of its first term."""
    yarn, held = YarnParameters(), 0.25
    moved = movement(1e-5, 85.0, 0.0, held, yarn, PanParameters())
    d = moved.across[1]
    n = np.arange(1, 400, 2)
    for time_s in (500.0, 2000.0, 5000.0, 20_000.0):
        slab = float(np.sum(8 / (n * np.pi) ** 2 * np.exp(-((n * np.pi / (2 * held)) ** 2) * d * time_s)))
        one, other = over(rates(replace(moved.kappas, face=0.0, back=0.0), 0.0, held), time_s)[1:, 1]
        assert one - other == pytest.approx(np.pi**2 / 8 * slab, rel=1e-3 if time_s >= 5000 else 0.25)
        assert abs(one - other - slab) < 0.19


@pytest.mark.parametrize("temp_c", [65.0, 85.0, 96.0])
def test_the_film_of_free_water_is_near_the_published_one(temp_c: float) -> None:
    """Globe and Dropkin 1959 (as quoted): Nu = 0.069 Ra^(1/3) Pr^0.074 between plates, so half the depth over Nu is a film of heat; dye's is thinner by
    Le^(1/3) (Chilton and Colburn, from memory). Strands side by side show pi/2 of the area they cover. Ours is within 30 % of it."""
    depth, dye = 0.7, DyeParameters()
    nu = 10 * viscosity_mpa_s(temp_c) / density_kg_m3(temp_c)
    kappa, d = heat_diffusion_cm2_s(temp_c), dye.diffusion_cm2_s(temp_c)
    nusselt = 0.069 * rayleigh(temp_c, depth) ** (1 / 3) * (nu / kappa) ** 0.074
    published = depth / 2 / nusselt / (kappa / d) ** (1 / 3) / (np.pi / 2)
    ours = d / dye_movement(dye, temp_c, depth, 0.25, YarnParameters(), PanParameters()).kappas.back
    assert ours == pytest.approx(published, rel=0.3)


@pytest.mark.parametrize(
    ("kinds", "cls", "temp_c", "litres", "depth"),
    [
        (WOOL, "half-milling", 60.0, 4.0, 0.005), (WOOL, "half-milling", 85.0, 4.0, 0.02), (WOOL, "levelling", 85.0, 8.0, 0.005),
        (WOOL, "milling", 85.0, 4.0, 0.02), (SOCK, "half-milling", 85.0, 2.0, 0.005), (SOCK, "levelling", 95.0, 8.0, 0.005),
    ],
)  # fmt: skip
def test_an_even_kettle_is_half_on_when_core_bath_has_it_so(kinds: tuple[tuple[str, float], ...], cls: str, temp_c: float, litres: float, depth: float) -> None:
    """Within 30 %: the stepper has less than half on the fibre at 0.7 of the reference's half-time and more at 1.3 of it, and no dye is lost. The reference is
    core/bath's `process`, another model with another law of uptake, at the same water, acid, heat and dose; dye is even in the free water to begin with."""
    pot = Pot(kinds=kinds, fibre_g=100, water_ml=1000 * litres, alkalinity_mg_l=80, acids=(AcidDose(VINEGAR, 20 * litres),), dyes=(("Kelp", cls, 100 * depth),))
    half_s = _half_time_s(pot, temp_c)
    early, late = (_kettle(pot, temp_c, share * half_s) for share in (0.7, 1.3))
    assert early.on_fibre[0] < 0.5 < late.on_fibre[0]
    assert max(early.error, late.error) < 1e-12


def test_the_quick_forecast_of_a_kettle_strikes_as_much() -> None:
    pot = Pot(kinds=WOOL, fibre_g=100, water_ml=4000, alkalinity_mg_l=80, acids=(AcidDose(VINEGAR, 80.0),), dyes=(("Kelp", "half-milling", 0.5),))
    session = _session(pot, 85.0, 1800.0)
    assert quick(session, GRID).ledger.on_fibre[0] == pytest.approx(full(session, GRID).ledger.on_fibre[0], abs=0.03)


def test_exchange_rises_smoothly_from_pan_to_kettle() -> None:
    """No jump where the yarn begins to hang loose, and nothing changes below 0.75 cm or above 2 cm."""
    depths = np.arange(0.6, 2.4, 0.01)
    back = np.array([movement(1.44e-5, 85.0, depth, 0.25, YarnParameters(), PanParameters()).kappas.back for depth in depths])
    steps = np.diff(np.log(back))
    assert (steps > -1e-12).all()
    assert steps.max() < 0.04
    assert np.ptp(back[depths < 0.745]) == pytest.approx(0, abs=1e-12)
    assert np.ptp(back[depths > 2.005]) == pytest.approx(0, abs=1e-12)


def _half_time_s(pot: Pot, temp_c: float) -> float:
    """When half of what was given is on the fibre in core/bath."""
    times = [float(t) for t in np.geomspace(20, 6000, 60)]
    course = process(even_run(pot, ((0.0, temp_c), *((t, temp_c) for t in times))))
    on = course.uptake["Kelp"].centre
    assert on[-1] > 0.5
    return float(np.interp(0.5, on, course.time_s))


def _kettle(pot: Pot, temp_c: float, time_s: float) -> Ledger:
    return full(_session(pot, temp_c, time_s), GRID, dtype=np.float64).ledger


def _session(pot: Pot, temp_c: float, time_s: float) -> Session:
    """The pot with 100 g of soaked yarn lying in it, 2.4 to 11 cm of water free; acid as `session_of` counts it."""
    phi = sites_filled_in(pot)
    yarn = YarnParameters(half_mg_cm2=1000 * pot.fibre_g / AREA_CM2 / 2, sites_mmol_g=sites_mmol_g(pot.kinds))
    free_ml = pot.water_ml - yarn.held_g_g * pot.fibre_g
    acid = sum(1000 * dose.amount * dose.acid.mol_per_unit for dose in pot.acids) - pot.alkalinity_mg_l / MG_L_EQ * pot.water_ml
    soaked = 2 * yarn.soaked_cm
    per_half = max(acid / AREA_CM2 / 2 * soaked / (soaked + free_ml / AREA_CM2), 1.02 * phi * yarn.b_max)
    return Session(
        dyes=dye_parameters(pot, yarn.held_g_g, phi),
        laid=Laid(fibre_g=pot.fibre_g, area_cm2=AREA_CM2, floor_cm2=AREA_CM2),
        events=(Bath(dyes_mg=tuple(1000 * mass for _, _, mass in pot.dyes)), Wait(time_s)),
        free_ml=free_ml,
        temp_c=temp_c,
        acid_mmol=max(acid, 1.05 * phi * yarn.sites_mmol_g * pot.fibre_g),
        half_mobile=half_mobile(per_half, phi, yarn.b_max),
        parameters=Parameters(yarn=yarn, pan=PanParameters(evaporation=0.0)),
    )
