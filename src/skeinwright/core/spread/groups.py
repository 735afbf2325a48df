"""Numbers without units that say how a sprinkle will turn out."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from skeinwright.core.spread.parameters import DyeParameters, Parameters
from skeinwright.core.spread.water import dye_movement, free_diffusion_cm2_s, rayleigh, steams_cm_s


@dataclass(frozen=True, slots=True)
class Groups:
    """lambda = sqrt(D/(k g)) along and across (cm): how far dye goes before it strikes, in the face.

    da = k g t (over 5: the liquor clears); da_f = (footprint/lambda)^2 (over 1: a sharp dot); sh_ex = kappa_12/(h k g): sh/(1 + sh) reaches the back;
    pe, ra: convection; ev = e t/h0; an = D_x/D_y; ds = k g t_d (over 1: powder feeds slower than the yarn takes).
    """

    lambda_x_cm: float
    lambda_y_cm: float
    da: float
    da_f: float
    sh_ex: float
    ra: float
    pe: float
    ev: float
    an: float
    ds: float


def groups(
    dye: DyeParameters, temp_c: float, free_cm: float, held_cm: float, phi: float, time_s: float, parameters: Parameters, *, lid: bool = False
) -> Groups:
    """The groups of a dye laid as powder on yarn whose acid sites are filled to `phi`, for `time_s` seconds."""
    yarn, powder = parameters.yarn, parameters.powder
    move = dye_movement(dye, temp_c, free_cm, held_cm, yarn, parameters.pan)
    g = yarn.phi0 + (1 - yarn.phi0) * phi * (1 + yarn.phi_half) / (phi + yarn.phi_half)
    k = max(dye.strike_per_s(temp_c) * g, 1e-12)
    d_m = dye.diffusion_cm2_s(temp_c)
    radius = powder.grain_mm / 10
    dissolves = powder.dissolves_s(radius, d_m, damp=free_cm <= 0)
    across = max(move.across[1], 1e-12)
    return Groups(
        lambda_x_cm=sqrt(move.along[1] / k),
        lambda_y_cm=sqrt(across / k),
        da=k * time_s,
        da_f=(powder.footprint * radius) ** 2 * k / sqrt(max(move.along[1], 1e-12) * across),
        sh_ex=move.kappas.through / (max(held_cm, 1e-6) * k),
        ra=rayleigh(temp_c, free_cm),
        pe=max(0.0, free_diffusion_cm2_s(d_m, temp_c, free_cm, parameters.pan) / d_m - 1) ** 2,
        ev=steams_cm_s(temp_c, parameters.pan, lid=lid) * time_s / free_cm if free_cm > 0 else float("inf"),
        an=move.along[1] / across,
        ds=k * dissolves,
    )
