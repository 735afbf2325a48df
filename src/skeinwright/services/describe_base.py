"""A base laid open: its counts in every unit, its thickness, plies and twist, what washing does to it and to marks on it, and why other bases differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from skeinwright.core.forecast.why import Why, why
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.picture.look import ASSUMED_PLIES, StrandLook, look_of
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.yarn.count import (
    CATEGORIES,
    Category,
    categories,
    cotton_count,
    metres_per_100_g,
    metric_count,
    worsted_count,
    yards_per_pound,
)
from skeinwright.core.yarn.diameter import core_diameter_mm, visual_diameter_mm
from skeinwright.core.yarn.marks import StrandMarks, strand_marks
from skeinwright.core.yarn.ply import Cable, cable, contraction, ply_angle_deg, retraction, turns_per_m
from skeinwright.core.yarn.ply_names import PlySaid, ply_said
from skeinwright.core.yarn.regain import COMMERCIAL_REGAIN, OTHER_REGAIN, RegainOffer, blend_regain, regain_offer
from skeinwright.core.yarn.relaxation import MarkFactors, Relaxation, mark_factors, relaxation_of, wet_length
from skeinwright.services.studio import Studio

MOST_BESIDE = 3
WET_SWELLING = {"wool": (1.08, 1.14, 1.17), "silk": (1.16, 1.17, 1.19), "nylon": (1.019, 1.02, 1.026)}
"""Growth of a fibre's diameter in water: least, usual and most of the measurements that are collected there (source: morton-hearle, table seen)."""
WOOL = (("wool", 1.0),)
MARK_MM = 4.0


@dataclass(frozen=True, kw_only=True, slots=True)
class BaseRequest:
    """A base of the shelf by number or name, and what is asked of it: other bases beside it, a label's "8 ply", a weight for the offer of regain."""

    base: int | str
    beside: Sequence[int | str] = field(default_factory=tuple)
    label: str = ""
    weighed: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Counts:
    """The same fineness in every unit."""

    tex: float
    m_per_100g: float
    yd_per_lb: float
    yd_per_100g: float
    nm: float
    worsted: float
    cotton: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Build:
    """How the strand is put together: plies in one ring, or groups of them in a cable; slopes and lengths by the formulas of `yarn.ply`."""

    plies: int
    plies_known: bool
    lay: Cable
    angle_deg: float
    turns_per_m: float
    contraction: float
    retraction: float
    core_mm: float
    visual_mm: float
    outline_mm: float
    wraps_per_inch: float
    twist_known: bool
    """False where the slope is that of a class of twist (soft, medium, high), which is from memory."""
    wet_length: float
    """Length while wet over dry, from swelling on the helix alone."""
    wet_low: float
    wet_high: float
    """The same for the most and the least swelling that was measured on such fibres."""


@dataclass(frozen=True, kw_only=True, slots=True)
class BaseSheet:
    """All that is known or assumed of one base."""

    kept: Kept[Any]
    base: Base
    counts: Counts
    names: tuple[str, ...]
    bands: tuple[Category, ...]
    build: Build
    look: StrandLook
    washed: StrandLook
    relaxing: Relaxation
    factors: MarkFactors
    marks: StrandMarks
    marks_after: StrandMarks
    regain: RegainOffer
    label: PlySaid | None
    measured: tuple[Calibration, ...]
    beside: tuple[tuple[Kept[Any], Why], ...]
    wrong: dict[str, str]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        c, b, f = self.counts, self.build, self.factors
        return {
            "inputs": {"base": self.base.name},
            "tex": c.tex,
            "m_per_100g": c.m_per_100g,
            "yd_per_lb": c.yd_per_lb,
            "nm": c.nm,
            "worsted_count": c.worsted,
            "cotton_count": c.cotton,
            "categories": list(self.names),
            "plies": b.plies,
            "groups": b.lay.groups,
            "ply_angle_deg": b.angle_deg,
            "contraction": b.contraction,
            "core_mm": b.core_mm,
            "visual_mm": b.visual_mm,
            "wraps_per_inch": b.wraps_per_inch,
            "wet_length": {"value": b.wet_length, "low": b.wet_low, "high": b.wet_high},
            "relax_length": _plain(self.relaxing.length),
            "relax_width": _plain(self.relaxing.width),
            "marks": {
                "length": f.length,
                "width": f.width,
                "equivalent_diameter": f.equivalent_diameter,
                "per_metre": f.per_length,
                "per_surface": f.per_surface,
                "per_gram": f.per_gram,
                "coverage": f.coverage,
            },
            "beside": {other.thing.name: {"sentences": list(told.sentences), "assumed": list(told.assumed)} for other, told in self.beside},
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def _plain(one: Estimate) -> dict[str, Any]:
    return {"value": one.value, "low": one.low, "high": one.high, "rests_on": one.origin.value}


def describe_base(studio: Studio, request: BaseRequest) -> BaseSheet:
    """The sheet of a base. What cannot be read of `label` or `weighed` is told in `wrong`. Raises NotFound for a base that is not on the shelf."""
    with studio.store.reading() as reading:
        kept = reading.item("base", request.base)
        habits = reading.settings().habits()
        assert isinstance(kept.thing, Base)
        measured = tuple(one.thing for one in reading.calibrations(of_kind="base", of=kept.thing.name))
        others = [reading.item("base", one) for one in request.beside][:MOST_BESIDE]
    base, wrong = kept.thing, dict[str, str]()
    relaxing = relaxation_of(base, measured)
    factors = mark_factors(relaxing.length.value, relaxing.width.value)
    look, assumed = look_of(base)
    build = _build(base)
    m = metres_per_100_g(base.tex)
    label, weighed_g = None, base.skein_g
    try:
        label = ply_said(request.label, m, base.plies) if request.label.strip() else None
    except BadInput as problem:
        wrong["label"] = problem.sentence
    try:
        weighed_g = parse("mass", request.weighed, where="weighed", habits=habits).value if request.weighed.strip() else base.skein_g
    except BadInput as problem:
        wrong["weighed"] = problem.sentence
    return BaseSheet(
        kept=kept,
        base=base,
        counts=_counts(base.tex),
        names=categories(m),
        bands=CATEGORIES,
        build=build,
        look=look,
        washed=_washed(look, factors),
        relaxing=relaxing,
        factors=factors,
        marks=strand_marks(MARK_MM, build.visual_mm),
        marks_after=_after(strand_marks(MARK_MM, build.visual_mm), factors),
        regain=regain_offer(weighed_g, regain=_regain(base)),
        label=label,
        measured=measured,
        beside=tuple((other, why(base, other.thing)) for other in others if isinstance(other.thing, Base) and other.id != kept.id),
        wrong=wrong,
        warnings=() if len(categories(m)) < 2 else (f"{' and '.join(categories(m))} overlap in the charts: the names are a guideline, the metres are not.",),
        assumed=(*assumed, *relaxing.assumed),
    )


def _counts(tex: float) -> Counts:
    m = metres_per_100_g(tex)
    return Counts(
        tex=tex,
        m_per_100g=m,
        yd_per_lb=yards_per_pound(tex),
        yd_per_100g=m / 0.9144,
        nm=metric_count(tex),
        worsted=worsted_count(tex),
        cotton=cotton_count(tex),
    )


def _build(base: Base) -> Build:
    plies = min(max(base.plies or ASSUMED_PLIES, 1), 12)
    visual = visual_diameter_mm(base.tex, base.fibres)
    angle, lay = ply_angle_deg(base.twist, diameter_mm=visual, plies=plies), cable(plies)
    outline = visual * lay.outline / lay.width
    strands_mm = visual if plies == 1 else outline * (lay.outline - 1.0) / lay.outline
    grown = [[share * growth for growth in WET_SWELLING.get(name.casefold(), WET_SWELLING["wool"])] for name, share in base.fibres or WOOL]
    wet_high, wet, wet_low = (wet_length(angle, sum(one)) for one in zip(*grown, strict=True))
    return Build(
        plies=plies,
        plies_known=base.plies is not None,
        lay=lay,
        angle_deg=angle,
        turns_per_m=turns_per_m(angle, strands_mm),
        contraction=contraction(angle),
        retraction=retraction(angle),
        core_mm=core_diameter_mm(base.tex, base.fibres),
        visual_mm=visual,
        outline_mm=outline,
        wraps_per_inch=25.4 / visual,
        twist_known=any(letter.isdigit() for letter in base.twist),
        wet_length=wet,
        wet_low=wet_low,
        wet_high=wet_high,
    )


def _washed(look: StrandLook, factors: MarkFactors) -> StrandLook:
    from skeinwright.core.picture.of_map import relaxed_look

    return relaxed_look(look, factors.length, factors.width)


def _after(marks: StrandMarks, factors: MarkFactors) -> StrandMarks:
    return StrandMarks(marks.strands, marks.area_mm2 * factors.area, marks.length_mm * factors.length)


def _regain(base: Base) -> float:
    return blend_regain((share, COMMERCIAL_REGAIN.get(name.casefold(), OTHER_REGAIN)) for name, share in base.fibres)


def is_measured(one: Estimate) -> bool:
    """True where the figure is the dyer's own."""
    return one.origin is Origin.MEASURED
