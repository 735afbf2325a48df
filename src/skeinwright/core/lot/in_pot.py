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
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import FibreMass
from skeinwright.core.lot.liquor import alkalinity_of, baths
from skeinwright.core.lot.lot import Dose, Planned, Row
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
    thing, fibre_g = shelf.find(Vessel, sketch.row.vessel), sketch.fibre.total_g
    pot = Pot(vessel=sketch.row.vessel, fibre_g=fibre_g, skeins=sketch.row.skeins, written=sketch.fibre, thing=thing)
    return _planned(sketch.draft.plan, pot, (Load(base=base, mass_g=fibre_g),), shelf, altitude_m)


def pot_of_rows(plan: Sequence[Planned], rows: Sequence[Row], vessel: str, shelf: OnShelf, *, altitude_m: float = 0.0) -> PlannedPot:
    """One vessel of a lot, with the rows that lie in it; several bases share its dye. Raises BadInput as `pot_of_sketch` does."""
    mine = [row for row in rows if row.vessel == vessel]
    fibre_g = sum(row.fibre_g for row in mine)
    if fibre_g <= 0:
        raise BadInput("What yarn is in this pot is not known.", where="rows")
    written = FibreMass(fibre_g, None, None, "")
    pot = Pot(vessel=vessel, fibre_g=fibre_g, skeins=sum(row.skeins for row in mine), written=written, thing=shelf.find(Vessel, vessel))
    own = [replace(one, doses=tuple(dose for dose in one.doses if dose.vessel == vessel)) for one in plan]
    loads = [Load(base=shelf.find(Base, row.base) or wool_base(row.base), mass_g=row.fibre_g) for row in mine]
    return _planned(own, pot, loads, shelf, altitude_m)


def wool_base(name: str) -> Base:
    """A base of which nothing is known: wool."""
    return Base(name=name or "yarn that is not named", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=400_000.0)


def _planned(plan: Sequence[Planned], pot: Pot, loads: Sequence[Load], shelf: OnShelf, altitude_m: float) -> PlannedPot:
    found = baths([one.step for one in plan], [Taken(one.doses) for one in plan], pot, shelf)
    run = written_run(
        _steps(plan, found, shelf),
        loads,
        shelf.things.values(),
        vessel=pot.thing,
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
