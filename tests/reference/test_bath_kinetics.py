"""The laws of dyeing rate: exact solutions of diffusion into a cylinder, and the quick law held against them and against a ring-by-ring solver."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from skeinwright.core.bath.crank import finite_bath, finite_bath_roots, infinite_bath, surface_film, surface_film_roots
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.kinetics import (
    FIBRE_RADIUS_M,
    ON_RATE,
    Going,
    Rates,
    advance,
    film_m,
    pieces,
    relative_rate,
    superwash_activation,
    supply_l_kg_s,
)

A2 = FIBRE_RADIUS_M**2


@pytest.mark.parametrize(("tau", "share"), [(0.01, 0.2155), (0.05, 0.4521), (0.1, 0.6058), (0.3, 0.8780), (0.06306, 0.5), (0.33441, 0.9), (0.73256, 0.99)])
def test_endless_bath(tau: float, share: float) -> None:
    """Crank, The Mathematics of Diffusion, eq. 5.23 = Hill 1928: 1 - sum 4/a_n^2 exp(-a_n^2 t), with scipy's Bessel zeros; half at 0.063 in textbooks."""
    assert infinite_bath(tau) == pytest.approx(share, abs=1e-4)


def test_hills_coefficients() -> None:
    """Hill 1928, as quoted: 0.692 [exp(-5.783 t) + 0.190 exp(-30.47 t) + 0.0772 exp(-74.89 t) + 0.0416 exp(-139.0 t) + ...]."""
    for tau in (0.05, 0.2, 0.5):
        hill = 0.692 * sum(f * np.exp(-k * tau) for f, k in ((1, 5.783), (0.190, 30.47), (0.0772, 74.89), (0.0416, 139.0), (0.0259, 222.9)))
        assert infinite_bath(tau) == pytest.approx(1 - hill, abs=1e-3)


def test_short_times() -> None:
    """Crank: 4 sqrt(t/pi) - t - t^1.5/(3 sqrt(pi)), within 0.001 to t = 0.06."""
    for tau in (0.001, 0.01, 0.06):
        assert infinite_bath(tau) == pytest.approx(4 * np.sqrt(tau / np.pi) - tau - tau**1.5 / (3 * np.sqrt(np.pi)), abs=1e-3)


def test_finite_bath() -> None:
    """Wilson 1948, Crank eq. 5.33; roots for equal parts in bath and fibre in Crank's table (from memory) and by scipy."""
    assert finite_bath_roots(1.0)[:4] == pytest.approx([2.9496, 5.8411, 8.8727, 11.9561], abs=1e-4)
    assert finite_bath(np.array([0.01, 0.1]), 1.0) == pytest.approx([0.3666, 0.7930], abs=1e-4)
    assert finite_bath(0.01, 0.25) == pytest.approx(0.6196, abs=1e-4)
    for al, half in ((9, 0.05444), (1, 0.02251), (0.25, 0.004736), (1 / 9, 0.001317)):
        assert finite_bath(half, al, terms=400) == pytest.approx(0.5, abs=1e-3)


def test_surface_film() -> None:
    """Crank ch. 5, Newman: b J1(b) = Lb J0(b), by scipy."""
    assert surface_film_roots(10)[:3] == pytest.approx([2.1795, 5.0332, 7.9569], abs=1e-4)
    assert surface_film(0.1, 10) == pytest.approx(0.4900, abs=1e-4)


def test_limits_meet_the_endless_bath() -> None:
    for tau in (0.02, 0.1, 0.4):
        assert surface_film(tau, 1e4) == pytest.approx(infinite_bath(tau), abs=1e-3)
        assert finite_bath(tau, 1e4) == pytest.approx(infinite_bath(tau), abs=1e-3)


def quick(times: Array, kp: float, ratio: float, d_over_a2: float, supply: float = 1e12, top: float = 1e15) -> Array:
    """The quick law in equal steps: dye on 1 kg of fibre over time, g, from 1 g/L."""
    going = Going(np.array([[1.0]]), np.zeros((1, 1, 1)), np.zeros((1, 1, 1)))
    on = []
    for step in np.diff(times):
        rates = Rates(np.full((1, 1, 1), kp), np.full((1, 1, 1), top), np.full((1, 1, 1), ON_RATE * d_over_a2), np.full((1, 1, 1), supply), 0.0)
        advance(going, rates, np.array([1.0]), np.array([ratio]), float(step))
        on.append(going.fibre_g_kg[0, 0, 0])
    return np.array([0.0, *on])


@pytest.mark.parametrize(("al", "off"), [(1e4, 0.017), (9, 0.02), (1, 0.035), (0.25, 0.065), (1 / 9, 0.070), (0.02, 0.070)])
def test_the_quick_law_against_exact_ones(al: float, off: float) -> None:
    """Greatest distance from the exact finite bath: 0.016 endless, 0.03 half, 0.064 where most goes on, worked out apart; far below the spread of D (x/÷5)."""
    scale = min(1.0, al**2) if al < 1 else 1.0
    tau = np.concatenate([[0.0], np.geomspace(1e-5 * scale, 1.5 * scale, 1500)])
    ratio = 20.0
    mine = quick(tau, ratio / al, ratio, 1.0)
    assert np.abs(mine / (ratio / (1 + al)) - finite_bath(tau, al, terms=400))[5:].max() < off


def test_piecewise_temperature() -> None:
    """10 min at 95 C and 10 min at 60 C count as 10 + 10 exp(-80000/8.314 (1/333.15 - 1/368.15)) = 10.64 min at 95 C."""
    assert 10 + 10 * float(relative_rate(60.0, 80e3)) == pytest.approx(10.64, rel=1e-3)
    q = np.full((1, 1, 1), 1e-4)

    def on(*pieces_: tuple[float, float]) -> float:
        going = Going(np.array([[1.0]]), np.zeros((1, 1, 1)), np.zeros((1, 1, 1)))
        for seconds, rate in pieces_:
            rates = Rates(np.full((1, 1, 1), 1e-3), np.full((1, 1, 1), 1e15), rate * q, np.full((1, 1, 1), 1e12), 0.0)
            advance(going, rates, np.array([1.0]), np.array([1e6]), seconds)
        return float(going.fibre_g_kg[0, 0, 0])

    rate = float(relative_rate(60.0, 80e3))
    assert on((600, 1.0), (600, rate)) == pytest.approx(on((600 + 600 * rate, 1.0)), rel=1e-3)


@pytest.mark.parametrize(("activation", "factor"), [(45e3, 1.6), (80e3, 2.3), (107e3, 3.1)])
def test_ten_degrees(activation: float, factor: float) -> None:
    """Rate for 10 C more at 60-70 C, by hand from Arrhenius' law."""
    assert float(relative_rate(70.0, activation) / relative_rate(60.0, activation)) == pytest.approx(factor, abs=0.05)


def test_superwash_is_twenty_five_to_forty_degrees_ahead() -> None:
    """Cegarra, Riva, Ribe (Intexter; abstract): superwash dyes as fast at 25-40 C less. Ours, three times as fast at 95 C with half the activation energy."""
    for temp in (45.0, 60.0, 70.0):
        superwash = 3.0 * float(relative_rate(temp, superwash_activation(80e3)))
        shifts = [shift for shift in np.arange(15, 45, 0.5) if relative_rate(temp + shift, 80e3) >= superwash]
        assert 24 <= shifts[0] <= 40


def test_supply_limited_half_time() -> None:
    """D 1.5e-9 m2/s, 8 m2/kg: ln2 L/h = 116, 231, 578 s at 20:1 for films of 0.1, 0.2, 0.5 mm; four times as fast at 5:1."""
    for film, seconds in ((1e-4, 116), (2e-4, 231), (5e-4, 578)):
        assert np.log(2) * 20 / supply_l_kg_s(1.5e-9, film) == pytest.approx(seconds, rel=0.01)
    times = np.linspace(0, 231, 400)
    on = quick(times, 1e7, 20.0, 1.0, supply=float(supply_l_kg_s(1.5e-9, 2e-4)))
    assert on[-1] / 20 == pytest.approx(0.5, abs=0.005), "a fibre that takes all is fed by the film alone"


def test_films_and_pieces() -> None:
    assert film_m(20.0) == pytest.approx(5e-4)
    assert film_m(95.0) == pytest.approx(2e-4)
    assert film_m(70.0) == pytest.approx(3.5e-4)
    assert film_m(20.0, stirred=True) == pytest.approx(1e-4)
    assert pieces(25.0, 8.0, 2.0) == pytest.approx(8.0)
    assert pieces(99.0, 8.0, 2.0) == pytest.approx(2.0)


def rings(n: int, end: float, kp: float, ratio: float, supply: float, top: float, diffusion: Callable[[float], float]) -> tuple[Array, Array]:
    """A ring-by-ring finite-volume solver of one fibre in a bath: n rings of equal width, D(t)/a^2, Langmuir at the face, a film before it.

    Amounts are for 1 kg of fibre of 1 L (volume and mass alike): g on the fibre over time.
    """
    edges = np.linspace(0, 1, n + 1)
    areas = edges[1:] ** 2 - edges[:-1] ** 2
    middles = 0.5 * (edges[1:] + edges[:-1])

    def rate(t: float, y: Array) -> Array:
        c, bath = y[:-1], y[-1]
        d = diffusion(t)
        inner = d * 2 * edges[1:-1] * np.diff(c) / np.diff(middles)
        conduct = d * 2 / (1 - middles[-1])

        low, high = 0.0, bath
        for _ in range(60):
            face = 0.5 * (low + high)
            surface = kp * face / (1 + kp * face / top)
            if supply * (bath - face) > conduct * (surface - c[-1]):
                low = face
            else:
                high = face
        into = supply * (bath - face)
        flow = np.concatenate([[0.0], inner, [into]])
        return np.concatenate([np.diff(flow) / areas, [-into / ratio]])

    times = np.linspace(0, end, 60)
    found = solve_ivp(rate, (0, end), np.concatenate([np.zeros(n), [1.0]]), method="LSODA", t_eval=times, rtol=1e-6, atol=1e-9)
    return times, areas @ found.y[:-1]


def test_the_ring_solver_itself() -> None:
    """Twelve rings against the exact finite bath: within 0.02 once the first ring is filled."""
    times, on = rings(12, 0.5, 20.0, 20.0, 1e5, 1e12, lambda _: 1.0)
    assert np.abs(on / 10 - finite_bath(times, 1.0))[3:].max() < 0.02


@pytest.mark.parametrize(("kp", "supply", "top"), [(20.0, 1e4, 1e12), (200.0, 60.0, 1e12), (200.0, 60.0, 25.0), (600.0, 600.0, 40.0), (600.0, 20.0, 60.0)])
def test_the_quick_law_against_rings_on_a_ramp(kp: float, supply: float, top: float) -> None:
    """Film, saturation and a diffusion that grows twentyfold on the way: the quick law stays within 0.08 of the ring solver.

    Stiff sites in a fibre that diffuses as if unbound make the rings the stricter judge; the spread of D alone moves the curve by three times as much.
    """

    def diffusion(t: float) -> float:
        return 0.05 + 0.95 * min(1.0, t / 0.6)

    times, on = rings(12, 1.2, kp, 20.0, supply, top, diffusion)
    fine = np.linspace(0, 1.2, 2401)
    going = Going(np.array([[1.0]]), np.zeros((1, 1, 1)), np.zeros((1, 1, 1)))
    mine = [0.0]
    for before, after in pairwise(fine):
        rates = Rates(
            np.full((1, 1, 1), kp), np.full((1, 1, 1), top), np.full((1, 1, 1), ON_RATE * diffusion(0.5 * (before + after))), np.full((1, 1, 1), supply), 0.0
        )
        advance(going, rates, np.array([1.0]), np.array([20.0]), after - before)
        mine.append(going.fibre_g_kg[0, 0, 0])
    end = max(on[-1], 1e-9)
    assert np.abs(np.interp(times, fine, mine) - on).max() / end < 0.08
    assert mine[-1] == pytest.approx(end, rel=0.03)


def test_the_step_is_of_first_order() -> None:
    """Half the step, half the error, against a very fine run: what an implicit Euler step promises."""

    def at(n: int) -> float:
        return float(quick(np.linspace(0, 0.02, n + 1), 200.0, 20.0, 1.0, supply=2000.0)[-1])

    exact = at(6400)
    errors = [abs(at(n) - exact) for n in (50, 100, 200)]
    assert errors[0] / errors[1] == pytest.approx(2, rel=0.2)
    assert errors[1] / errors[2] == pytest.approx(2, rel=0.2)


def test_desorption_is_exponential() -> None:
    """Into a great clean bath q falls as exp(-5.78 D t/a^2): the slowest term of the exact series."""
    going = Going(np.array([[0.0]]), np.full((1, 1, 1), 10.0), np.zeros((1, 1, 1)))
    rates = Rates(np.full((1, 1, 1), 1.0), np.full((1, 1, 1), 1e12), np.full((1, 1, 1), ON_RATE), np.full((1, 1, 1), 1e9), 0.0)
    for _ in range(100):
        advance(going, rates, np.array([1.0]), np.array([1e6]), 0.003)
    assert going.fibre_g_kg[0, 0, 0] == pytest.approx(10 * np.exp(-5.78 * 0.3), rel=1e-3)
    assert A2 > 0
