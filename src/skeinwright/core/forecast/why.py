"""Why two bases take the same steps differently: in words, from their geometry alone, with what is assumed marked.

Measures: see `yarn.marks` (pieces of a mark), `yarn.pan_reach` (what lies open), `yarn.ply` (outline), `yarn.relaxation` (what washing does).
"""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.items import Base
from skeinwright.core.yarn.diameter import visual_diameter_mm
from skeinwright.core.yarn.marks import strand_marks
from skeinwright.core.yarn.pan_reach import pan_reach
from skeinwright.core.yarn.ply import ply_angle_deg, ring
from skeinwright.core.yarn.relaxation import MarkFactors, mark_factors, relaxation_of

MARK_MM, BREADTH_MM, ROUND_MM = 4.0, 100.0, 1500.0
"""The mark and the width in the pan that the words speak of, and once round where a base does not say it."""
SAME = 0.03
"""Measures that differ by less are not spoken of."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure of two bases; `assumed` where it rests on a class and not on this dyer's measurement. `unit` is "share" for a fraction of the whole."""

    name: str
    first: float
    second: float
    unit: str
    assumed: bool

    @property
    def ratio(self) -> float:
        """second / first."""
        return self.second / self.first

    def said(self, value: float) -> str:
        """One of its two values as people write it: "36 %", "1.6 mm", "22 degrees"."""
        figure = f"{100 * value:.0f} %" if self.unit == "share" else f"{value:.2g}" if value < 10 else f"{value:.0f}"
        return f"{figure} {self.unit}" if self.unit not in ("", "share") else figure


@dataclass(frozen=True, slots=True)
class Why:
    """The measures that differ, and sentences about them, what matters most first."""

    measures: tuple[Measure, ...]
    sentences: tuple[str, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Facts:
    name: str
    diameter_mm: float
    plies: int
    plies_known: bool
    angle_deg: float
    pieces: float
    piece_mm: float
    reach: float
    factors: MarkFactors
    length_assumed: bool
    width_assumed: bool
    mixing: float


def why(first: Base, second: Base) -> Why:
    """What differs between two bases, and what that does to a mark of 4 mm and to a skein laid 10 cm wide."""
    a, b = _facts(first), _facts(second)
    measures = (
        Measure("strand's thickness in the pan", a.diameter_mm, b.diameter_mm, "mm", True),
        Measure("strands under a 4 mm mark", a.pieces, b.pieces, "", True),
        Measure("length of each piece of it", a.piece_mm, b.piece_mm, "mm", True),
        Measure("open to one side when laid 10 cm wide", a.reach, b.reach, "share", True),
        Measure("slope of the plies", a.angle_deg, b.angle_deg, "degrees", not (_turns(first) and _turns(second))),
        Measure("length kept after washing", a.factors.length, b.factors.length, "share", a.length_assumed or b.length_assumed),
        Measure("thickness after washing", a.factors.width, b.factors.width, "share", a.width_assumed or b.width_assumed),
        Measure("inner fibres that come up", a.mixing, b.mixing, "share", True),
    )
    told = tuple(one for one in measures if abs(one.ratio - 1.0) > SAME)
    assumed = [sentence for base in (first, second) for sentence in (f"{base.name}: {said}" for said in relaxation_of(base).assumed)]
    assumed += [f"{one.name}: {one.plies} plies until they are counted." for one in (a, b) if not one.plies_known]
    assumed.append("Thickness in the pan follows from the put-up at an assumed fullness; wraps round a ruler would measure it.")
    return Why(told, tuple(_sentences(a, b)), tuple(assumed))


def _turns(base: Base) -> bool:
    return any(letter.isdigit() for letter in base.twist)


def _facts(base: Base) -> _Facts:
    diameter_mm = visual_diameter_mm(base.tex, base.fibres)
    plies = min(base.plies or 3, 12)
    marks = strand_marks(MARK_MM, diameter_mm)
    kept = relaxation_of(base)
    reach = pan_reach(base.length_mm, base.round_mm or ROUND_MM, diameter_mm, BREADTH_MM)
    return _Facts(
        name=base.name,
        diameter_mm=diameter_mm,
        plies=plies,
        plies_known=base.plies is not None,
        angle_deg=ply_angle_deg(base.twist, diameter_mm=diameter_mm, plies=plies),
        pieces=marks.strands,
        piece_mm=marks.length_mm,
        reach=reach.exposed,
        factors=mark_factors(kept.length.value, kept.width.value),
        length_assumed=kept.length.origin.value == "assumed",
        width_assumed=kept.width.origin.value == "assumed",
        mixing=kept.mixing.value,
    )


def _sentences(a: _Facts, b: _Facts) -> list[str]:
    found = []
    if abs(b.diameter_mm / a.diameter_mm - 1.0) > SAME:
        thin, thick = (a, b) if a.diameter_mm < b.diameter_mm else (b, a)
        found.append(
            f"{thin.name}'s strand is thinner ({thin.diameter_mm:.2f} mm against {thick.diameter_mm:.2f}): a 4 mm mark falls on {thin.pieces:.1f} strands and "
            f"comes out as pieces {thin.piece_mm:.1f} mm long; on {thick.name} on {thick.pieces:.1f}, {thick.piece_mm:.1f} mm long."
        )
    if abs(b.reach / a.reach - 1.0) > SAME:
        shut, open_ = (a, b) if a.reach < b.reach else (b, a)
        found.append(
            f"Laid 10 cm wide, {100 * shut.reach:.0f} % of {shut.name}'s yarn lies open to one side and {100 * open_.reach:.0f} % of {open_.name}'s: "
            f"the same powder on top leaves more of {shut.name} bare."
        )
    found += _ply_sentences(a, b)
    found += _washing_sentences(a, b)
    return found or [f"{a.name} and {b.name} have the same geometry: what differs comes from the fibre, not from its shape."]


def _ply_sentences(a: _Facts, b: _Facts) -> list[str]:
    if a.plies == b.plies and abs(a.angle_deg - b.angle_deg) < 3.0:
        return []
    said = []
    for one in (a, b):
        if one.plies == 1:
            look = "one ply, smooth, with loose fibres that blur an edge"
        elif one.plies == 2:
            look = f"two plies, whose seen width swings from 1 to {ring(2).outline:.0f}: marks look beaded and broken"
        else:
            firm = one.angle_deg >= 25.0
            look = f"{one.plies} plies, nearly round{': edges of marks stay crisp' if firm else ' but loosely laid'}"
        said.append(f"{one.name} has {look}")
    return [f"{'; '.join(said)}."]


def _washing_sentences(a: _Facts, b: _Facts) -> list[str]:
    found = []
    if abs(b.factors.length / a.factors.length - 1.0) > 0.005 or abs(b.factors.width / a.factors.width - 1.0) > 0.005:
        said = [
            f"on {one.name} a mark becomes {one.factors.length:.2f} as long along the strand and {one.factors.width:.2f} as wide "
            f"(equivalent diameter x {one.factors.equivalent_diameter:.2f}), {one.factors.per_length:.2f} as many to a metre"
            for one in (a, b)
        ]
        found.append(f"After washing {'; '.join(said)}. Marks in a gram and the share of surface they cover do not change.")
    if abs(a.mixing - b.mixing) > 0.02:
        crisp, soft = (a, b) if a.mixing < b.mixing else (b, a)
        found.append(
            f"More inner fibres come up on {soft.name} ({100 * soft.mixing:.0f} % against {100 * crisp.mixing:.0f} %, assumed): "
            "its marks look softer and paler."
        )
    return found
