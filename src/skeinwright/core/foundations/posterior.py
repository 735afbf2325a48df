"""What one measurement makes of what was held before: Bayes' rule on a grid, for questions of one to three unknowns.

A grid needs no starting point and knows skewed answers, bounds and unknowns that hide behind each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.estimate import Estimate, Origin

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

NINETY = 1.6448536269514722
"""A normal number lies between -1.645 and 1.645 nine times in ten."""


def normal_prior(value: float, low: float, high: float, points: int = 81, reach: float = 2.2) -> tuple[Array, Array]:
    """(unknowns, log density) for an unknown that lies between `low` and `high` nine times in ten, with its middle at `value`; each side has its own width.

        sd = (high - value)/1.645 above, (value - low)/1.645 below;   points over value - reach (value - low) ... value + reach (high - value)

    For an unknown whose spread is a factor see `factor_prior`.
    """
    import numpy as np

    at = np.linspace(value - reach * (value - low), value + reach * (high - value), points)
    sd = np.where(at > value, high - value, value - low) / NINETY
    return at, -0.5 * ((at - value) / sd) ** 2


def factor_prior(value: float, low: float, high: float, points: int = 81, reach: float = 2.2) -> tuple[Array, Array]:
    """`normal_prior` of the logarithms, for an unknown whose spread is a factor."""
    from math import log

    return normal_prior(log(value), log(low), log(high), points, reach)


def off(seen: Any, expected: Any, sd: Any) -> Any:
    """Log likelihood of a reading with a normal error: -((seen - expected)/sd)^2/2, its constant left out."""
    return -0.5 * ((seen - expected) / sd) ** 2


def marginal(log_density: Array, at: Array, axis: int = 0, *, share: float = 0.90) -> tuple[float, float, float]:
    """(middle, low, high) of the unknown along `axis` with all others summed out: the median, and the ends that leave (1 - share)/2 outside on either side.

    `log_density` is the log of prior times likelihood on the grid, up to a constant; `at` the evenly spaced unknowns along `axis`.
    Between grid points the sum is a straight line.
    """
    import numpy as np

    density = np.exp(log_density - log_density.max())
    others = tuple(one for one in range(density.ndim) if one != axis)
    mass = density.sum(axis=others)
    edges = np.concatenate([[at[0]], 0.5 * (at[1:] + at[:-1]), [at[-1]]])
    passed = np.concatenate([[0.0], np.cumsum(mass)]) / mass.sum()
    low, middle, high = (float(np.interp(level, passed, edges)) for level in ((1 - share) / 2, 0.5, (1 + share) / 2))
    return middle, low, high


def factor_estimate(log_density: Array, ln_at: Array, axis: int = 0, *, unit: str, note: str = "") -> Estimate:
    """The estimate of an unknown whose logarithms are `ln_at`, measured by the dyer."""
    from math import exp

    middle, low, high = marginal(log_density, ln_at, axis)
    return Estimate(exp(middle), exp(low), exp(high), unit, Origin.MEASURED, note)
