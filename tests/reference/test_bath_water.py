"""Water's properties against the `iapws` library (IAPWS-IF97), and boiling points against its saturation line at the standard atmosphere's pressure."""

from __future__ import annotations

import pytest
from iapws import IAPWS97

from skeinwright.core.bath.kinetics import water_diffusion_m2_s
from skeinwright.core.bath.water_properties import (
    air_pressure_pa,
    boiling_point_c,
    heat_capacity_kj_kg_k,
    latent_heat_kj_kg,
    vapour_pressure_pa,
    viscosity_mpa_s,
)


@pytest.mark.parametrize("temp_c", [2, 15, 25, 38.5, 60, 77, 88, 95, 99])
def test_liquid_and_steam_as_iapws(temp_c: float) -> None:
    liquid, steam = IAPWS97(T=temp_c + 273.15, x=0), IAPWS97(T=temp_c + 273.15, x=1)
    assert heat_capacity_kj_kg_k(temp_c) == pytest.approx(liquid.cp, rel=1e-3)
    assert viscosity_mpa_s(temp_c) == pytest.approx(1000 * liquid.mu, rel=1e-3)
    assert latent_heat_kj_kg(temp_c) == pytest.approx(steam.h - liquid.h, rel=1e-4)
    assert vapour_pressure_pa(temp_c) == pytest.approx(1e6 * liquid.P, rel=1e-4)


@pytest.mark.parametrize("altitude_m", [0, 500, 1000, 1609, 2500])
def test_boiling_point_as_iapws(altitude_m: float) -> None:
    """99.97 C at the sea, 96.65 at 1000 m, 94.6 at 1609 m, 91.6 at 2500 m."""
    assert boiling_point_c(altitude_m) == pytest.approx(IAPWS97(P=air_pressure_pa(altitude_m) / 1e6, x=0).T - 273.15, abs=0.02)


def test_pressure_of_the_standard_atmosphere() -> None:
    """898.8 hPa at 1000 m, 747 hPa at 2500 m: printed tables of the standard atmosphere (from memory), so held loosely."""
    assert air_pressure_pa(1000) == pytest.approx(89875, rel=2e-3)
    assert air_pressure_pa(2500) == pytest.approx(74690, rel=3e-3)


def test_a_molecule_in_hot_water() -> None:
    """D(80)/D(25) = (353.15/298.15)(mu25/mu80), with the `iapws` viscosities 0.8900 and 0.3541 mPa s: 2.98."""
    assert water_diffusion_m2_s(80.0) / water_diffusion_m2_s(25.0) == pytest.approx(353.15 / 298.15 * 0.8900 / 0.3541, rel=2e-3)
    assert water_diffusion_m2_s(80.0) / water_diffusion_m2_s(25.0) == pytest.approx(2.98, abs=0.02)
