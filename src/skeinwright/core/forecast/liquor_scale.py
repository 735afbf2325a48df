"""The usual bath with another liquor ratio, for recipes that are not yet a pot.

A recipe is looked for in the depths of the swatches' own bath. In more or less water another share of each dye goes on, so that

    depth applied x uptake(this ratio)/uptake(the swatches' 30:1) = depth that counts

once and never twice: acid, heat and time are those of `uptake_scale.usual_run`, each dye alone in its pot. The quotient hardly changes below 0.1 % of the
fibre; it is worked out at four depths from there to 3.2 %, in straight lines over log depth between them (within 0.01), and held beyond.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import hypot, log10
from types import MappingProxyType

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot
from skeinwright.core.forecast.dyeing import Scatter
from skeinwright.core.forecast.uptake_scale import LEAST, MOST, SAME_WITHIN, USUAL_RATIO, usual_share_at
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse, say
from skeinwright.core.foundations.say import joined
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
    _known: dict[tuple[str, int], float] = field(default_factory=dict, init=False, repr=False, compare=False)

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
        """What this bath does to the doses that were looked for, in a sentence or two."""
        moved = {name: 1 / self.worth(name, depth) - 1 for name, depth in applied.items()}
        told = [f"{name} by {100 * abs(by):.0f} %" for name, by in moved.items() if abs(by) > SAME_WITHIN]
        more = any(by > SAME_WITHIN for by in moved.values())
        return self._told(f"For {self._instead} the doses are {'raised' if more else 'lowered'}: {', '.join(told)}." if told else "", applied)

    def laid(self, applied: Mapping[str, float]) -> str:
        """What this bath makes of doses that stay as they are, the deepest of each dye, in a sentence or two."""
        moved = {name: self.worth(name, depth) - 1 for name, depth in applied.items()}
        told = [f"{name} up to {100 * abs(by):.0f} %" for name, by in moved.items() if abs(by) > SAME_WITHIN]
        less = any(by < -SAME_WITHIN for by in moved.values())
        which = "less of the dye goes on, and the colours are paler for it" if less else "more of the dye goes on, and the colours are deeper for it"
        return self._told(f"In {self._instead} {which}: {', '.join(told)}. The doses stay as they are." if told else "", applied)

    def not_known(self, names: Iterable[str]) -> str:
        """Of which of these dyes nothing can be told, in a sentence; "" where there are none."""
        found = [name for name in names if self.classes.get(name, NOT_KNOWN) == NOT_KNOWN]
        if not found:
            return ""
        they, is_less = ("their classes are not given: their doses stay", "they are") if len(found) > 1 else ("its class is not given: its dose stays", "it is")
        return f"How much of {joined(found)} goes on from {self.ratio:g}:1 is not known, since {they}, and {is_less} less sure."

    @property
    def _instead(self) -> str:
        return f"{self.ratio:g}:1 instead of the swatches' {USUAL_RATIO:g}:1"

    def _told(self, sentence: str, applied: Mapping[str, float]) -> str:
        """The sentence, or that nothing changes where something is known; and of which dyes nothing is."""
        not_known = self.not_known(applied)
        same = f"In {self.ratio:g}:1 these doses lay on what they would in the swatches' {USUAL_RATIO:g}:1."
        known = any(self.classes.get(name, NOT_KNOWN) != NOT_KNOWN for name in applied)
        return " ".join(one for one in (sentence or (same if known or not not_known else ""), not_known) if one)

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
        if (dye_class, point) not in self._known:
            dye = DyeInPot(name="dye", dye_class=dye_class)
            self._known[dye_class, point] = usual_share_at(self.fibres, dye, point, self.ratio) / usual_share_at(self.fibres, dye, point)
        return self._known[dye_class, point]


def applied_in(scale: LiquorScale | None, counted: Mapping[str, float]) -> dict[str, float]:
    """The depths to weigh out for depths that are to count: the same in the swatches' own bath (None)."""
    return dict(counted) if scale is None else scale.applied(counted)


def counted_in(scale: LiquorScale | None, applied: Mapping[str, float]) -> dict[str, float]:
    """The depths that count, of depths weighed out."""
    return dict(applied) if scale is None else scale.counted(applied)


def scatter_in(scale: LiquorScale | None, applied: Mapping[str, float]) -> Scatter:
    """What varies from pot to pot; uptake varies more where a dye's class is not known: sqrt(usual^2 + sd^2)."""
    usual = Scatter()
    return usual if scale is None else replace(usual, uptake_fraction=hypot(usual.uptake_fraction, scale.sd(applied)))


def liquor_ratio_of(typed: str, *, where: str = "liquor") -> float | None:
    """Millilitres of liquor to a gram of fibre from "60:1"; None where nothing or the swatches' own 30:1 was typed. Raises BadInput outside 8 to 200."""
    if not typed.strip():
        return None
    ratio = float(parse("ratio", typed, where=where).value)
    if not LOWEST <= ratio <= HIGHEST:
        raise BadInput(f"A liquor ratio lies between {say('count', LOWEST)}:1 and {say('count', HIGHEST)}:1.", where=where, text=typed)
    return None if ratio == USUAL_RATIO else ratio
