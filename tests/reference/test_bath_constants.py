"""Equilibrium constants against other compilations, cold and hot.

phreeqc.dat (USGS, as phreeqpython ships it) fits log K with A1 + A2 T + A3/T + A4 log10 T + A5/T^2 (T in K): an independent compilation for carbonate,
ammonium, bisulphate and the solubility of CO2. The heats of citric acid rest on memory and have no second source here.
"""

from __future__ import annotations

from math import log10
from pathlib import Path

import phreeqpython
import pytest

from skeinwright.core.bath.constants import AMMONIUM, AMMONIUM_SULPHATE_PAIR_LOG_K, BISULPHATE, CARBONIC, CITRIC, co2_dissolved_mol_l

DATABASE = (Path(phreeqpython.__file__).parent / "database" / "phreeqc.dat").read_text(encoding="latin-1")


def after(reaction: str, key: str) -> list[float]:
    """The numbers behind `key` in the block of a reaction."""
    lines = iter(DATABASE.splitlines())
    for line in lines:
        if line.split("#")[0].strip() == reaction:
            break
    for line in lines:
        if line.strip().startswith(key):
            return [float(number) for number in line.split("#")[0].split()[1:6]]
    raise AssertionError(f"{reaction} has no {key}")


def fitted_log_k(reaction: str, temp_c: float) -> float:
    kelvin = temp_c + 273.15
    terms = [*after(reaction, "-analytic"), 0.0, 0.0][:5]
    return terms[0] + terms[1] * kelvin + terms[2] / kelvin + terms[3] * log10(kelvin) + terms[4] / kelvin**2


@pytest.mark.parametrize(("temp_c", "tolerance"), [(10, 0.02), (25, 0.01), (40, 0.02), (60, 0.03), (77, 0.05), (90, 0.07)])
def test_carbonic_acid(temp_c: float, tolerance: float) -> None:
    second = fitted_log_k("CO3-2 + H+ = HCO3-", temp_c)
    both = fitted_log_k("CO3-2 + 2 H+ = CO2 + H2O", temp_c)
    assert CARBONIC[1].pk(temp_c) == pytest.approx(second, abs=tolerance)
    assert CARBONIC[0].pk(temp_c) == pytest.approx(both - second, abs=tolerance)


@pytest.mark.parametrize("temp_c", [10, 25, 40, 60, 90])
def test_ammonium(temp_c: float) -> None:
    assert AMMONIUM[0].pk(temp_c) == pytest.approx(-fitted_log_k("NH4+ = NH3 + H+", temp_c), abs=0.03)


@pytest.mark.parametrize("temp_c", [10, 25, 40, 60, 90])
def test_bisulphate(temp_c: float) -> None:
    """The two compilations part with heat (0.21 at 90 C): this is why sulphate baths above 50 C are given 0.12 pH. The half width that we state covers it."""
    tolerance = BISULPHATE[0].half_width(temp_c)
    assert BISULPHATE[0].pk(temp_c) == pytest.approx(fitted_log_k("SO4-2 + H+ = HSO4-", temp_c), abs=tolerance)


def test_ammonium_sulphate_pair() -> None:
    assert after("NH4+ + SO4-2 = NH4SO4-", "-log_k")[0] == AMMONIUM_SULPHATE_PAIR_LOG_K


def test_citric_acid_as_quoted() -> None:
    """Goldberg, Kishore and Lennen 2002, as quoted: 3.128, 4.761, 6.396."""
    assert [step.pk25 for step in CITRIC] == [3.128, 4.761, 6.396]


@pytest.mark.parametrize(("temp_c", "tolerance"), [(10, 0.03), (25, 0.005), (60, 0.07)])
def test_carbon_dioxide_in_water_open_to_air(temp_c: float, tolerance: float) -> None:
    """log10 of the dissolved amount at 420 ppm; phreeqc.dat's fit for CO2(g), whose sixth term is 1.9194e-5 T^2."""
    log_k = fitted_log_k("CO2(g)", temp_c) + 1.9194e-5 * (temp_c + 273.15) ** 2
    assert log10(co2_dissolved_mol_l(temp_c)) == pytest.approx(log_k + log10(420e-6), abs=tolerance)
