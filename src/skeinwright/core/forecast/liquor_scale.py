"""The usual bath with another liquor ratio, for recipes that are not yet a pot.

A recipe is looked for in the depths of the swatches' own bath. In more or less water another share of each dye goes on, so that

    depth applied x uptake(this ratio)/uptake(the swatches' 30:1) = depth that counts

once and never twice: acid, heat and time are those of `uptake_scale.usual_run`, each dye alone in its pot. The quotient hardly changes below 0.1 % of the
fibre; it is worked out at four depths from there to 3.2 %, in straight lines over log depth between them (within 0.01), and held beyond.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import log10
from types import MappingProxyType

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot
from skeinwright.core.forecast.uptake_scale import LEAST, MOST, SAME_WITHIN, USUAL_RATIO, usual_share_at
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse, say
from skeinwright.core.shelf.items import NOT_KNOWN

LOWEST, HIGHEST = 8.0, 200.0
"""Less water does not cover yarn that moves; more is a tub [common practice]."""
_KNOTS = (-30, -25, -20, -15)
"""Tenths of a decade of depth: 0.1, 0.32, 1 and 3.2 % of the fibre."""
_ROUNDS = 4
TYPICAL = "half-milling"
"""The class that stands for one that is not known, in the spread alone."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LiquorScale:
    """A bath of `ratio` ml to the gram on `fibres`; `classes` {dye: its class}. Of a dye of no known class the quotient is 1, and only its spread is wider."""

    ratio: float
    fibres: tuple[FibreInPot, ...]
    classes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def worth(self, name: str, applied: float) -> float:
        """uptake(this ratio)/uptake(the swatches' bath) of a dye at a depth as applied (fraction of the fibre's weight)."""
        known = self.classes.get(name, NOT_KNOWN)
        return 1.0 if known == NOT_KNOWN else self._quotient(known, applied)

    def counted(self, applied: Mapping[str, float]) -> dict[str, float]:
        """The depths that count, of depths applied."""
        return {name: depth * self.worth(name, depth) for name, depth in applied.items()}

    def applied(self, counted: Mapping[str, float]) -> dict[str, float]:
        """The depths to weigh out, of depths that are to count: a = counted/worth(a), in four rounds (the quotient changes slowly)."""
        found = dict(counted)
        for _ in range(_ROUNDS):
            found = {name: depth / self.worth(name, found[name]) for name, depth in counted.items()}
        return found

    def sd(self, applied: Mapping[str, float]) -> float:
        """What is not known of the classes, as a relative standard deviation of uptake: how far half-milling would be from 1."""
        off = [abs(1 - self._quotient(TYPICAL, depth)) for name, depth in applied.items() if self.classes.get(name, NOT_KNOWN) == NOT_KNOWN]
        return max(off, default=0.0)

    def said(self, applied: Mapping[str, float]) -> str:
        """What this bath does to a recipe, in a sentence."""
        moved = {name: 1 / self.worth(name, depth) - 1 for name, depth in applied.items()}
        told = [f"{name} by {100 * abs(by):.0f} %" for name, by in moved.items() if abs(by) > SAME_WITHIN]
        more = any(by > SAME_WITHIN for by in moved.values())
        if not told:
            return f"In {self.ratio:g}:1 these doses lay on what they would in the swatches' {USUAL_RATIO:g}:1."
        return f"For {self.ratio:g}:1 instead of the swatches' {USUAL_RATIO:g}:1 the doses are {'raised' if more else 'lowered'}: {', '.join(told)}."

    def _quotient(self, dye_class: str, applied: float) -> float:
        place = min(max(10 * log10(max(applied, 1e-9)), _KNOTS[0]), _KNOTS[-1])
        above = next(index for index, knot in enumerate(_KNOTS) if place <= knot)
        high = _KNOTS[above]
        found = self._at(dye_class, high)
        if place < high:
            low = _KNOTS[above - 1]
            found += (high - place) / (high - low) * (self._at(dye_class, low) - found)
        return min(max(found, LEAST), MOST)

    def _at(self, dye_class: str, point: int) -> float:
        dye = DyeInPot(name="dye", dye_class=dye_class)
        return usual_share_at(self.fibres, dye, point, self.ratio) / usual_share_at(self.fibres, dye, point)


def liquor_ratio_of(typed: str, *, where: str = "liquor") -> float | None:
    """Millilitres of liquor to a gram of fibre from "60:1"; None where nothing or the swatches' own 30:1 was typed. Raises BadInput outside 8 to 200."""
    if not typed.strip():
        return None
    ratio = float(parse("ratio", typed, where=where).value)
    if not LOWEST <= ratio <= HIGHEST:
        raise BadInput(f"A liquor ratio lies between {say('count', LOWEST)}:1 and {say('count', HIGHEST)}:1.", where=where, text=typed)
    return None if ratio == USUAL_RATIO else ratio
