"""Self-striping yarn: from rows to the loop that must be wound before dyeing.

    dried length of a stripe = rows N l (1 + waste);   as wound (before washing) = that / lambda_L;   loop = sum of stripes;   repeats = yarn / loop
Waste 2-3 % and a bleed zone of 5-10 cm at each join are common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil

from skeinwright.core.foundations.errors import BadInput

WASTE = 0.03
SPAN_MM = 2000.0


@dataclass(frozen=True, slots=True)
class Stripe:
    """One stripe: a colour's name, or a number, and how many rows or rounds it makes."""

    name: str
    rows: float


@dataclass(frozen=True, slots=True)
class Wound:
    """One stripe on the pegs: wound `passes` times between two pegs `peg_mm` apart, `length_mm` in all, `dried_mm` once washed."""

    name: str
    rows: float
    dried_mm: float
    length_mm: float
    passes: int
    peg_mm: float
    start_mm: float

    @property
    def times(self) -> str:
        """How often it goes between its pegs, in words."""
        return {1: "once", 2: "twice"}.get(self.passes, f"{self.passes} times")


@dataclass(frozen=True, slots=True)
class StripePlan:
    """The whole loop."""

    stripes: tuple[Wound, ...]
    loop_mm: float
    repeats: float
    left_over_mm: float
    waste: float
    bleed_mm: float
    warnings: tuple[str, ...]

    def path(self) -> tuple[tuple[float, float], ...]:
        """The winding path as points (x, y) in mm: each stripe zigzags between its two pegs, lanes 60 mm apart; the last point is the first."""
        points: list[tuple[float, float]] = []
        y, lane, right = 0.0, 60.0, False
        for stripe in self.stripes:
            for _ in range(stripe.passes):
                points += [(stripe.peg_mm if right else 0.0, y), (0.0 if right else stripe.peg_mm, y)]
                right, y = not right, y + lane
        return (*points, points[0])


def lay_stripes(
    stripes: Sequence[Stripe],
    stitches: int,
    stitch_mm: float,
    *,
    yarn_mm: float,
    relax_length: float = 1.0,
    waste: float = WASTE,
    bleed_mm: float = 75.0,
    span_mm: float = SPAN_MM,
    winder_round_mm: float | None = None,
    dried_round_mm: float | None = None,
) -> StripePlan:
    """The loop of a self-striping skein. `yarn_mm` is what one skein runs before washing; `span_mm` is how far apart pegs may stand at most."""
    if not stripes or stitches < 1 or not (stitch_mm > 0.0 and yarn_mm > 0.0 and 0.0 < relax_length <= 1.1 and waste >= 0.0 and span_mm > 0.0):
        raise BadInput("Stripes need at least one stripe, a stitch, a stitch length and yarn above zero.", where="stripes")
    if any(not stripe.rows > 0.0 for stripe in stripes):
        raise BadInput("Each stripe needs at least part of a row.", where="rows")
    dried = [stripe.rows * stitches * stitch_mm * (1.0 + waste) for stripe in stripes]
    wound = [length / relax_length for length in dried]
    starts = [0.0, *accumulate(wound)]
    passes = [max(1, ceil(length / span_mm)) for length in wound]
    laid = tuple(
        Wound(stripe.name, stripe.rows, dry, length, count, length / count, start)
        for stripe, dry, length, count, start in zip(stripes, dried, wound, passes, starts, strict=False)
    )
    loop = sum(wound)
    warnings = list(_round_warning(winder_round_mm, dried_round_mm))
    if yarn_mm < loop:
        warnings.append(f"One repeat takes {loop / 1000:.1f} m and the skein runs {yarn_mm / 1000:.1f} m: not one repeat fits.")
    if min(wound) < 2.0 * bleed_mm:
        warnings.append(f"A stripe is shorter than the two zones of {bleed_mm / 10:.0f} cm in which colours bleed at its joins.")
    repeats = yarn_mm / loop
    return StripePlan(laid, loop, repeats, yarn_mm - int(repeats) * loop, waste, bleed_mm, tuple(warnings))


def _round_warning(winder_mm: float | None, dried_mm: float | None) -> tuple[str, ...]:
    """The usual mistake: the winder's round taken for the dried skein's."""
    if winder_mm is None or dried_mm is None or abs(winder_mm - dried_mm) <= 0.005 * winder_mm:
        return ()
    change = 100.0 * (dried_mm / winder_mm - 1.0)
    return (
        f"The dried skein is {dried_mm / 10:.0f} cm round and the winder {winder_mm / 10:.0f} cm, {change:+.1f} %: "
        "plan rows from the dried length, and set pegs from the wound one.",
    )


def short_by(wanted_mm: float, used_mm: float) -> float:
    """By what share stripes come out short when `used_mm` is wound where `wanted_mm` is needed: 1 - used/wanted."""
    return 1.0 - used_mm / wanted_mm
