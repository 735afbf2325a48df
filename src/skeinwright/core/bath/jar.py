"""A jar that stands in a water bath warms behind it: a lag of the first order, exact for a bath that changes in straight lines."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from math import exp
from typing import TYPE_CHECKING, Any

from skeinwright.core.bath.water_properties import heat_capacity_kj_kg_k
from skeinwright.core.foundations.estimate import Estimate, Origin

if TYPE_CHECKING:
    from skeinwright.core.bath.isotherm import Array

Programme = tuple[tuple[float, float], ...]
"""(time_s, temp_c) points whose times never fall."""

JAR_W_M2_K, LEAST_W_M2_K, MOST_W_M2_K = 300.0, 150.0, 500.0
"""Heat through the wall of a glass jar that stands in hot water, with its ends [assumed]."""


def jar_lag_s(jar_l: float, jar_wall_m2: float) -> Estimate:
    """Seconds by which a jar lags behind its water bath: 1000 jar_l cp/(U area), U 300 W/(m2 K) (150-500) [assumed]. Half a litre, 0.04 m2: 175 s."""
    value = 1000 * jar_l * heat_capacity_kj_kg_k(60) / (JAR_W_M2_K * jar_wall_m2)
    return Estimate(value, value * JAR_W_M2_K / MOST_W_M2_K, value * JAR_W_M2_K / LEAST_W_M2_K, "s", Origin.ASSUMED, "heat through the jar's wall")


def jars_in_water_bath(programme: Programme, jar_l: float, jar_wall_m2: float, *, start_c: float | None = None) -> tuple[float, ...]:
    """How warm the liquor in a jar is at each point (time_s, water bath C) of a programme: it lags behind.

        dT/dt = (T_bath - T)/lag,  lag = 1000 jar_l cp/(300 area)    exactly for a bath that changes in straight lines

    U = 300 W/(m2 K) (150-500) [assumed]: half a litre in a jar with 0.04 m2 of wetted wall lags 175 s.
    """
    return tuple(_corners(programme, jar_lag_s(jar_l, jar_wall_m2).value, start_c, exp)) if programme else ()


def behind_c(programme: Programme, lag_s: float, time_s: float) -> float:
    """How warm the liquor is at a time, behind a bath that keeps `programme`; they start alike. Past its end the bath stays as warm as it is.

        T(t) = T_bath(t) - slope lag + (T_0 - T_bath(0) + slope lag) exp(-t/lag)    from one corner of the programme to the next

    A bath that warms by 1 C/min from 20 C, lag 300 s: after 10 min 25.68 C, and later always 5 C behind.
    """
    return float(_at(programme, _kept_corners(programme, lag_s), lag_s, time_s, exp))


def behind_many(programme: Programme, lags_s: Array, times_s: Array) -> Array:
    """The same for many lags (n,) at many times (t,): (t, n)."""
    import numpy as np

    corners = _corners(programme, lags_s, None, np.exp)
    return np.array([np.broadcast_to(_at(programme, corners, lags_s, float(time), np.exp), lags_s.shape) for time in times_s])


@lru_cache(maxsize=64)
def _kept_corners(programme: Programme, lag_s: float) -> tuple[float, ...]:
    return tuple(_corners(programme, lag_s, None, exp))


def _corners(programme: Programme, lag_s: Any, start_c: float | None, e: Callable[[Any], Any]) -> list[Any]:
    """How warm the liquor is at each point of the programme."""
    temp: Any = programme[0][1] if start_c is None else start_c
    found = [temp]
    for before, after in pairwise(programme):
        temp = _on(temp, before, after, lag_s, after[0], e)
        found.append(temp)
    return found


def _at(programme: Programme, corners: Any, lag_s: Any, time_s: float, e: Callable[[Any], Any]) -> Any:
    place = max((place for place, (since, _) in enumerate(programme) if since <= time_s), default=0)
    after = programme[place + 1] if place + 1 < len(programme) else (max(time_s, programme[place][0]), programme[place][1])
    return _on(corners[place], programme[place], after, lag_s, max(time_s, programme[place][0]), e)


def _on(temp: Any, before: tuple[float, float], after: tuple[float, float], lag_s: Any, time_s: float, e: Callable[[Any], Any]) -> Any:
    """From `temp` at the corner `before` to a time before the next; a bath that jumps leaves the liquor where it is."""
    span, since = after[0] - before[0], time_s - before[0]
    if since <= 0:
        return temp
    slope = (after[1] - before[1]) / span
    return before[1] + slope * (since - lag_s) + (temp - before[1] + slope * lag_s) * e(-since / lag_s)
