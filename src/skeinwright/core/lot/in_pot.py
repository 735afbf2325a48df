"""A plan's pot as the bath sees it: the steps of one vessel, with their doses and times, as a run that can be followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from skeinwright.core.bath.assumed import assumed_of
from skeinwright.core.bath.heat import Surroundings
from skeinwright.core.bath.ph import Bath, forecast_ph
from skeinwright.core.bath.pot_run import LayIn, PhReading, PotRun
from skeinwright.core.bath.tested import with_tests
from skeinwright.core.bath.uptake_of_acid import STRIP_HALF_WIDTH, TEST_BEFORE_THE_DYE, acid_uptake, ph_error
from skeinwright.core.bath.written_run import Given, Load, StepInPot, sponges_in, written_run
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import FibreMass
from skeinwright.core.lot.heated_on import on_its_burner
from skeinwright.core.lot.liquor import alkalinity_of, baths
from skeinwright.core.lot.lot import Dose, Planned, Row
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.said_doses import STANDING
from skeinwright.core.lot.scaling import Pot, Taken
from skeinwright.core.lot.sketch import Sketch
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.core.shelf.no_base import wool_base


@dataclass(frozen=True, slots=True)
class PlannedPot:
    """The run of a plan's pot, and its bath when it is last heated (as mixed, before fibre binds acid; None where there is none)."""

    run: PotRun
    hot: Bath | None


@dataclass(frozen=True, slots=True)
class ReadPh:
    """A pH that was read in the pot once step `step` (from 1) was done; `half_width` is the reading's own, 90 %: 0.5 for a strip, 0.1 for a meter."""

    ph: float
    step: int
    half_width: float = STRIP_HALF_WIDTH


UNREADABLE = (
    "The strip's pH after step {step} is not used: dye was in the pot by then, and a strip cannot be read in coloured liquor. Test before the dye goes in."
)
TOO_EARLY = "The pH after step {step} is not used: read before any acid, it says little of the bath with acid. Read it again with the acid in."
UNUSED = "The pH after step {step} is not used: there is no bath in the pot then."


def pot_of_sketch(sketch: Sketch, base: Base, shelf: OnShelf, *, altitude_m: float = 0.0, read: ReadPh | None = None) -> PlannedPot:
    """The colourway's own fibre, all of it on `base`, in its own vessel. Raises BadInput where no step gives the pot water or time.

    The first filling counts the water that wet yarn brings. It is heated as `heated_on.on_its_burner` says. The dyer's own tests (`shelf.calibrations`) take
    the place of what is assumed, and a pH that was `read` corrects the model by its error.
    """
    thing, fibre_g = shelf.find(Vessel, sketch.row.vessel), sketch.fibre.total_g
    pot = Pot(vessel=sketch.row.vessel, fibre_g=fibre_g, skeins=sketch.row.skeins, written=sketch.fibre, thing=thing)
    return _planned(sketch.draft.plan, pot, (Load(base=base, mass_g=fibre_g),), shelf, altitude_m, read)


def pot_of_rows(
    plan: Sequence[Planned], rows: Sequence[Row], vessel: str, shelf: OnShelf, *, altitude_m: float = 0.0, read: ReadPh | None = None
) -> PlannedPot:
    """One vessel of a lot, with the rows that lie in it; several bases share its dye. Raises BadInput as `pot_of_sketch` does."""
    mine = [row for row in rows if row.vessel == vessel]
    fibre_g = sum(row.fibre_g for row in mine)
    if fibre_g <= 0:
        raise BadInput("What yarn is in this pot was not said when it was started, so what it takes up cannot be worked out.", where="rows")
    written = FibreMass(fibre_g, None, None, "")
    pot = Pot(vessel=vessel, fibre_g=fibre_g, skeins=sum(row.skeins for row in mine), written=written, thing=shelf.find(Vessel, vessel))
    own = [replace(one, doses=tuple(dose for dose in one.doses if dose.vessel == vessel)) for one in plan]
    loads = [Load(base=shelf.find(Base, row.base) or wool_base(row.base), mass_g=row.fibre_g) for row in mine]
    return _planned(own, pot, loads, shelf, altitude_m, read)


def _planned(plan: Sequence[Planned], pot: Pot, loads: Sequence[Load], shelf: OnShelf, altitude_m: float, read: ReadPh | None) -> PlannedPot:
    found = baths([one.step for one in plan], [Taken(one.doses) for one in plan], pot, shelf)
    steps = _steps(plan, found, shelf)
    run = written_run(
        steps,
        loads,
        shelf.things.values(),
        vessel=pot.thing,
        alkalinity=alkalinity_of(shelf),
        around=Surroundings(altitude_m=altitude_m),
    )
    run = with_tests(run, shelf.calibrations, water="" if shelf.water is None else shelf.water.name)
    if read is not None:
        run = _with_reading(run, read, plan, found, steps)
    run = on_its_burner(run, shelf)
    unknown = [load.base.name for load in loads if shelf.find(Base, load.base.name) is None]
    run = replace(run, assumed=(*run.assumed, *(f"{name}: taken as wool, as it is not on the shelf" for name in unknown)))
    run = replace(run, assumed=tuple(dict.fromkeys((*run.assumed, *assumed_of(run)))))
    hot = [bath for one, bath in zip(plan, found, strict=True) if bath is not None and one.step.do in ("heat", "hold")]
    return PlannedPot(run, replace(hot[-1], alkalinity=run.alkalinity) if hot else None)


def brings_dye(planned: Planned) -> bool:
    """Whether the liquor is coloured from this step on."""
    return any(dose.kind in ("dye", "solution", "blend") for dose in planned.doses)


def _with_reading(run: PotRun, read: ReadPh, plan: Sequence[Planned], found: Sequence[Bath | None], steps: Sequence[StepInPot]) -> PotRun:
    """The run with a reading that corrects it, or with a note that says why it is not used."""
    place = next((place for place, one in enumerate(plan) if one.number == read.step), -1)
    bath = found[place] if place >= 0 else None
    if bath is None:
        return replace(run, notes=(*run.notes, UNUSED.format(step=read.step)))
    if read.half_width >= STRIP_HALF_WIDTH and any(brings_dye(one) for one in plan[: place + 1]):
        return replace(run, notes=(*run.notes, UNREADABLE.format(step=read.step)))
    acid_later = any(one.step.do == "add acid" for one in plan[place + 1 :])
    if not bath.doses and acid_later:
        return replace(run, notes=(*run.notes, TOO_EARLY.format(step=read.step)))
    then = [step for step in steps if all(given.name != STANDING for given in step.given)][place]  # water that stands there has a step of its own before it
    at_s = 60 * (then.start_min + then.minutes)
    laid = any(isinstance(event, LayIn) and event.at_s <= at_s for event in run.events)
    bath = replace(bath, alkalinity=run.alkalinity)
    model = acid_uptake(bath, sponges_in(run.fibres)).after if laid else forecast_ph(bath)
    error = ph_error(model, read.ph, read.half_width)
    off = read.ph - model.ph.value
    weight = error.offset.value / off if abs(off) > 1e-9 else 0.0
    by = "a strip" if read.half_width >= STRIP_HALF_WIDTH else "a meter"
    where = f"after step {read.step}, where the model says {model.ph.value:.1f}"
    said = f"{by} that read pH {read.ph:.1f} ± {read.half_width:g} {where}: {_moved(error.offset.value)}"
    far = tuple(sentence for sentence in (error.sentence.removeprefix(TEST_BEFORE_THE_DYE).strip(),) if sentence)
    return replace(run, reading=PhReading(at_s, read.ph, read.half_width, weight), measured=(*run.measured, said), notes=(*run.notes, *far))


def _moved(offset: float) -> str:
    if abs(offset) < 0.05:
        return "the model stays where it is"
    return f"from there on it is taken {abs(offset):.1f} {'higher' if offset > 0 else 'lower'}"


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
