"""What water itself brings: density, permittivity and its own ions."""

from __future__ import annotations

from math import exp, log10

from skeinwright.core.bath.constants import ZERO_C_K

_CRITICAL_K = 647.096
_CRITICAL_KG_M3 = 322.0
_DENSITY_TERMS = (
    (1 / 3, 1.99274064),
    (2 / 3, 1.09965342),
    (5 / 3, -0.510839303),
    (16 / 3, -1.75493479),
    (43 / 3, -45.5170352),
    (110 / 3, -6.74694450e5),
)


def density_kg_m3(temp_c: float) -> float:
    """Density of liquid water on its boiling line, 0-100 C; at 1 atm it is within 0.005 %.

        rho = 322 (1 + sum b_i tau^n_i),  tau = 1 - T/647.096

    Source: iapws-sr1-86 (from memory, checked against the `iapws` library). 997.0 at 25 C.
    """
    tau = 1 - (temp_c + ZERO_C_K) / _CRITICAL_K
    return float(_CRITICAL_KG_M3 * (1 + sum(factor * tau**power for power, factor in _DENSITY_TERMS)))


def permittivity(temp_c: float) -> float:
    """Static relative permittivity of water, 0-100 C.

        eps = 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3

    Source: malmberg-maryott-1956 (from memory, checked against the `iapws` library to 0.4 %). 78.30 at 25 C.
    """
    return 87.740 - 0.40008 * temp_c + 9.398e-4 * temp_c**2 - 1.410e-6 * temp_c**3


def pkw(temp_c: float) -> float:
    """-log10 of the ion product of water (mol^2/kg^2), 0-100 C.

    With d = density in g/cm3 and T in K:

        Z   = d exp(-0.702132 + 8681.05/T - 24145.1/T^2 d^(2/3))
        pKG = 0.61415 + 48251.33/T - 67707.93/T^2 + 10102100/T^3
        pKw = -12 (log10(1 + Z) - Z/(Z + 1) d (0.813876 - 51.4471/T - 0.46992 d)) + pKG + 2 log10(18.015268/1000)

    Source: iapws-r11-07. 13.994 at 25 C, 13.02 at 60 C.
    """
    kelvin = temp_c + ZERO_C_K
    d = density_kg_m3(temp_c) / 1000
    z = d * exp(-0.702132 + 8681.05 / kelvin - 24145.1 / kelvin**2 * d ** (2 / 3))
    gas = 6.1415e-1 + 4.825133e4 / kelvin - 6.770793e4 / kelvin**2 + 1.01021e7 / kelvin**3
    return -12 * (log10(1 + z) - z / (z + 1) * d * (0.813876 - 51.4471 / kelvin - 0.46992 * d)) + gas + 2 * log10(18.015268 / 1000)
