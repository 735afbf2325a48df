"""Exact laws of diffusion into a cylinder: what the quick law of `kinetics` is held against, and what a test on a single fibre can be read with.

t is the scaled time D t/a^2; where the temperature changes, the integral of D(T(t)) dt over a^2. Sources: crank-diffusion (forms from memory), hill-1928.
"""

from __future__ import annotations

import numpy as np

from skeinwright.core.bath.isotherm import Array

TERMS = 200


def infinite_bath(scaled_time: Array | float, terms: int = TERMS) -> Array:
    """M/Minf = 1 - sum 4/a_n^2 exp(-a_n^2 t), J0(a_n) = 0. 0.6058 at t = 0.1; half at 0.06306."""
    from scipy.special import jn_zeros

    roots = jn_zeros(0, terms)
    return np.asarray(1 - np.sum(4 / roots**2 * np.exp(-(roots**2) * _column(scaled_time)), axis=-1))


def finite_bath(scaled_time: Array | float, bath_over_fibre: float, terms: int = TERMS) -> Array:
    """M/Minf = 1 - sum 4 al (1 + al)/(4 + 4 al + al^2 q^2) exp(-q^2 t), al q J0(q) + 2 J1(q) = 0.

    al = L/Kp = (1 - E)/E, the dye left in the bath over that on the fibre at rest. al 1, t 0.1: 0.7930.
    """
    al, q = bath_over_fibre, finite_bath_roots(bath_over_fibre, terms)
    return np.asarray(1 - np.sum(4 * al * (1 + al) / (4 + 4 * al + al**2 * q**2) * np.exp(-(q**2) * _column(scaled_time)), axis=-1))


def surface_film(scaled_time: Array | float, film: float, terms: int = TERMS) -> Array:
    """M/Minf = 1 - sum 4 Lb^2/(b^2 (b^2 + Lb^2)) exp(-b^2 t), b J1(b) = Lb J0(b). Lb 10, t 0.1: 0.4900.

    Lb = (D_bath/delta) a/(D_fibre K), K the partition by volume: a large one is no film at all.
    """
    b = surface_film_roots(film, terms)
    return np.asarray(1 - np.sum(4 * film**2 / (b**2 * (b**2 + film**2)) * np.exp(-(b**2) * _column(scaled_time)), axis=-1))


def finite_bath_roots(bath_over_fibre: float, terms: int = TERMS) -> Array:
    """The positive roots of al q J0(q) + 2 J1(q) = 0: one between each root of J0 and the next of J1. al 1: 2.9496, 5.8411, 8.8727."""
    from scipy.special import j0, j1, jn_zeros

    return _roots(lambda q: bath_over_fibre * q * j0(q) + 2 * j1(q), jn_zeros(0, terms), jn_zeros(1, terms))


def surface_film_roots(film: float, terms: int = TERMS) -> Array:
    """The positive roots of b J1(b) = Lb J0(b). Lb 10: 2.1795, 5.0332, 7.9569."""
    from scipy.special import j0, j1, jn_zeros

    lows = np.concatenate([[1e-9], jn_zeros(1, terms)[:-1]])
    return _roots(lambda b: b * j1(b) - film * j0(b), lows, jn_zeros(0, terms))


def _roots(function: object, lows: Array, highs: Array) -> Array:
    from scipy.optimize import brentq

    return np.array([brentq(function, low, high, xtol=1e-13) for low, high in zip(lows, highs, strict=True)])


def _column(scaled_time: Array | float) -> Array:
    return np.asarray(scaled_time, dtype=float)[..., None]
