"""The root finder on functions whose roots are known."""

from __future__ import annotations

from math import cos, exp, pi, sqrt

import pytest

from skeinwright.core.bath.root import bracketed_root


@pytest.mark.parametrize(
    ("function", "low", "high", "root"),
    [
        (lambda x: x * x - 2, 0.0, 2.0, sqrt(2)),
        (cos, 0.0, 3.0, pi / 2),
        (lambda x: exp(-30 * x) - exp(-30 * 0.73), -1.0, 14.0, 0.73),
        (lambda x: x**9, -1.0, 1.5, 0.0),
        (lambda x: x - 3, 3.0, 5.0, 3.0),
        (lambda x: x - 5, 3.0, 5.0, 5.0),
    ],
)
def test_known_roots(function: object, low: float, high: float, root: float) -> None:
    assert bracketed_root(function, low, high) == pytest.approx(root, abs=1e-9)  # type: ignore[arg-type]


def test_ends_of_one_sign_are_an_error() -> None:
    with pytest.raises(ValueError, match="same sign"):
        bracketed_root(lambda x: x * x + 1, -1, 1)
