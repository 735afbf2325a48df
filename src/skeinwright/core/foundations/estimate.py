"""A number that knows how sure it is and what it rests on.

Every forecast that leaves the core is an `Estimate` (or carries the same facts), because a forecast without its spread and
its origin is a defect.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Origin(StrEnum):
    """What a number rests on, in the words that the screen uses."""

    MEASURED = "measured by you"
    STATED = "stated by the maker"
    COMPUTED = "computed"
    PRACTICE = "common practice"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with the 90 % interval `low`..`high`, its unit and its origin.

    `low <= value <= high` always holds; an exact number has the three equal.
    """

    value: float
    low: float
    high: float
    unit: str
    origin: Origin
    note: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"an estimate must lie inside its interval: {self.low} <= {self.value} <= {self.high}")

    @classmethod
    def exact(cls, value: float, unit: str, origin: Origin = Origin.COMPUTED, note: str = "") -> Estimate:
        """An estimate without spread, for numbers that follow exactly from what was entered."""
        return cls(value, value, value, unit, origin, note)

    @property
    def is_exact(self) -> bool:
        """True where the interval has no width."""
        return self.low == self.high
