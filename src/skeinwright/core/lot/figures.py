"""The figures of a plan that stand in a colourway's margin: what is measured out, all of each dye, and the bath as it is heated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.bath.amounts import depth_of
from skeinwright.core.bath.liquor import fit_in
from skeinwright.core.bath.ph import forecast_ph
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.depths import powder_of, strength_of
from skeinwright.core.lot.liquor import baths
from skeinwright.core.lot.lot import Planned
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.said_doses import POURED_OFF
from skeinwright.core.lot.scaling import Pot, Taken
from skeinwright.core.lot.sketch import Sketch
from skeinwright.core.shelf.items import Dye, Vessel


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeTotal:
    """All of one dye: grams of powder (in solutions too), its depth, and what it costs where the jar's price and weight are known."""

    name: str
    powder_g: float
    depth: float
    cost_minor: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Amount:
    """What is measured out, over all steps: `kind` is the shelf's, "water" among them; `unit` g or ml."""

    kind: str
    name: str
    amount: float
    unit: str

    @property
    def said(self) -> str:
        """The amount in words."""
        return say("volume" if self.unit == "ml" else "mass", self.amount)


@dataclass(frozen=True, kw_only=True, slots=True)
class BathSheet:
    """The bath as it stands at step `step`, the last that is heated: its pH before the fibre binds acid, and how it stands in the vessel (None: not known)."""

    step: int
    volume_ml: float
    ratio: float
    ph: Estimate
    head_room_mm: float | None = None
    vessel: str = ""
    simmered_ph: float | None = None
    """The pH once the carbon dioxide has left, where it differs from `ph`."""


def amounts_of(plan: Sequence[Planned]) -> tuple[Amount, ...]:
    """Each thing with what all steps take of it, in the order in which it is first wanted; water that is poured off is not counted."""
    found: dict[tuple[str, str, str], float] = {}
    for dose in (dose for planned in plan for dose in planned.doses if dose.name != POURED_OFF):
        key = (dose.kind, dose.name, dose.unit)
        found[key] = found.get(key, 0.0) + dose.amount
    return tuple(Amount(kind=kind, name=name, amount=amount, unit=unit) for (kind, name, unit), amount in found.items())


def totals_of(plan: Sequence[Planned], fibre_g: float, shelf: OnShelf) -> tuple[DyeTotal, ...]:
    """All powder of each dye, in solutions and blends too, with its depth on `fibre_g` and its price: jar's price x grams / jar's weight."""
    grams: dict[str, float] = {}
    for dose in (dose for planned in plan for dose in planned.doses):
        for name, powder_g in powder_of(dose, shelf):
            grams[name] = grams.get(name, 0.0) + powder_g
    return tuple(
        DyeTotal(name=name, powder_g=powder_g, depth=depth_of(powder_g, fibre_g, strength_of(name, shelf)), cost_minor=_cost(shelf.find(Dye, name), powder_g))
        for name, powder_g in grams.items()
    )


def _cost(dye: Dye | None, powder_g: float) -> float | None:
    return dye.price_minor * powder_g / dye.jar_g if dye is not None and dye.price_minor is not None and dye.jar_g else None


def bath_of(sketch: Sketch, shelf: OnShelf, stopped_at: int | None) -> BathSheet | None:
    """The bath at the last step that is heated or held, of those that are forecast; None where there is none."""
    plan, fibre_g = sketch.draft.plan, sketch.fibre.total_g
    thing = shelf.find(Vessel, sketch.row.vessel)
    pot = Pot(vessel=sketch.row.vessel, fibre_g=fibre_g, skeins=sketch.row.skeins, written=sketch.fibre, thing=thing)
    steps = [planned.step for planned in plan]
    found = baths(steps, [Taken(planned.doses) for planned in plan], pot, shelf)
    hot = [number for number, (step, bath) in enumerate(zip(steps, found, strict=True), start=1) if bath is not None and step.do in ("heat", "hold")]
    at = max((number for number in hot if stopped_at is None or number < stopped_at), default=None)
    bath = None if at is None else found[at - 1]
    if at is None or bath is None:
        return None
    try:
        found_ph = forecast_ph(bath)
    except BadInput:
        return None
    room = None if thing is None else fit_in(thing, bath.volume_ml, fibre_g).head_room_mm
    return BathSheet(
        step=at, volume_ml=bath.volume_ml, ratio=bath.volume_ml / fibre_g, ph=found_ph.ph, head_room_mm=room, vessel=sketch.row.vessel,
        simmered_ph=found_ph.open if found_ph.shows_both else None,
    )  # fmt: skip
