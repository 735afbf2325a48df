"""A number that is not known exactly, as draws can use it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.posterior import NINETY

FURTHEST = 2.5


@dataclass(frozen=True, slots=True)
class Spread:
    """A usual value with the ends of its 90 % interval. `log` spreads by factors, else by sums; the two sides may differ."""

    value: float
    low: float
    high: float
    log: bool = True

    @classmethod
    def times(cls, value: float, factor: float) -> Spread:
        """`value`, times or divided by `factor`."""
        return cls(value, value / factor, value * factor)

    def at(self, z: Any) -> Any:
        """The value at so many standard deviations (array or number): 0 gives the usual one, +-1.645 the ends; it is held at 2.5."""
        import numpy as np

        held = np.clip(z, -FURTHEST, FURTHEST) / NINETY
        if self.log:
            end = np.where(held > 0, self.high / self.value, self.value / self.low)
            return self.value * end**held
        return self.value + np.where(held > 0, self.high - self.value, self.value - self.low) * held
