"""Heating and steaming away, against published loss tables and sums worked by hand."""

from __future__ import annotations

from itertools import pairwise
from math import exp

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from skeinwright.core.bath.evaporation import flux_kg_m2_h, heat_flux_w_m2
from skeinwright.core.bath.heat import (
    HotPot,
    Surroundings,
    boil_off_kg_s,
    evaporation_kg_s,
    falling_line,
    heat_needed_kj,
    hot_pot,
    steaming_clock_s,
    time_to_heat,
)
from skeinwright.core.bath.jar import behind_c, behind_many, jars_in_water_bath
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Vessel

PAN = Vessel(name="Pan", shape="rectangle", length_mm=300, width_mm=250, height_mm=100, material="aluminium", mass_g=1000)
KETTLE = Vessel(name="Kettle", shape="round", length_mm=300, height_mm=200, material="stainless steel", mass_g=2500)
BTU_H_FT2_W_M2 = 3.15459
"""1 Btu/(h ft2) in W/m2 (exact units of length, Btu of the International Table)."""


@pytest.mark.parametrize(("fahrenheit", "btu"), [(110, 222), (130, 452), (150, 856), (170, 1566)])
def test_the_loss_table_of_the_department_of_energy(fahrenheit: float, btu: float) -> None:
    """US Department of Energy, Steam Tip Sheet 19, heat lost by evaporation from open tanks, still dry air of 75 F: within 15 %."""
    temp_c = (fahrenheit - 32) / 1.8
    flux = flux_kg_m2_h(temp_c, room_c=(75 - 32) / 1.8, humidity=0.0)
    assert heat_flux_w_m2(flux, temp_c) == pytest.approx(btu * BTU_H_FT2_W_M2, rel=0.15)


@pytest.mark.parametrize(("fahrenheit", "btu"), [(140, 660), (160, 1100), (180, 1740), (200, 2680)])
def test_a_rougher_table_is_met_within_a_third(fahrenheit: float, btu: float) -> None:
    """An engineering table for still air of 60 F, "rough estimates" in its authors' words: it is why the interval is +-35 %."""
    temp_c = (fahrenheit - 32) / 1.8
    assert heat_flux_w_m2(flux_kg_m2_h(temp_c, room_c=15.6), temp_c) == pytest.approx(btu * BTU_H_FT2_W_M2, rel=0.35)


def test_heat_of_a_pot_by_hand() -> None:
    """4 kg x 4.184 x 70 + 1 kg x 0.897 x 70 + 0.1 kg x 1.36 x 70 = 1171.5 + 62.8 + 9.5 = 1244 kJ = 0.346 kWh."""
    assert heat_needed_kj(hot_pot(PAN, 4, 100), 15, 85) == pytest.approx(1244, rel=0.01)
    by_hand = (12 * 4.19 + 2.5 * 0.5 + 0.4 * 1.36) * 80
    assert heat_needed_kj(hot_pot(KETTLE, 12, 400), 15, 95) == pytest.approx(by_hand, rel=0.01)


def test_time_to_heat() -> None:
    """1500 W at 74 %: 1244/1.11 = 1121 s with nothing lost; worked out apart with losses, 23.1 min and 94 ml, within 10 %."""
    found = time_to_heat(hot_pot(PAN, 4, 100), 15, 85, 1500, "electric plate")
    assert found.time_s.value > 1244 / 1.11
    assert found.time_s.value / 60 == pytest.approx(23.1, rel=0.10)
    assert 1000 * found.lost_l == pytest.approx(94, rel=0.10)
    assert found.reached
    assert found.energy_kwh.value == pytest.approx(1.5 * found.time_s.value / 3600)
    kettle = time_to_heat(hot_pot(KETTLE, 12, 400), 15, 95, 2000, "induction")
    assert kettle.time_s.value / 60 == pytest.approx(52, rel=0.10)


def test_a_covered_pot_without_losses_takes_heat_over_power() -> None:
    """Limit: with no face and no walls to lose by, seconds x watts into the pot are the joules."""
    closed = HotPot(water_l=4, fibre_g=100, pan_g=1000, material="aluminium", face_m2=1e-9, wall_m2=0)
    found = time_to_heat(closed, 15, 85, 1000, "electric plate")
    assert found.time_s.value * 740 == pytest.approx(1000 * heat_needed_kj(closed, 15, 85), rel=2e-3)


def test_what_is_too_weak_never_gets_there() -> None:
    assert not time_to_heat(hot_pot(KETTLE, 12, 400), 15, 95, 300, "gas").reached
    high = time_to_heat(hot_pot(PAN, 4, 100), 15, 98, 3000, "induction", Surroundings(altitude_m=2500))
    assert not high.reached
    assert high.top_c == pytest.approx(91.6, abs=0.1)
    with pytest.raises(BadInput):
        time_to_heat(hot_pot(PAN, 4, 100), 15, 98, 0)


def test_the_falling_line() -> None:
    """0.075 m2 at 85 C in a room of 21 C and 50 %: worked out apart, 0.783 l and 10.4 mm an hour (10.8 with water's density when hot)."""
    line = falling_line(PAN, hot_pot(PAN, 4, 100), 85)
    assert line.l_h.value == pytest.approx(0.783, rel=0.02)
    assert line.mm_h.value == pytest.approx(10.6, rel=0.05)
    assert line.top_up_ml == pytest.approx(400)
    assert line.every_s == pytest.approx(3600 * 0.4 / line.l_h.value)
    assert line.look_after_s < line.dry_after_s / 2
    assert "Top up" in line.sentence


def test_a_fan_doubles_and_a_lid_keeps() -> None:
    """Doubling by a draught: "could more than double", US Department of Energy, Steam Tip Sheet 19; a lid's 0.05-0.15 is assumed."""
    pot = hot_pot(PAN, 4, 100)
    still = evaporation_kg_s(pot, 85, Surroundings())
    assert evaporation_kg_s(pot, 85, Surroundings(fan=True)) == pytest.approx(2 * still)
    assert 0.05 <= evaporation_kg_s(hot_pot(PAN, 4, 100, lid=True), 85, Surroundings()) / still <= 0.15
    assert flux_kg_m2_h(15, room_c=25, humidity=1.0) == 0.0


def test_at_the_boil_power_goes_into_steam() -> None:
    """1 kW of net power boils 1000/2257 g = 0.443 g a second off."""
    pot = HotPot(water_l=4, fibre_g=0, pan_g=0, material="glass", face_m2=1e-6, wall_m2=0)
    assert 1000 * boil_off_kg_s(pot, 1000, Surroundings()) == pytest.approx(1000 / 2257, rel=2e-3)


def test_a_jar_lags_behind_its_water_bath() -> None:
    """One step to 60 C: 63.2 % of the way after one lag; half a litre behind 0.04 m2 at 300 W/(m2 K) lags 0.5 x 4185/12 = 174 s."""
    lag = 0.5 * 4185 / (300 * 0.04)
    temps = jars_in_water_bath(((0, 60), (lag, 60), (100 * lag, 60)), 0.5, 0.04, start_c=20)
    assert temps[1] == pytest.approx(20 + 40 * (1 - exp(-1)), abs=0.1)
    assert temps[2] == pytest.approx(60, abs=1e-6)
    ramp = jars_in_water_bath(((0, 20), (3600, 80)), 0.5, 0.04)
    assert ramp[1] == pytest.approx(80 - lag / 60, abs=0.05), "on a long ramp of 1 C/min it is one lag behind"


def test_a_jar_follows_a_ramp_and_a_hold_by_the_closed_form() -> None:
    """By hand, lag 300 s, 20 C and 1 C/min up to 80 C, then held. Response of the first order to a ramp: T = 20 + (t - 300 (1 - exp(-t/300)))/60.

    10 min: 20 + (600 - 300 x 0.86466)/60 = 25.68;   60 min: 80 - 5 (1 - exp(-12)) = 75.00;   65 min: 80 - 5 exp(-1) = 78.16
    """
    programme = ((0.0, 20.0), (3600.0, 80.0), (7200.0, 80.0))
    for time, temp in ((0, 20.0), (600, 25.677), (3600, 75.0), (3900, 78.161), (9000, 80.0)):
        assert behind_c(programme, 300.0, time) == pytest.approx(temp, abs=0.001)
    assert behind_c(((0.0, 20.0), (0.0, 80.0), (600.0, 80.0)), 300.0, 300.0) == pytest.approx(80 - 60 * exp(-1), abs=0.001), "yarn put into a hot bath"


def test_a_jar_follows_any_programme_as_the_integrated_equation_does() -> None:
    """dT/dt = (T_bath - T)/lag by scipy's Runge-Kutta of order 8, on a bath that is raised, held, cooled and raised again; three lags side by side."""
    programme = ((0.0, 20.0), (1500.0, 60.0), (2100.0, 60.0), (3000.0, 45.0), (5000.0, 90.0), (6000.0, 90.0))
    times, lags = np.linspace(0, 6000, 41), np.array([60.0, 240.0, 900.0])
    found = behind_many(programme, lags, times)
    for place, lag in enumerate(lags):
        edges, expected, temp = [time for time, _ in programme], np.full(times.shape, 20.0), 20.0
        for since, until in pairwise(edges):
            mine = (times >= since) & (times <= until)
            points = np.unique([since, *times[mine], until])
            line = solve_ivp(lambda t, y, lag=lag: (np.interp(t, *zip(*programme, strict=True)) - y) / lag, (since, until), [temp], "DOP853", points, rtol=1e-9)
            expected[mine], temp = np.interp(times[mine], line.t, line.y[0]), float(line.y[0, -1])
        assert found[:, place] == pytest.approx(expected, abs=1e-4)
        assert [behind_c(programme, float(lag), float(time)) for time in times] == pytest.approx(list(found[:, place]), abs=1e-9)


def test_the_steaming_clock_waits_for_the_boil() -> None:
    """2 l from 20 C at 1500 W x 0.74: 2 x 4185 x 80/1110 = 603 s, then five minutes [assumed] until the yarn is hot."""
    clock = steaming_clock_s(2, 1500, "electric plate")
    assert clock.value == pytest.approx(603 + 300, rel=0.01)
    assert clock.low < clock.value < clock.high
