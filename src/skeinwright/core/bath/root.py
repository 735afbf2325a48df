"""Finding where a monotone function crosses zero, without an array library: the sums at the stove must start at once."""

from __future__ import annotations

from collections.abc import Callable


def bracketed_root(function: Callable[[float], float], low: float, high: float, *, tolerance: float = 1e-12, steps: int = 100) -> float:
    """Where `function` crosses zero between `low` and `high`, by Chandrupatla's bisection with inverse quadratic steps.

    The signs at the two ends must differ (ValueError otherwise). Source: chandrupatla-1997 (from memory). The root of x^2 - 2 in 0..2 is 1.41421356.
    """
    b, a = high, low
    fb, fa = function(b), function(a)
    if fa == 0:
        return a
    if fb == 0:
        return b
    if (fa > 0) == (fb > 0):
        raise ValueError("the function has the same sign at both ends")
    share = 0.5
    for _ in range(steps):
        x = a + share * (b - a)
        fx = function(x)
        if (fx > 0) == (fa > 0):
            c, fc = a, fa
        else:
            c, fc = b, fb
            b, fb = a, fa
        a, fa = x, fx
        best, fbest = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        limit = 2 * 2.2e-16 * abs(best) + tolerance
        nearness = limit / abs(b - c) if b != c else 1.0
        if nearness > 0.5 or fbest == 0:
            return best
        share = _share(a, b, c, fa, fb, fc, nearness)
    return best


def _share(a: float, b: float, c: float, fa: float, fb: float, fc: float, nearness: float) -> float:
    """Where between a and b to look next: inverse quadratic where the three points allow it, else the middle."""
    if fc in (fa, fb) or fa == fb:
        return 0.5
    xi = (a - b) / (c - b)
    phi = (fa - fb) / (fc - fb)
    if not (phi * phi < xi and (1 - phi) * (1 - phi) < 1 - xi):
        return 0.5
    quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return min(1 - nearness, max(nearness, quadratic))
