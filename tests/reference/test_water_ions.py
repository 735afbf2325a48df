"""Water's density, permittivity and ion product against the `iapws` library (an independent coding of the IAPWS releases)."""

from __future__ import annotations

import pytest
from iapws import IAPWS97
from iapws._iapws import _Dielectric, _Kw

from skeinwright.core.bath.activity import debye_huckel_a
from skeinwright.core.bath.water_ions import density_kg_m3, permittivity, pkw

TEMPERATURES_C = (1, 5, 15, 25, 37, 50, 60, 75, 80, 90, 95, 99)


def density(temp_c: float) -> float:
    return float(IAPWS97(T=temp_c + 273.15, P=0.101325).rho)


@pytest.mark.parametrize("temp_c", TEMPERATURES_C)
def test_density(temp_c: float) -> None:
    """IAPWS-IF97 at 1 atm."""
    assert density_kg_m3(temp_c) == pytest.approx(density(temp_c), rel=2e-4)


@pytest.mark.parametrize("temp_c", TEMPERATURES_C)
def test_ion_product(temp_c: float) -> None:
    """IAPWS R11-07 as coded in `iapws`, at the density of IF97."""
    assert pkw(temp_c) == pytest.approx(_Kw(density(temp_c), temp_c + 273.15), abs=1e-3)


@pytest.mark.parametrize(("temp_c", "expected"), [(25, 13.994), (60, 13.021), (80, 12.599), (95, 12.334)])
def test_ion_product_printed(temp_c: float, expected: float) -> None:
    assert pkw(temp_c) == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize("temp_c", TEMPERATURES_C)
def test_permittivity(temp_c: float) -> None:
    """IAPWS R8-97; Malmberg and Maryott measured it in 1956; the two part by 0.35 % at the boil."""
    assert permittivity(temp_c) == pytest.approx(_Dielectric(density(temp_c), temp_c + 273.15), rel=4e-3)


def test_debye_huckel_slope() -> None:
    """0.509-0.512 (L/mol)^0.5 at 25 C in handbooks."""
    assert 0.509 <= debye_huckel_a(25.0) <= 0.512
