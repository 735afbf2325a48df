"""From a colourway and rows of base x skeins to the plan of a lot: doses for each vessel, sentences, times and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from skeinwright.core.bath.guards import Guards, depth_guards, mixed_strength_guards, solution_guards, weighing_guards
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.steps import read_steps
from skeinwright.core.colourway.timing import minutes_of, timing_assumptions
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse_fibre
from skeinwright.core.lot.depths import powder_of, strength_of
from skeinwright.core.lot.liquor import alkalinity_of, with_liquor
from skeinwright.core.lot.lot import Dose, Planned, Row, ShelfFact
from skeinwright.core.lot.on_shelf import OnShelf, fact_of, on_shelf
from skeinwright.core.lot.said_doses import sentence_for_all
from skeinwright.core.lot.scaling import Pot, Taken, taken_by
from skeinwright.core.safety.drain import DrainLimits
from skeinwright.core.safety.for_step import Conflict, Load, StepSafety, for_steps
from skeinwright.core.shelf.items import Acid, Auxiliary, Base, Blend, Dye, Item, Leftover, Solution, Vessel

_CLASSES: dict[str, type] = {cls.kind: cls for cls in (Dye, Solution, Blend, Auxiliary, Leftover, Acid)}


@dataclass(frozen=True, slots=True)
class Draft:
    """A plan before it becomes a lot. `refused` says why it must not be started; `warnings` and `assumed` are printed with it."""

    plan: tuple[Planned, ...]
    assumed: tuple[str, ...]
    warnings: tuple[str, ...]
    refused: tuple[str, ...]
    shelf: tuple[ShelfFact, ...]


def with_own(colourway: Colourway, shelf: OnShelf) -> OnShelf:
    """The shelf with what the colourway's own file carries put over it."""
    own: list[Item] = [*colourway.own_dyes]
    own += [item for item in (colourway.own_base, colourway.own_vessel) if item is not None]
    water = shelf.water if colourway.own_water is None else colourway.own_water
    return on_shelf([*shelf.things.values(), *own], water=water, habits=shelf.habits, drain=shelf.drain, calibrations=shelf.calibrations)


def draft_of(colourway: Colourway, rows: Sequence[Row], shelf: OnShelf, *, today: date) -> Draft:
    """The plan for these rows. Raises BadInput where a step cannot be read or a vessel would run over."""
    if not rows:
        raise BadInput("A lot needs at least one row: a base, how many skeins, and a vessel.", where="rows")
    known = with_own(colourway, shelf)
    read = read_steps(colourway.steps, habits=known.habits)
    pots = pots_of(colourway, rows, known)
    taken = {
        pot.vessel: with_liquor(
            colourway.steps,
            [_taken(number, step, pot, known) for number, step in enumerate(colourway.steps, 1)],
            pot,
            known,
            standing=colourway.water_volume,
        )
        for pot in pots
    }
    loads = [Load(pot.vessel, "not known" if pot.thing is None else pot.thing.material, pot.fibre_g) for pot in pots]
    safeties, conflicts = for_steps(colourway.steps, known.jars, loads)
    plan = _plan(colourway.steps, minutes_of(read), taken, safeties, tuple(pot.vessel for pot in pots), known.drain)
    doses = [dose for planned in plan for dose in planned.doses]
    guards = _guards(doses, pots, known)
    refused = [_numbered(conflict) for conflict in conflicts if conflict.level == "refused"] + [
        _upper(guard.sentence) for guard in guards if guard.severity == "refuse"
    ]
    warnings = [_numbered(conflict) for conflict in conflicts if conflict.level == "warned"] + [
        _upper(guard.sentence) for guard in guards if guard.severity == "warn"
    ]
    facts = tuple(fact_of(item) for item in _things(doses, rows, known))
    water = () if known.water is None else (fact_of(known.water),)
    return Draft(
        plan,
        _assumed(colourway, known, timing_assumptions(read)),
        _unique([*warnings, *_ages(doses, known, today)]),
        _unique(refused),
        (*facts, *water),
    )


def pots_of(colourway: Colourway, rows: Sequence[Row], shelf: OnShelf) -> tuple[Pot, ...]:
    """The vessels with their fibre, in the order of the rows."""
    if any(row.skeins < 1 or row.skein_g <= 0 for row in rows):
        raise BadInput("Each row needs one skein or more, and what a skein weighs.", where="rows")
    base = shelf.find(Base, colourway.bases[0]) if colourway.bases else colourway.own_base
    written = parse_fibre(colourway.fibre, skein_g=None if base is None else base.skein_g, where="fibre", habits=shelf.habits)
    found: list[Pot] = []
    for vessel in dict.fromkeys(row.vessel for row in rows):
        mine = [row for row in rows if row.vessel == vessel]
        found.append(
            Pot(
                vessel=vessel,
                fibre_g=sum(row.fibre_g for row in mine),
                skeins=sum(row.skeins for row in mine),
                written=written,
                thing=shelf.find(Vessel, vessel),
                fibres=_fibres(mine, shelf),
            )
        )
    return tuple(found)


def _fibres(rows: Sequence[Row], shelf: OnShelf) -> tuple[tuple[str, float], ...]:
    """The grams of each fibre in these rows; nothing where a base is not on the shelf."""
    bases = [(row, shelf.find(Base, row.base)) for row in rows]
    if any(base is None for _, base in bases):
        return ()
    return tuple((name, share * row.fibre_g) for row, base in bases if base is not None for name, share in base.fibres)


def _taken(number: int, step: Step, pot: Pot, shelf: OnShelf) -> Taken:
    try:
        return taken_by(step, pot, shelf)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=f"step {number}, {problem.where or step.do}", position=problem.position, text=problem.text) from None


def _plan(
    steps: Sequence[Step],
    times: Sequence[tuple[float, float] | None],
    taken: dict[str, tuple[Taken, ...]],
    safeties: Sequence[StepSafety],
    vessels: tuple[str, ...],
    drain: DrainLimits,
) -> tuple[Planned, ...]:
    plan: list[Planned] = []
    for place, (step, time, safety) in enumerate(zip(steps, times, safeties, strict=True)):
        each = {vessel: taken[vessel][place] for vessel in vessels}
        doses = tuple(dose for mine in each.values() for dose in mine.doses)
        several = len(vessels) > 1
        notes = _unique(
            [
                f"{vessel}: {note}" if several and len({mine.notes for mine in each.values()}) > 1 else note
                for vessel, mine in each.items()
                for note in mine.notes
            ]
            + ([drain.said] if "drain" in safety.cautions else [])
        )
        start, minutes = (None, None) if time is None else time
        plan.append(
            Planned(
                number=place + 1,
                step=step,
                sentence=sentence_for_all(step, doses, vessels),
                doses=doses,
                start_min=start,
                minutes=minutes,
                cautions=safety.cautions,
                cautions_in=safety.cautions_in,
                notes=notes,
            )
        )
    return tuple(plan)


def _guards(doses: Sequence[Dose], pots: Sequence[Pot], shelf: OnShelf) -> Guards:
    """Depth, strengths that do not go together, powder too little to weigh."""
    found: list[Guards] = []
    for pot in pots:
        mine = [dose for dose in doses if dose.vessel == pot.vessel]
        grams: dict[str, float] = {}
        for dose in mine:
            for name, powder_g in powder_of(dose, shelf):
                grams[name] = grams.get(name, 0.0) + powder_g
        found += [depth_guards(powder_g * strength_of(name, shelf) / pot.fibre_g, name) for name, powder_g in grams.items()]
        found += [weighing_guards(dose.amount, dose.name) for dose in mine if dose.kind == "dye" and dose.unit == "g"]
        solutions = {dose.name: shelf.find(Solution, dose.name) for dose in mine if dose.kind == "solution"}
        known = [(name, solution.strength) for name, solution in solutions.items() if solution is not None]
        found += [mixed_strength_guards(known), *(solution_guards(strength, name) for name, strength in known)]
    return tuple(dict.fromkeys(guard for guards in found for guard in guards))


def _things(doses: Sequence[Dose], rows: Sequence[Row], shelf: OnShelf) -> list[Item]:
    """Everything on the shelf that the lot meets, each once."""
    found: dict[tuple[str, str], Item] = {}

    def add(item: Item | None) -> None:
        if item is not None:
            found[(item.kind, item.name)] = item

    for row in rows:
        add(shelf.find(Base, row.base))
        add(shelf.find(Vessel, row.vessel))
    for dose in doses:
        cls = _CLASSES.get(dose.kind)
        add(None if cls is None else shelf.find(cls, dose.name))
        for name, _ in powder_of(dose, shelf):
            add(shelf.find(Dye, name))
    return list(found.values())


def _ages(doses: Sequence[Dose], shelf: OnShelf, today: date) -> list[str]:
    found: list[str] = []
    for name in dict.fromkeys(dose.name for dose in doses if dose.kind == "solution"):
        solution = shelf.find(Solution, name)
        age = None if solution is None else solution.age_days(today)
        if solution is not None and age is not None and age > solution.keeps_days:
            found.append(f"{name} is {age} days old and was said to keep for {solution.keeps_days}: shake it, try it on a scrap, or make it new.")
    return found


def _assumed(colourway: Colourway, shelf: OnShelf, times: Sequence[str]) -> tuple[str, ...]:
    """What the plan takes for granted: the water, and times; how long hands take is said once for all steps."""
    found = [_upper(why) + "." for why in times if ": takes " not in why]
    if len(found) < len(times):
        found.append("Where a step says no time, what hands need is assumed.")
    to_ph = any("ph" in step.get("amount").casefold() for step in colourway.steps if step.do == "add acid")
    alkalinity = alkalinity_of(shelf)
    if to_ph and alkalinity.origin.value == "assumed":
        found.append(alkalinity.note[:1].upper() + alkalinity.note[1:] + ".")
    return tuple(found)


def _numbered(conflict: Conflict) -> str:
    return f"Step {conflict.step + 1}: {conflict.sentence}"


def _upper(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]


def _unique(sentences: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sentences))
