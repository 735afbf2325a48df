"""How much of a base's yarn one pass reaches in one of the dyer's own pans: how wide to spread it, one side or both, and what shuffling does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import Habits, parse
from skeinwright.core.foundations.say import say
from skeinwright.core.picture.pan import Lay, Pan, lay_in, pan_of
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.core.yarn.diameter import visual_diameter_mm, visual_range_mm
from skeinwright.core.yarn.pan_reach import PanReach, after_shuffles, breadth_for, pan_reach, shuffles_for, yarn_covered
from skeinwright.services.draw_picture import ASSUMED_ROUND_MM
from skeinwright.services.studio import Studio

USUAL_BREADTH_MM = 100.0
CURVE_MM = tuple(float(width) for width in range(20, 405, 5))
"""Widths for which the reach is worked out, for the drawn line."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ReachRequest:
    """As typed: a base and a vessel by name ("": plain wool, a pan of 50 x 30 cm), the width a limb is laid, the share to reach, and what is seen covered.

    `turned`: powder on both sides. `shuffles`: how often the skein is opened up anew.
    """

    base: str = ""
    vessel: str = ""
    width: str = ""
    goal: str = "50 %"
    seen: str = "30 %"
    turned: bool = True
    shuffles: str = "1"


@dataclass(frozen=True, kw_only=True, slots=True)
class ReachSheet:
    """The reach at that width, how the skein then lies in the pan, and what would reach the goal."""

    inputs: dict[str, Any]
    base: Base
    pan: Pan
    lay: Lay
    strand_mm: float
    strands: float
    reach: PanReach
    reached: float
    """Share of the yarn's surface reached by this many sides and shuffles."""
    reached_range: tuple[float, float]
    """The same for the thickest and the thinnest that a yarn of that put-up may be."""
    covered: tuple[float, float]
    """Share of the yarn's surface with colour on it when `seen` is covered in the pan: without and with wicking round the strand."""
    goal: float
    goal_mm: float
    goal_fits: bool
    goal_shuffles: int | None
    widest_mm: float
    curve: tuple[tuple[float, float], ...]
    """(width in mm, open share E) of several widths."""
    sentences: tuple[str, ...]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        r = self.reach
        return {
            "inputs": self.inputs,
            "strands": self.strands,
            "strand_mm": self.strand_mm,
            "laid_mm": self.lay.breadth_mm,
            "legs": self.lay.legs,
            "deep": r.mu,
            "open": r.exposed,
            "one_side": r.one_side,
            "both_sides": r.both_sides,
            "shuffled": list(r.shuffled),
            "reached": self.reached,
            "reached_range": list(self.reached_range),
            "covered": list(self.covered),
            "goal": self.goal,
            "goal_mm": self.goal_mm,
            "goal_fits": self.goal_fits,
            "goal_shuffles": self.goal_shuffles,
            "widest_mm": self.widest_mm,
            "sentences": list(self.sentences),
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def reach_in_pan(studio: Studio | None, request: ReachRequest) -> ReachSheet:
    """The sheet. Raises BadInput or ManyBadInputs (`where` the field) for what cannot be read or is not on the shelf."""
    base, vessel, habits, assumed = _found(studio, request)
    values = _values(request, habits)
    around = base.round_mm or ASSUMED_ROUND_MM
    if base.round_mm is None:
        assumed.append(f"Once round {say('length', ASSUMED_ROUND_MM)}, until you measure it.")
    strand = visual_diameter_mm(base.tex, base.fibres)
    assumed.append(
        "The strand's thickness follows from the put-up at an assumed fullness (14 to 24 wraps to the inch at 400 m in 100 g, as charts differ); "
        "strands lie at random over the width, edges not counted."
    )
    strands = base.length_mm / around
    pan = pan_of(vessel, round_mm=around, breadth_mm=values["width"], strands=max(4, round(strands)))
    lay = lay_in(pan)
    widest = _widest(pan)
    reach = pan_reach(base.length_mm, around, strand, lay.breadth_mm)
    shuffles = int(values["shuffles"])

    def reached_by(exposed: float) -> float:
        return after_shuffles(exposed, shuffles) if request.turned else after_shuffles(exposed, shuffles) / 2.0

    opened, reached = after_shuffles(reach.exposed, shuffles), reached_by(reach.exposed)
    high, low = (reached_by(pan_reach(base.length_mm, around, one, lay.breadth_mm).exposed) for one in visual_range_mm(base.tex, base.fibres))
    per_side = values["goal"] if request.turned else min(0.999, 2.0 * values["goal"])
    goal_mm = breadth_for(min(per_side, 0.999), strands, strand)
    sides = 2 if request.turned else 1
    covered = (yarn_covered(values["seen"], opened, sides=sides), min(1.0, yarn_covered(values["seen"], opened, sides=sides, wrap=2.0)))
    warnings = []
    if lay.breadth_mm < values["width"] - 1.0:
        warnings.append(
            f"{say('length', values['width'])} is wider than the pan has room for: the skein lies in {lay.legs} leg{'' if lay.legs == 1 else 's'}, "
            f"each limb {say('length', lay.breadth_mm, digits=2)} wide."
        )
    sheet = ReachSheet(
        inputs={
            "base": base.name,
            "vessel": vessel.name if vessel else "",
            "width": say("length", values["width"]),
            "turned": request.turned,
            "shuffles": shuffles,
        },
        base=base,
        pan=pan,
        lay=lay,
        strand_mm=strand,
        strands=strands,
        reach=reach,
        reached=reached,
        reached_range=(low, high),
        covered=covered,
        goal=values["goal"],
        goal_mm=goal_mm,
        goal_fits=goal_mm <= widest + 0.5,
        goal_shuffles=shuffles_for(reach.exposed if request.turned else reach.exposed / 2.0, values["goal"]),
        widest_mm=widest,
        curve=tuple((width, pan_reach(base.length_mm, around, strand, width).exposed) for width in CURVE_MM),
        sentences=(),
        warnings=tuple(warnings),
        assumed=tuple(assumed),
    )
    return _with_words(sheet, values["seen"], shuffles, request.turned)


def _with_words(sheet: ReachSheet, seen: float, shuffles: int, turned: bool) -> ReachSheet:
    from dataclasses import replace

    wide = say("length", sheet.lay.breadth_mm, digits=2)
    how = ("both sides" if turned else "one side") + ("" if shuffles == 1 else f", shuffled {shuffles} times")
    told = [
        f"Each limb {wide} wide: the strands lie {sheet.reach.mu:.1f} deep. Dye from {how} reaches {100 * sheet.reached:.0f} % of the yarn's surface "
        f"({100 * sheet.reached_range[0]:.0f} to {100 * sheet.reached_range[1]:.0f} %, by how thick the yarn really is).",
        f"If {100 * seen:.0f} % of what you see in the pan is covered, about {100 * sheet.covered[0]:.0f} % of the yarn carries colour "
        f"({100 * sheet.covered[1]:.0f} % where the colour wicks right round the strand).",
    ]
    goal = f"{100 * sheet.goal:.0f} %"
    if sheet.goal_fits:
        told.append(f"To reach {goal}, spread each limb {say('length', sheet.goal_mm, digits=2)} wide; the pan has room for {_room(sheet)}.")
    elif sheet.goal_shuffles is not None:
        told.append(
            f"To reach {goal} in one pass each limb would have to lie {say('length', sheet.goal_mm, digits=2)} wide, and the pan has room for {_room(sheet)}: "
            f"at the present width, open it up and dye it {sheet.goal_shuffles} times in all, or dye fewer skeins at once."
        )
    told.append("More powder on the same open strands does not reach the others.")
    return replace(sheet, sentences=tuple(told))


def _room(sheet: ReachSheet) -> str:
    return say("length", sheet.widest_mm, digits=2)


def _widest(pan: Pan) -> float:
    """The widest that limbs can be laid in this pan, however the skein is folded."""
    from dataclasses import replace

    return max(lay_in(replace(pan, breadth_mm=float(width))).breadth_mm for width in (20, 40, 60, 80, 100, 150, 200, 300, 400, 600))


def _values(request: ReachRequest, habits: Habits) -> dict[str, float]:
    found, problems = dict[str, float](), list[BadInput]()
    limits = {"width": (10.0, 1000.0), "goal": (0.01, 0.99), "seen": (0.0, 1.0), "shuffles": (1.0, 20.0)}
    for field, kind, usual in (("width", "length", ""), ("goal", "fraction", "50 %"), ("seen", "fraction", "30 %"), ("shuffles", "count", "1")):
        typed = getattr(request, field).strip() or usual
        try:
            value = float(parse(kind, typed, where=field, habits=habits).value) if typed else USUAL_BREADTH_MM
            low, high = limits[field]
            if not low <= value <= high:
                spoken = {"width": "1 cm to 1 m", "goal": "1 to 99 %", "seen": "0 to 100 %", "shuffles": "1 to 20"}[field]
                raise BadInput(f"This lies between {spoken}: look at the unit.", where=field, text=typed)
            found[field] = value
        except BadInput as problem:
            problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems)) if len(problems) > 1 else problems[0]
    return found


def _found(studio: Studio | None, request: ReachRequest) -> tuple[Base, Vessel | None, Habits, list[str]]:
    from skeinwright.core.foundations.errors import NotFound
    from skeinwright.core.foundations.quantities import HABITS
    from skeinwright.core.shelf.no_base import NO_BASE

    assumed: list[str] = []
    base: Base | None = None
    vessel: Vessel | None = None
    habits = HABITS
    if studio is not None:
        with studio.store.reading() as reading:
            habits = reading.settings().habits()
            for kind, name in (("base", request.base), ("vessel", request.vessel)):
                if not name:
                    continue
                try:
                    thing = reading.item(kind, name).thing
                except NotFound:
                    raise BadInput(f"{name} is not on the shelf.", where=kind, text=name) from None
                base = thing if isinstance(thing, Base) else base
                vessel = thing if isinstance(thing, Vessel) else vessel
    elif request.base or request.vessel:
        raise BadInput("A base or pan by name is looked up in a studio: name one with --studio.", where="--studio")
    if base is None:
        assumed.append("The base is a wool yarn of 100 g in 400 m.")
        base = NO_BASE
    if vessel is None:
        assumed.append("The pan is 50 x 30 cm.")
    return base, vessel, habits, assumed
