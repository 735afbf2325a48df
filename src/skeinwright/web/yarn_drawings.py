"""Lines of the drawings on the yarn pages, as numbers for their templates: plies in section, names of thicknesses, marks, pegs, the reach in a pan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, log10, pi, sin

from skeinwright.core.yarn.count import Category
from skeinwright.core.yarn.ply import Cable, ring
from skeinwright.core.yarn.relaxation import MarkFactors
from skeinwright.core.yarn.stripes import StripePlan

Circle = tuple[float, float, float]
"""x, y, radius."""


@dataclass(frozen=True, slots=True)
class Section:
    """A strand cut across, in mm about its middle: single plies, and the outlines round groups of them."""

    plies: tuple[Circle, ...]
    groups: tuple[Circle, ...]
    outline_mm: float


def section(lay: Cable, outline_mm: float) -> Section:
    """The plies of a ring, or of a cable's rings, in an outline of `outline_mm`."""
    outer, inner = ring(lay.groups), ring(lay.per_group)
    group = outline_mm / outer.outline
    ply = group / inner.outline
    groups = [(x, y, group / 2.0) for x, y in _ring_of(lay.groups, (outline_mm - group) / 2.0)]
    plies = [(gx + x, gy + y, ply / 2.0) for gx, gy, _ in groups for x, y in _ring_of(lay.per_group, (group - ply) / 2.0)]
    return Section(tuple(plies), tuple(groups) if lay.per_group > 1 else (), outline_mm)


def _ring_of(count: int, radius: float) -> list[tuple[float, float]]:
    if count == 1:
        return [(0.0, 0.0)]
    return [(radius * sin(2.0 * pi * k / count), -radius * cos(2.0 * pi * k / count)) for k in range(count)]


@dataclass(frozen=True, slots=True)
class Bar:
    """A name's band on the line of metres in 100 g, in shares of the line, and whether the yarn lies in it."""

    name: str
    start: float
    end: float
    fits: bool
    says: str


LEAST_M, MOST_M = 40.0, 1000.0


def place_of(metres: float) -> float:
    """Where so many metres in 100 g stand on the line, 0-1: it is logarithmic from 40 to 1000."""
    return (log10(min(max(metres, LEAST_M), MOST_M)) - log10(LEAST_M)) / (log10(MOST_M) - log10(LEAST_M))


def bars(bands: Sequence[Category], metres: float) -> tuple[Bar, ...]:
    """One bar for each name, thickest last."""
    found = []
    for one in bands:
        low, high = one.low_m_per_100g, one.high_m_per_100g
        says = f"up to {high:.0f}" if low <= 0.0 else f"from {low:.0f}" if high == float("inf") else f"{low:.0f}–{high:.0f}"
        found.append(Bar(one.name, place_of(low), place_of(high), low <= metres <= high, says))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class DrawnMark:
    """A strand with a mark on it, in mm: its thickness, how long a piece of it is drawn, the mark's half axes, and the places of further marks."""

    thick: float
    long: float
    half_length: float
    half_width: float
    at: tuple[float, ...]


def drawn_marks(diameter_mm: float, mark_mm: float, factors: MarkFactors, *, long_mm: float = 24.0, spacing_mm: float = 8.0) -> tuple[DrawnMark, DrawnMark]:
    """The same piece of yarn with three marks, wet-stretched and dried: every length along it becomes shorter, every width wider."""
    at = tuple(long_mm / 2.0 + k * spacing_mm for k in (-1, 0, 1))
    wide = min(mark_mm, 0.55 * diameter_mm)
    wet = DrawnMark(diameter_mm, long_mm, mark_mm / 2.0, wide / 2.0, at)
    k, d = factors.length, factors.width
    return wet, DrawnMark(diameter_mm * d, long_mm * k, mark_mm / 2.0 * k, wide / 2.0 * d, tuple(x * k for x in at))


@dataclass(frozen=True, slots=True)
class Lane:
    """One stripe between its pegs: how often the yarn goes across, and how far apart its pegs stand in cm."""

    number: int
    passes: int
    peg_cm: float


@dataclass(frozen=True, slots=True)
class Winding:
    """The way of `StripePlan.path`, span under span: left to right to scale, the distance between spans is not."""

    lanes: tuple[Lane, ...]
    wide_cm: float
    spans: int


def winding(plan: StripePlan) -> Winding:
    """The stripes of a plan, in order."""
    lanes = tuple(Lane(number, stripe.passes, stripe.peg_mm / 10.0) for number, stripe in enumerate(plan.stripes, start=1))
    return Winding(lanes, max(lane.peg_cm for lane in lanes), sum(lane.passes for lane in lanes))


def _said(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


@dataclass(frozen=True, slots=True)
class ReachLine:
    """The open share against the width as a polyline in a box of 100 x 100, and the places that are spoken of."""

    points: str
    here: tuple[float, float]
    goal: tuple[float, float] | None
    widest: float
    ticks: tuple[tuple[float, str], ...]


def reach_line(curve: Sequence[tuple[float, float]], breadth_mm: float, share: float, widest_mm: float, goal_mm: float, goal: float) -> ReachLine:
    """x: width from 0 to that of the last point; y: open share from 0 (below) to 1."""
    far = curve[-1][0]

    def at(width: float, open_share: float) -> tuple[float, float]:
        return 100.0 * min(width / far, 1.0), 100.0 * (1.0 - open_share)

    points = [at(width, value) for width, value in curve]
    ticks = tuple((100.0 * width / far, f"{width / 10:g}") for width in range(100, round(far) + 1, 100))
    return ReachLine(_said(points), at(breadth_mm, share), at(goal_mm, goal) if goal_mm <= far else None, 100.0 * min(widest_mm / far, 1.0), ticks)
