"""A plan's pot as the bath sees it: the steps of one vessel, with their doses and times, as a run that can be followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from skeinwright.core.bath.heat import Surroundings
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.bath.written_run import Given, Load, StepInPot, written_run
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.lot.liquor import alkalinity_of, baths
from skeinwright.core.lot.lot import Dose, Planned
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.said_doses import STANDING
from skeinwright.core.lot.scaling import Pot, Taken
from skeinwright.core.lot.sketch import Sketch
from skeinwright.core.shelf.items import Base, Heat, Vessel


@dataclass(frozen=True, slots=True)
class PlannedPot:
    """The run of a plan's pot, and its bath when it is last heated (as mixed, before fibre binds acid; None where there is none)."""

    run: PotRun
    hot: Bath | None


def pot_of_sketch(sketch: Sketch, base: Base, shelf: OnShelf, *, altitude_m: float = 0.0) -> PlannedPot:
    """The colourway's own fibre, all of it on `base`, in its own vessel. Raises BadInput where no step gives the pot water or time.

    The first filling counts the water that wet yarn brings. Energy is that of the shelf's heat sources where all are of one kind, else not known.
    """
    plan, fibre_g = sketch.draft.plan, sketch.fibre.total_g
    vessel = shelf.find(Vessel, sketch.row.vessel)
    pot = Pot(vessel=sketch.row.vessel, fibre_g=fibre_g, skeins=sketch.row.skeins, written=sketch.fibre, thing=vessel)
    found = baths([one.step for one in plan], [Taken(one.doses) for one in plan], pot, shelf)
    run = written_run(
        _steps(plan, found, shelf),
        (Load(base=base, mass_g=fibre_g),),
        shelf.things.values(),
        vessel=vessel,
        alkalinity=alkalinity_of(shelf),
        around=Surroundings(altitude_m=altitude_m),
    )
    energy, said = _energy(shelf)
    hot = [bath for one, bath in zip(plan, found, strict=True) if bath is not None and one.step.do in ("heat", "hold")]
    return PlannedPot(replace(run, energy=energy, assumed=(*run.assumed, *said)), hot[-1] if hot else None)


def _steps(plan: Sequence[Planned], found: Sequence[Bath | None], shelf: OnShelf) -> list[StepInPot]:
    read = read_steps([one.step for one in plan], habits=shelf.habits)
    fill = read_steps([Step("fill", {"volume": "1 l"})], habits=shelf.habits)[0]
    steps: list[StepInPot] = []
    now, filled = 0.0, False
    for one, mine, bath in zip(plan, read, found, strict=True):
        start = now if one.start_min is None else one.start_min
        minutes = one.minutes or 0.0
        standing = [dose for dose in one.doses if dose.name == STANDING]
        others = [dose for dose in one.doses if dose.name != STANDING]
        if standing:
            steps.append(StepInPot(read=fill, start_min=start, minutes=0.0, given=tuple(_given(dose) for dose in standing)))
            filled = True
        given = tuple(_given(dose) for dose in others)
        if one.step.do == "fill" and not filled and bath is not None:
            given = (Given(kind="water", name="water", amount=bath.volume_ml, unit="ml"),)
            filled = True
        steps.append(StepInPot(read=mine, start_min=start, minutes=minutes, given=given))
        now = start + minutes
    return steps


def _given(dose: Dose) -> Given:
    return Given(kind=dose.kind, name=dose.name, amount=dose.amount, unit=dose.unit)


def _energy(shelf: OnShelf) -> tuple[str, tuple[str, ...]]:
    kinds = {one.energy for one in shelf.all_of(Heat).values()}
    if len(kinds) == 1:
        return kinds.pop(), ()
    return "not known", ("the heat source is not known: it gives the pot 35 to 90 % of what it draws",)
