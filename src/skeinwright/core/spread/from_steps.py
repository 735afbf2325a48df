"""A skein map from a colourway's steps, with idealised edges: what each step adds, and where, until a step that is not drawn yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from skeinwright.core.colourway.meaning import Place
from skeinwright.core.spread import ideal
from skeinwright.core.spread.ideal import Dyeing
from skeinwright.core.spread.skein_map import CELL_MM, SkeinMap, blank_map

NOT_DRAWN = frozenset({"sprinkle", "ice", "remove colour"})
"""Steps that change the colour in ways that idealised edges cannot show."""
MOST_ALONG = 6000
"""Cells along a loop that was wound for stripes."""
_ENDS_A_BATH = frozenset({"paint", "pour", "dip", "tie off", "turn", "re-skein", "pour off", "rinse", "fill"})


@dataclass(frozen=True, kw_only=True, slots=True)
class LaidStep:
    """A step's word, the depth (g dye per g of the whole skein) that it adds of each dye, and where."""

    do: str
    doses: Mapping[str, float]
    place: Place | None = None
    round_mm: float = 0.0
    """The new circumference of a "re-skein"; 0 where it is not said."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LaidSkein:
    """The map, how it was wound anew last (0: not), and the number of the first step that is not drawn (None: all are)."""

    skein: SkeinMap
    reskeined_mm: float
    stopped_at: int | None


def skein_after(steps: Sequence[LaidStep], blank: SkeinMap, *, seed: int) -> LaidSkein:
    """The skein after its steps. A bath's dye goes in evenly where it ends, as a gradient where the skein is withdrawn from it, and only where it is dipped
    if a dip brings no dye of its own.

    The same steps and seed give the same map.
    """
    dyeing, bath, reskeined = ideal.begin(blank, seed=seed), dict[str, float](), 0.0
    stopped = None
    for number, step in enumerate(steps, start=1):
        if step.do in NOT_DRAWN or (reskeined and any(step.doses.values())):
            stopped = number
            break
        if step.do == "dip" and bath and not any(step.doses.values()):
            dyeing, bath = _placed(dyeing, replace(step, doses=bath)), {}
        if step.do in _ENDS_A_BATH:
            dyeing, bath = _struck(dyeing, bath), {}
        if step.do in ("add dye", "top up"):
            bath = {name: bath.get(name, 0.0) + step.doses.get(name, 0.0) for name in (*bath, *step.doses)}
        elif step.do == "withdraw":
            dyeing, bath = (ideal.withdraw(dyeing, bath) if bath else dyeing), {}
        elif step.do == "re-skein" and step.round_mm and not bath and not dyeing.skein.dye.any():
            dyeing = ideal.begin(_wound(dyeing.skein, step.round_mm), seed=seed)
        elif step.do == "re-skein":
            reskeined = step.round_mm or blank.round_mm
        else:
            dyeing = _placed(dyeing, step)
    return LaidSkein(skein=_struck(dyeing, bath).skein, reskeined_mm=reskeined, stopped_at=stopped)


def _wound(undyed: SkeinMap, round_mm: float) -> SkeinMap:
    """An undyed skein wound on another circumference; on a long loop cells are longer, so that the map stays small."""
    geometry = replace(undyed.geometry, round_mm=round_mm)
    rows = max(8, min(undyed.rows, round(geometry.strands)))
    return blank_map(undyed.names, geometry, rows=rows, cell_mm=max(CELL_MM, round_mm / MOST_ALONG), breadth_mm=undyed.row_mm * undyed.rows, base=undyed.base)


def _struck(dyeing: Dyeing, bath: Mapping[str, float]) -> Dyeing:
    return ideal.immerse(dyeing, bath) if bath else dyeing


def _placed(dyeing: Dyeing, step: LaidStep) -> Dyeing:
    """Paint, pour and dip where they are put; tie and turn; every other step leaves the map as it is."""
    place = step.place or Place("all")
    if step.do == "tie off" and place.bands_mm:
        return ideal.tie_off(dyeing, place.bands_mm)
    if step.do == "turn":
        return ideal.turn_over(dyeing)
    if step.do not in ("paint", "pour", "dip") or not step.doses:
        return dyeing
    if place.what == "white":
        return ideal.on_white(dyeing, step.doses)
    if place.what == "all":
        return ideal.kettle(dyeing, step.doses) if step.do == "pour" else ideal.immerse(dyeing, step.doses)
    return {"paint": ideal.paint, "pour": ideal.pour, "dip": ideal.dip}[step.do](dyeing, step.doses, place.bands_mm)
