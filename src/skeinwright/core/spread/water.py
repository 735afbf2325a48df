"""How water moves dye: in free water over the yarn, in the water that the yarn holds, and between the two; and how fast it steams away.

    Ra  = g beta dT h0^3/(nu kappa),  dT = 0.05 (T - 40) K across the free water                       [assumed]
    D_0 = D_m (1 + sqrt(v h0/D_m)),   v  = 0.3 (kappa/h0) sqrt(Ra - 1708)                              (law seen: convective-dispersion; factor assumed)
          + 0.02 (T - 93)/7 cm2/s above 93 C                                                            [assumed]

Below Ra 1708 (rayleigh-benard, seen) water stands still and dye only diffuses: this is why shallow water keeps specks. The threshold is smoothed over +-20 %.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from skeinwright.core.bath.evaporation import BOIL_OFF_FROM_C, LID, flux_kg_m2_h
from skeinwright.core.bath.kinetics import film_m, supply_l_kg_s
from skeinwright.core.bath.water_properties import viscosity_mpa_s
from skeinwright.core.spread.exchange import Kappas
from skeinwright.core.spread.parameters import DyeParameters, PanParameters, YarnParameters

CRITICAL_RA = 1708.0
_SMOOTH = 0.2
_GRAVITY = 9.80665
_FILM_CM = 0.05
_LET_IN = 0.02
"""Share of the free water's dispersion that is let into covered yarn [assumed]. At 0.05 the reverse under 10 mm had up to 0.42 of the face's contrast; dyers
see colour without specks there (common practice). At 0.01 deeper water would hardly widen specks."""
THIN_CM = 0.02
"""Free water thinner than this no longer wets all of the yarn's underside [assumed]."""
_STIRRED_SH = 4.0
"""With the film of 0.5 mm: 0.125 mm in water that turns over. Globe and Dropkin's law gives 0.13-0.18 mm on strands side by side, 65-96 C
(tests/reference/test_spread_kettle.py)."""
_THROUGH = pi**2 / 8
"""Exchange between the halves, of D/h: with it two even halves come to one level as fast as a slab of both does by diffusion, D (pi/2h)^2 (crank-diffusion)."""
ACID_FASTER = 3.0
"""Small acid molecules move so many times faster than dye [assumed]."""
_DRY_FROM_CM, _COVERED_CM = 0.25, 0.75
_FULL_CM = 0.25
"""Held water at which a half of the yarn is taken as soaked."""
KETTLE_CM = 2.0
"""Free water over the yarn from which a pan counts as a kettle: yarn hangs loose in it, and dye goes into the water [assumed]."""
_LOOSE = 3.0
"""Exchange in a kettle over what core/bath's film lets through. The strike was read in pots that have that film (`derive`), so in full it would count twice;
with 3 the half-times of even kettles are those of core/bath within a quarter, one class at the boil apart (tests/reference/test_spread_kettle.py)."""


def density_kg_m3(temp_c: float) -> float:
    """1000.115 + 0.738 x - 57.094 x^2 + 14.772 x^3, x = t/100; within 0.1 (iapws-if97)."""
    x = temp_c / 100
    return 1000.115 + x * (0.738 + x * (-57.094 + x * 14.772))


def expansion_per_k(temp_c: float) -> float:
    """beta in 1e-4: -0.50994 + 14.90818 x - 11.97252 x^2 + 5.15853 x^3; within 0.05e-4 (iapws-if97). 6.4e-4 at 80 C."""
    x = temp_c / 100
    return max(0.0, 1e-4 * (-0.50994 + x * (14.90818 + x * (-11.97252 + x * 5.15853))))


def heat_diffusion_cm2_s(temp_c: float) -> float:
    """kappa in mm2/s: 0.13217 + 0.06098 x - 0.03452 x^2 + 0.00913 x^3; within 0.1 % (iapws-if97). 1.64e-3 cm2/s at 80 C."""
    x = temp_c / 100
    return 0.01 * (0.13217 + x * (0.06098 + x * (-0.03452 + x * 0.00913)))


def rayleigh(temp_c: float, free_cm: float) -> float:
    """Ra of free water `free_cm` deep over a hot floor; 0 below 40 C."""
    dt = max(0.0, 0.05 * (temp_c - 40))
    nu_cm2_s = 10 * viscosity_mpa_s(temp_c) / density_kg_m3(temp_c)
    return 100 * _GRAVITY * expansion_per_k(temp_c) * dt * free_cm**3 / (nu_cm2_s * heat_diffusion_cm2_s(temp_c))


def stirs_itself(temp_c: float, free_cm: float) -> float:
    """0 where free water stands still, 1 where it turns over by itself; a smooth step over Ra 1708 +-20 %."""
    u = min(1.0, max(0.0, (rayleigh(temp_c, free_cm) / CRITICAL_RA - 1 + _SMOOTH) / (2 * _SMOOTH)))
    return u * u * (3 - 2 * u)


def free_diffusion_cm2_s(diffusion: float, temp_c: float, free_cm: float, pan: PanParameters) -> float:
    """D_0 of a dye of molecular `diffusion` (cm2/s)."""
    turning = stirs_itself(temp_c, free_cm)
    added = 0.0
    if turning > 0:
        over = max(0.0, rayleigh(temp_c, free_cm) - (1 - _SMOOTH) * CRITICAL_RA)
        speed = 0.3 * heat_diffusion_cm2_s(temp_c) / free_cm * sqrt(over)
        added = turning * diffusion * sqrt(speed * free_cm / diffusion)
    boiling = max(0.0, 0.02 * (temp_c - 93) / 7) if free_cm > 0 else 0.0
    return diffusion + min(pan.stirring * (added + boiling), pan.most_dispersion_cm2_s)


@dataclass(frozen=True, slots=True)
class Movement:
    """How one solute moves now: D along and across the strands in each of the layers (cm2/s), and the exchange between them."""

    along: tuple[float, float, float]
    across: tuple[float, float, float]
    kappas: Kappas


def face_under_water(free_cm: float) -> float:
    """w: the share of the face that lies under free water, (h0 - 0.25)/0.5 within 0-1 [assumed]."""
    return min(1.0, max(0.0, (free_cm - _DRY_FROM_CM) / (_COVERED_CM - _DRY_FROM_CM)))


def hangs_loose(free_cm: float) -> float:
    """0 where free water no more than covers the yarn (0.75 cm), 1 in a kettle (2 cm and more): a smooth step between [assumed]."""
    u = min(1.0, max(0.0, (free_cm - _COVERED_CM) / (KETTLE_CM - _COVERED_CM)))
    return u * u * (3 - 2 * u)


def kettle_film_cm_s(diffusion: float, temp_c: float, yarn: YarnParameters) -> float:
    """3 x core/bath's supply D/delta A to the yarn's own face (8 m2/kg), for a half of the laid yarn. 1.4e-2 cm/s at 85 C."""
    return _LOOSE * float(supply_l_kg_s(1e-4 * diffusion, film_m(temp_c))) * yarn.half_mg_cm2 / 1000


def movement(diffusion: float, temp_c: float, free_cm: float, held_cm: float, yarn: YarnParameters, pan: PanParameters, *, thick: float = 1.0) -> Movement:
    """Eqs: in the yarn D_x = 0.9 s an D_m sat + 0.02 w D_0, D_y = 0.6 s D_m sat + 0.02 w D_0, sat = min(1, h/0.25)^2, s the yarn's `spreading`;

        kappa_12 = pi^2/8 sat D_y/h,  kappa_02 = Sh D_m/0.05 min(1, h0/0.02),  kappa_01 = w Sh D_m/0.05,  Sh = 4 where the water turns over, else 1;
        towards a kettle both of these go over to `kettle_film_cm_s` in equal factors:  kappa^(1-f) kettle^f,  f = `hangs_loose`.

    `thick` (0-1] slows everything in thickened liquor. All factors [assumed].
    """
    d_free = free_diffusion_cm2_s(diffusion, temp_c, free_cm, pan)
    w, turning = face_under_water(free_cm), stirs_itself(temp_c, free_cm)
    soaked = min(1.0, held_cm / _FULL_CM) ** 2
    shared, in_yarn = _LET_IN * w * d_free, yarn.spreading * diffusion * soaked
    along, across = thick * (0.9 * yarn.anisotropy * in_yarn + shared), thick * (0.6 * in_yarn + shared)
    film = thick * (1 + (_STIRRED_SH - 1) * turning) * diffusion / _FILM_CM
    loose = hangs_loose(free_cm)
    if loose > 0:
        film = film ** (1 - loose) * (thick * kettle_film_cm_s(diffusion, temp_c, yarn)) ** loose
    kappas = Kappas(w * film, film * min(1.0, free_cm / THIN_CM), _THROUGH * soaked * across / max(held_cm, 1e-6))
    return Movement((d_free, along, along), (d_free, across, across), kappas)


def dye_movement(
    dye: DyeParameters, temp_c: float, free_cm: float, held_cm: float, yarn: YarnParameters, pan: PanParameters, *, thick: float = 1.0
) -> Movement:
    """`movement` of a dye at a temperature."""
    return movement(dye.diffusion_cm2_s(temp_c), temp_c, free_cm, held_cm, yarn, pan, thick=thick)


def steams_cm_s(temp_c: float, pan: PanParameters, *, lid: bool) -> float:
    """How fast the level falls: core/bath's still-air law x the pan's factor, a lid leaves 8 % of it. 0.0003 cm/s at 85 C (10 mm an hour)."""
    flux = flux_kg_m2_h(min(temp_c, BOIL_OFF_FROM_C), room_c=pan.room_c)
    return pan.evaporation * flux * (LID if lid else 1.0) / 36000
