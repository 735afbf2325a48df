"""Twist, and the geometry of n strands in a ring.

Ring of n equal round strands of diameter d_s that touch (n >= 2):
    r_c = d_s / (2 sin(pi/n));  D/d_s = 1 + 1/sin(pi/n);  fill = n (d_s/D)^2;  W/d_s = 1 + n/pi (mean projected width, Cauchy: hull perimeter / pi)
Twist: tan(alpha) = pi d t; contraction c = (1 + sec alpha)/2; retraction R = 1 - 1/c = tan^2(alpha/2) (source: hearle-1969, from memory).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from math import acos, atan, cos, degrees, pi, prod, radians, sin, tan

from skeinwright.core.foundations.errors import BadInput

CLASS_ANGLE_DEG = {"soft": 15.0, "medium": 22.0, "high": 30.0}
"""Ply angle by class of twist: between a soft single (about 11) and firm high twist (25-35); which class has which angle is from memory, assumed."""


_TURNS, _CUTS = 24, 400


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring of `plies` strands, in units of one strand's diameter: outline D, mean projected width W, share of the outline's disc that is filled."""

    plies: int
    outline: float
    width: float
    fill: float


def ring(plies: int) -> Ring:
    """The ring of n touching strands, n = 1..12; one strand is itself. (Above six a cable is likelier; the ring is then what shows outside.)"""
    if not 1 <= plies <= 12:
        raise BadInput("Plies twisted together are counted from 1 to 12.", where="plies")
    if plies == 1:
        return Ring(1, 1.0, 1.0, 1.0)
    outline = 1.0 + 1.0 / sin(pi / plies)
    return Ring(plies, outline, 1.0 + plies / pi, plies / outline**2)


@dataclass(frozen=True, slots=True)
class Cable:
    """How plies are put together: `groups` in the outer ring, each of `per_group` plies; one level where per_group is 1."""

    groups: int
    per_group: int

    @property
    def outline(self) -> float:
        """Outline over one ply's diameter: the two rings' outlines multiplied."""
        return ring(self.groups).outline * ring(self.per_group).outline

    @property
    def width(self) -> float:
        """Mean projected width over one ply's diameter: the outer ring's, or where groups are plied themselves `_cabled_width`."""
        return ring(self.groups).width if self.per_group == 1 else _cabled_width(self.groups, self.per_group)


@lru_cache(maxsize=32)
def _cabled_width(groups: int, per_group: int) -> float:
    """W = 2 E[max_i (R cos a_i + s_i)]: each of the groups, a ring of `per_group` touching plies of diameter 1, is turned at random.

    R is the groups' distance from the middle, touching by their outlines; s = 1/2 + r max_k cos(f + 2 pi k/p), r the plies' own, so that
    P(s <= x) = 1 - (p/pi) arccos((x - 1/2)/r). Derived; integrated over the yarn's turn and over x; a Monte Carlo in the tests.
    """
    inner = ring(per_group)
    small, large = (inner.outline - 1.0) / 2.0, (ring(groups).outline - 1.0) / 2.0 * inner.outline
    least = small * cos(pi / per_group)

    def below(x: float) -> float:
        reach = x - 0.5
        return 0.0 if reach <= least else 1.0 if reach >= small else 1.0 - per_group / pi * acos(reach / small)

    step, total = (large + small + 0.5) / _CUTS, 0.0
    for turn in range(_TURNS):
        middles = [large * cos(2.0 * pi * ((turn + 0.5) / _TURNS + i) / groups) for i in range(groups)]
        total += sum(1.0 - prod(below((cut + 0.5) * step - middle) for middle in middles) for cut in range(_CUTS)) * step
    return 2.0 * total / _TURNS


def cable(plies: int) -> Cable:
    """Up to six plies lie in one ring; above, a cable of two levels with the most groups up to six: 8 = 4 x 2, 9 = 3 x 3, 12 = 6 x 2. Primes stay one ring."""
    ring(plies)
    if plies <= 6:
        return Cable(plies, 1)
    groups = next((g for g in (6, 5, 4, 3) if plies % g == 0), plies)
    return Cable(groups, plies // groups)


def twist_angle_deg(turns_per_m: float, diameter_mm: float) -> float:
    """alpha = atan(pi d t), t turns per metre, d in mm."""
    return degrees(atan(pi * diameter_mm * 1e-3 * turns_per_m))


def turns_per_m(angle_deg: float, diameter_mm: float) -> float:
    """The inverse: t = tan(alpha)/(pi d)."""
    return tan(radians(angle_deg)) / (pi * diameter_mm * 1e-3)


def contraction(angle_deg: float) -> float:
    """c = (1 + sec alpha)/2: fibre length over yarn length."""
    return (1.0 + 1.0 / cos(radians(angle_deg))) / 2.0


def retraction(angle_deg: float) -> float:
    """R = 1 - 1/c: the share of length that twist takes up."""
    return 1.0 - 1.0 / contraction(angle_deg)


def ply_angle_deg(twist: str, *, diameter_mm: float, plies: int = 3) -> float:
    """The slope of a ply, from "soft", "medium", "high" or turns per metre ("180", "180 turns per metre", "180 /m").

    The strands' centres lie inside the outline, so for turns t the helix is taken at r_c: tan(beta) = 2 pi r_c t with r_c = d (D - d_s)/(2 D).
    At most 45 degrees.
    """
    words = twist.strip().casefold()
    if words in CLASS_ANGLE_DEG:
        return CLASS_ANGLE_DEG[words]
    found = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:turns\s*)?(?:/|per)?\s*(?:m|metre|meter|metres)?", words)
    if found is None:
        raise BadInput("Twist is soft, medium, high, or a number of turns per metre.", where="twist", text=twist)
    outline = ring(plies).outline
    share = 1.0 if plies == 1 else (outline - 1.0) / outline
    return min(45.0, twist_angle_deg(float(found[1].replace(",", ".")), diameter_mm * share))


def twist_class(twist: str, *, diameter_mm: float, plies: int = 3) -> str:
    """soft, medium or high, by the class whose angle is nearest."""
    angle = ply_angle_deg(twist, diameter_mm=diameter_mm, plies=plies)
    return min(CLASS_ANGLE_DEG, key=lambda name: abs(CLASS_ANGLE_DEG[name] - angle))
