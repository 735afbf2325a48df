"""What leaves an open pot as steam: the still-air law of a heated face, and what a lid does to it."""

from __future__ import annotations

from math import sqrt

from skeinwright.core.bath.constants import GAS_CONSTANT, ZERO_C_K
from skeinwright.core.bath.water_properties import SEA_LEVEL_PA, latent_heat_kj_kg, vapour_pressure_pa

FITTED_SHARE = 0.9
"""The law is multiplied by this: it then meets published loss tables (doe-steam-19) within 15 % [assumed]."""
LOW, HIGH = 0.65, 1.35
"""90 % of still-air pots lie within these of the law [assumed]; a fan or a hood doubles it or more (doe-steam-19, seen)."""
FAN = 2.0
LID = 0.08
LID_LOW, LID_HIGH = 0.05, 0.15
"""Share that still leaves under a loose lid, with its ends [assumed]."""
BOIL_OFF_FROM_C = 97.0
"""Above this the law of still air no longer holds: what leaves is the net power over the heat of evaporation."""

ROOM_C = 21.0
ROOM_HUMIDITY = 0.5

_GRAVITY = 9.80665
_AIR_KG_MOL = 0.0289647
_WATER_KG_MOL = 0.0180153


def flux_kg_m2_h(temp_c: float, *, room_c: float = ROOM_C, humidity: float = ROOM_HUMIDITY, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Water that leaves an open face in still air, kg/(m2 h); nothing where the air holds more than the face.

        Sh   = 0.15 Ra^(1/3),  Ra = g (rho_air - rho_face)/rho_mean l^3/(nu D)      (l drops out)
        flux = 0.9 Sh D/l c (x_face - x_air) M,  D = 2.11e-5 (T/273.15)^1.94 m2/s   at the film's temperature

    Source: lloyd-moran-1974 (from memory) with no correction for the outward wind; the factor meets doe-steam-19. 3.9 kg/(m2 h) at 65.6 C into dry air of 24 C.
    """
    film_k = (temp_c + room_c) / 2 + ZERO_C_K
    face, air = vapour_pressure_pa(temp_c) / pressure_pa, humidity * vapour_pressure_pa(room_c) / pressure_pa
    face = min(face, 1.0)
    if face <= air:
        return 0.0
    heavy, light = _moist_kg_m3(room_c + ZERO_C_K, air, pressure_pa), _moist_kg_m3(temp_c + ZERO_C_K, face, pressure_pa)
    if light >= heavy:
        return 0.0
    mean = (heavy + light) / 2
    diffusion = 2.11e-5 * (film_k / 273.15) ** 1.94 * SEA_LEVEL_PA / pressure_pa
    viscosity = _air_viscosity_pa_s(film_k) / mean
    over_length = 0.15 * (_GRAVITY * (heavy - light) / mean / (viscosity * diffusion)) ** (1 / 3)
    molar = pressure_pa / (GAS_CONSTANT * film_k)
    return float(FITTED_SHARE * over_length * diffusion * molar * (face - air) * _WATER_KG_MOL * 3600)


def heat_flux_w_m2(flux: float, temp_c: float) -> float:
    """Heat that a flux of kg/(m2 h) carries off: flux h_fg/3600 in W/m2."""
    return flux * latent_heat_kj_kg(temp_c) / 3.6


def _moist_kg_m3(kelvin: float, vapour: float, pressure_pa: float) -> float:
    return pressure_pa / (GAS_CONSTANT * kelvin) * (_AIR_KG_MOL * (1 - vapour) + _WATER_KG_MOL * vapour)


def _air_viscosity_pa_s(kelvin: float) -> float:
    """Sutherland's law for dry air (from memory): 1.458e-6 T^1.5/(T + 110.4)."""
    return 1.458e-6 * kelvin * sqrt(kelvin) / (kelvin + 110.4)
