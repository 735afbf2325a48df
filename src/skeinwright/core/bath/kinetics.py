"""How fast dye goes on: through still water at the yarn's face, then into the fibre.

    dq/dt = (k/2)(q*^2 - q^2)/q   while q < q*,   k   = 4.56 D(T)/a^2
    dq/dt = -k' (q - q*)          while q > q*,   k'  = 5.78 D(T)/a^2
    dq/dt = h (c - c_face),  h = 1000 (D_w/delta) A;    q* = isotherm(c_face, pH, T)
    untreated wool's skin:  1/(dq/dt) = 1/(the first) + 1/(s (q* - q)),  s = 3 x 5.78 D(T)/a^2

With u = q^2 the first is du/dt = k (q*^2 - u), a straight line in u: over a step with q* held at its end value both branches are exact, and need no
start from "almost
nothing". Against the exact cylinder the law is within 0.016 in an endless bath, 0.03 where half goes on, 0.064 where 80 to 98 % does (`tests/reference`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.bath.classes import REFERENCE_C
from skeinwright.core.bath.constants import GAS_CONSTANT, REFERENCE_K, ZERO_C_K
from skeinwright.core.bath.isotherm import PARTITION_SHARE, Array, Number
from skeinwright.core.bath.spread import Spread
from skeinwright.core.bath.water_properties import viscosity_mpa_s

ON_RATE, OFF_RATE = 4.56, 5.78
FIBRE_RADIUS_M = 11.5e-6
"""A wet fibre of 20 um merino: 10 um times 1.15 (swelling from memory, morton-hearle)."""

DIFFUSION_95 = Spread.times(3e-15, 5.0)
"""D in wool at 95 C, m2/s [assumed: what the published exhaustion asks for, and textbooks' order from memory]."""
WOOL_ACTIVATION = Spread(80e3, 45e3, 107e3, log=False)
"""J/mol; 107 for one dye on wool (lac-dye-2013, seen as an abstract)."""
NYLON_ACTIVATION = Spread(60e3, 45e3, 105e3, log=False)
"""J/mol; 45.3 and 105 for two dyes (lac-dye-2013; sen-i-1970, seen as abstracts)."""
SUPERWASH_SPEED_95 = Spread.times(3.0, 1.6)
"""Superwash over untreated wool at 95 C [assumed]; with half the activation energy it dyes as untreated wool does 20 to 40 C hotter, as seen
(cegarra-superwash)."""
SKIN_SHARE = Spread.times(3.0, 3.0)
"""How freely untreated wool's skin lets dye through: s over 5.78 D/a^2 (times or divided by 3) [assumed]. Without a skin a cold bath would lay a pale dose into
the outermost ring of untreated wool as fast as into superwash; a delay at the surface that treatments take away is seen (trj-1999, lee-2001, plasma-wool)."""
SUPERWASH_ACTIVATION_SHARE, SUPERWASH_ACTIVATION_LEAST = 0.5, 35e3

WATER_DIFFUSION_25 = Spread(4.5e-10, 3e-10, 8e-10)
"""A dye molecule in water at 25 C, m2/s [assumed, from molecules of its size]."""
YARN_FACE_M2_KG = 8.0
"""Face of wet yarn, m2 to a kilogram of dry fibre (2 mm thick, 0.25 g/cm3) [assumed]."""
FILM_M = {"stirred": 1e-4, "simmering": 2e-4, "still": 5e-4}
FILM_SPREAD = 2.0
"""Still water at the yarn's face, times or divided by 2 [assumed]."""
STILL_BELOW_C, SIMMERS_FROM_C = 60.0, 80.0


def relative_rate(temp_c: Number, activation_j_mol: Number) -> Number:
    """Rate over that at 95 C: exp(-(E/R)(1/T - 1/368.15)). 0.064 at 60 C with 80 kJ/mol."""
    return np.exp(-activation_j_mol / GAS_CONSTANT * (1 / (np.asarray(temp_c) + ZERO_C_K) - 1 / (REFERENCE_C + ZERO_C_K)))


def superwash_activation(activation_j_mol: Number) -> Number:
    """Half of the untreated wool's, 35 kJ/mol at least."""
    return np.maximum(SUPERWASH_ACTIVATION_SHARE * activation_j_mol, SUPERWASH_ACTIVATION_LEAST)


def water_diffusion_m2_s(temp_c: float, at_25: float = WATER_DIFFUSION_25.value) -> float:
    """D(T) = D25 (T/298.15)(mu25/mu(T)): 2.98 times as fast at 80 C."""
    return at_25 * (temp_c + ZERO_C_K) / REFERENCE_K * viscosity_mpa_s(25.0) / viscosity_mpa_s(temp_c)


def pieces(temp_c: Number, cold: Number, hot: Number) -> Number:
    """How many molecules go about together: from `cold` at 25 C to `hot` at 80 C in equal factors, held outside; they move slower by its cube root."""
    share = np.clip((np.asarray(temp_c) - 25.0) / 55.0, 0.0, 1.0)
    return cold ** (1 - share) * hot**share


def film_m(temp_c: Number, stirred: bool = False) -> Number:
    """Still water at the face: 0.5 mm below 60 C, 0.2 mm simmering from 80 C, a straight line between; 0.1 mm stirred [assumed]."""
    if stirred:
        return np.full_like(np.asarray(temp_c, dtype=float), FILM_M["stirred"])
    share = np.clip((np.asarray(temp_c) - STILL_BELOW_C) / (SIMMERS_FROM_C - STILL_BELOW_C), 0.0, 1.0)
    return FILM_M["still"] + share * (FILM_M["simmering"] - FILM_M["still"])


def supply_l_kg_s(water_diffusion: Number, film: Number) -> Number:
    """h = 1000 (D/delta) A, litres of bath that a kilogram of yarn can be fed with in a second. D 1.5e-9, 0.2 mm: 0.06."""
    return 1000 * water_diffusion / film * YARN_FACE_M2_KG


@dataclass(slots=True)
class Going:
    """Dye under way; arrays of (draws, dyes) for the bath, (draws, dyes, fibres) for fibre. Changed in place by `advance`."""

    bath_g_l: Array
    fibre_g_kg: Array
    face_g_l: Array


@dataclass(frozen=True, slots=True)
class Rates:
    """What holds during a step; arrays of (draws, dyes, fibres), or shapes that broadcast to it. `supply` without end means no film."""

    kp_l_kg: Array
    saturation_g_kg: Array
    on_per_s: Array
    supply_l_kg_s: Array
    partition_share: Number = PARTITION_SHARE
    skin_s: Array | None = None
    """Untreated wool's skin as 1/s in seconds, 0 for a fibre without; None where no fibre has one."""


def advance(going: Going, rates: Rates, mass_kg: Array, volume_l: Array, step_s: float, rounds: int = 4) -> None:
    """One step of `step_s` seconds, implicit: bath, face and fibre are solved together at its end.

        q_new(c_f) - q = step h (c - c_f);    V c + sum m q_new = all the dye

    by Newton's rule on faces and bath at once; the crowding of the sites by other dyes is taken from the round before. What is in the bath
    afterwards is all the dye
    less what is on the fibres, so none is lost or made. `mass_kg` (fibres,), `volume_l` (draws,). First order in the step.
    """
    volume = volume_l[:, None]
    q, c, face = going.fibre_g_kg, going.bath_g_l, going.face_g_l
    all_dye = volume * c + q @ mass_kg
    kept_on = np.exp(-rates.on_per_s * step_s)
    kept_off = kept_on ** (OFF_RATE / ON_RATE)
    feed = rates.supply_l_kg_s * step_s
    u_kept, gain = q * q * kept_on, 1 - kept_on
    skin = None if rates.skin_s is None else rates.skin_s / step_s
    sites, plain = (1 - rates.partition_share) * rates.kp_l_kg, rates.partition_share * rates.kp_l_kg
    b = sites / rates.saturation_g_kg
    new = q
    for _ in range(rounds):
        crowd = 1 + np.sum(b * face, axis=1, keepdims=True)
        slope_sites = sites / crowd
        rest = (slope_sites + plain) * face
        rest_slope = slope_sites * (1 - b * face / crowd) + plain
        on = rest >= q
        new = np.where(on, np.sqrt(rest * rest * gain + u_kept), rest + (q - rest) * kept_off)
        with np.errstate(divide="ignore", invalid="ignore"):
            slope_on = np.where(new > 0, rest * rest_slope * gain / new, np.sqrt(gain) * rest_slope)
        if skin is not None:
            new, slope_on = _through_skin(new, slope_on, q, rest, rest_slope, on, skin)
        slope = np.where(on, slope_on, (1 - kept_off) * rest_slope)
        total = slope + feed
        missing = new - q - feed * (c[:, :, None] - face)
        off = volume * c + new @ mass_kg - all_dye
        step_c = (-off + (slope * missing / total) @ mass_kg) / (volume + (slope * feed / total) @ mass_kg)
        face = np.maximum(face + (feed * step_c[:, :, None] - missing) / total, 0.0)
        c = np.maximum(c + step_c, 0.0)
    crowd = 1 + np.sum(b * face, axis=1, keepdims=True)
    rest = (sites / crowd + plain) * face
    on = rest >= q
    new = np.where(on, np.sqrt(rest * rest * gain + u_kept), rest + (q - rest) * kept_off)
    if skin is not None:
        new = _through_skin(new, 0.0, q, rest, 0.0, on, skin)[0]
    left = all_dye - new @ mass_kg
    short = left < 0
    if short.any():
        grown = (new - q) @ mass_kg
        share = np.where(short & (grown > 0), (all_dye - q @ mass_kg) / np.where(grown > 0, grown, 1.0), 1.0)
        new = q + (new - q) * share[:, :, None]
        left = np.maximum(all_dye - new @ mass_kg, 0.0)
    going.fibre_g_kg, going.face_g_l, going.bath_g_l = new, face, left / volume


def _through_skin(new: Array, slope: Number, q: Array, rest: Array, rest_slope: Number, on: Array, skin: Array) -> tuple[Array, Number]:
    """What a step brings, held back by the skin: 1/step = 1/(step without) + 1/((q* - q)/skin); and its slope with the face."""
    over = np.where(np.logical_and(on, rest > q), rest - q, 1.0)
    without = new - q
    held = 1 / (1 + without * skin / over)
    bring = np.where(on, q + without * held, new)
    return bring, slope * held * held + (without * held / over) ** 2 * skin * rest_slope
