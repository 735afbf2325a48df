"""The liquor of each vessel through the steps: how much water to run in, acid for a pH, and whether the vessel holds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from skeinwright.core.bath.acids import AcidAsBought, AcidDose
from skeinwright.core.bath.fibre import Sponge, sponges_of
from skeinwright.core.bath.guards import donor_guards, liquor_guards, pot_guards
from skeinwright.core.bath.liquor import Brought, acid_brought_ml, fit_in, liquor_for_ratio, liquor_to_cover, water_to_add
from skeinwright.core.bath.ph import Bath
from skeinwright.core.bath.spoons import in_spoons
from skeinwright.core.bath.target import acid_for_ph
from skeinwright.core.bath.tested import tested_alkalinity
from skeinwright.core.bath.uptake_of_acid import acid_for_ph_after
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, stated_alkalinity
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.standing import standing_at
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import Quantity, parse, parse_dose, parse_water, say
from skeinwright.core.lot.lot import Dose
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.said_doses import POURED_OFF, STANDING, say_amount
from skeinwright.core.lot.scaling import Pot, Taken
from skeinwright.core.lot.wet_yarn import wet_yarn_ml
from skeinwright.core.safety.for_step import acid_kind, acid_strength
from skeinwright.core.shelf.items import Acid


@dataclass(slots=True)
class _Liquor:
    volume_ml: float | None = None
    acids: list[AcidDose] = field(default_factory=list)
    soak_ml: float | None = None
    """The soaking bath, as long as the yarn has met no other."""
    soak_acids: list[AcidDose] = field(default_factory=list)
    done: list[Step] = field(default_factory=list)

    def wet_yarn(self, pot: Pot) -> Estimate | None:
        """Water that the yarn brings as it comes from the last wet step."""
        return wet_yarn_ml(self.done, pot.fibre_g)

    def acids_brought(self, pot: Pot) -> list[AcidDose]:
        """The soaking bath's acids that come along in the wet yarn."""
        wet = self.wet_yarn(pot)
        if wet is None or not self.soak_ml:
            return []
        pick_up = min(wet.value, self.soak_ml)
        return [AcidDose(dose.acid, acid_brought_ml(pick_up, self.soak_ml, dose.amount)) for dose in self.soak_acids]


def acid_as_bought(name: str, shelf: OnShelf) -> AcidAsBought:
    """The acid of a step as the bath sees it: from the shelf, else by its words; 5 % where a vinegar's strength is not said. BadInput for an unknown one."""
    acids = shelf.all_of(Acid)
    found = shelf.find(Acid, name)
    kind = acid_kind(found.name if found is not None else name, acids)
    strength = found.strength if found is not None else acid_strength(name, acids)
    if kind == "vinegar":
        return AcidAsBought("vinegar", 0.05 if strength is None else strength)
    if kind == "citric" or kind == "ammonium sulphate":
        return AcidAsBought(kind, 1.0 if strength is None else strength, bool(found is not None and found.monohydrate))
    raise BadInput(f"What acid '{name}' is, is not known; put it on the shelf, or write vinegar, citric or ammonium sulphate.", where="add acid")


def with_liquor(steps: Sequence[Step], taken: Sequence[Taken], pot: Pot, shelf: OnShelf, *, standing: str = "") -> tuple[Taken, ...]:
    """`taken` with water and "to pH" acid worked out for one vessel. Raises BadInput with the step's number where a vessel would run over.

    `standing` is the water that stands in the vessel as typed ("1.9 l"): it counts as a fill before the first step that needs it, and that step carries
    it as the dose `STANDING`. What is wrong with it is raised with `where` "water", or "vessel" where it would run over.
    """
    liquor = _Liquor()
    found: list[Taken] = []
    place = standing_at(steps, standing)
    for number, (step, mine) in enumerate(zip(steps, taken, strict=True), start=1):
        first = _stand(standing, steps[number - 1 :], taken[number - 1 :], pot, shelf, liquor) if place == number - 1 else Taken()
        try:
            more = _one(step, mine, steps[number:], taken[number:], pot, shelf, liquor)
        except BadInput as problem:
            raise BadInput(problem.sentence, where=f"step {number}, {step.do}") from None
        found.append(Taken((*first.doses, *more.doses), (*first.notes, *more.notes)))
        _after(step, more, pot, shelf, liquor)
    return tuple(found)


def with_liquor_after(before: Sequence[Step], went_in: Sequence[Taken], step: Step, mine: Taken, pot: Pot, shelf: OnShelf) -> Taken:
    """`mine`, what `step` takes, with water and "to pH" acid worked out in the liquor that the steps `before` have left, with what really `went_in`.

    What an unplanned pot asks: its steps come one by one. Raises BadInput as `with_liquor` does.
    """
    liquor = _Liquor()
    for one, taken in zip(before, went_in, strict=True):
        try:
            _after(one, taken, pot, shelf, liquor)
        except BadInput:  # a step that was never readable has left nothing that is known
            liquor.done.append(one)
    return _one(step, mine, (), (), pot, shelf, liquor)


def _stand(said: str, later: Sequence[Step], later_taken: Sequence[Taken], pot: Pot, shelf: OnShelf, liquor: _Liquor) -> Taken:
    """The water that stands in the vessel, run in."""
    fill = Step("fill", {"volume": said})
    try:
        filled = _fill(fill, later, later_taken, pot, shelf, liquor)
    except BadInput as problem:
        raise BadInput(problem.sentence, where="vessel" if "brim" in problem.sentence else "water", position=problem.position, text=problem.text) from None
    _after(fill, filled, pot, shelf, liquor)
    doses = tuple(replace(dose, name=STANDING) for dose in filled.doses)
    return Taken(doses, (f"{doses[0].said} of water stands in the vessel before this step.", *filled.notes))


def _one(step: Step, mine: Taken, later: Sequence[Step], later_taken: Sequence[Taken], pot: Pot, shelf: OnShelf, liquor: _Liquor) -> Taken:
    match step.do:
        case "fill":
            return _fill(step, later, later_taken, pot, shelf, liquor)
        case "add water" | "pour off":
            name = POURED_OFF if step.do == "pour off" else "water"
            return Taken((_water(pot, name, parse("volume", step.get("volume"), where="volume", habits=shelf.habits).value * pot.scale),))
        case "soak" if step.get("water"):
            total, _ = _liquid(parse_water(step.get("water"), where="water", habits=shelf.habits), pot)
            return Taken((_water(pot, "soak", total.value), *mine.doses), mine.notes)
        case "add acid":
            quantity = parse_dose(step.get("amount"), where="amount", habits=shelf.habits)
            return _to_ph(step, quantity, pot, shelf, liquor) if quantity.kind == "ph" else mine
        case _:
            return mine


def _water(pot: Pot, name: str, volume_ml: float, said: str = "") -> Dose:
    return Dose(vessel=pot.vessel, kind="water", name=name, amount=volume_ml, unit="ml", said=said or say_amount(volume_ml, "ml"))


def _fill(step: Step, later: Sequence[Step], later_taken: Sequence[Taken], pot: Pot, shelf: OnShelf, liquor: _Liquor) -> Taken:
    """A volume is the water as said; a ratio or "to cover" is all the liquid, of which wet yarn, solutions and acid bring their part."""
    said = parse_water(step.get("volume"), where="volume", habits=shelf.habits)
    total, all_of_it = _liquid(said, pot)
    if not all_of_it:
        return _checked(total.value, Taken((_water(pot, "water", total.value),)), pot)
    brought = tuple(
        Brought(what=dose.name, volume_ml=dose.amount)
        for one, taken in _until_next_fill(later, later_taken)
        for dose in taken.doses
        if dose.unit == "ml" and dose.kind in ("solution", "acid", "leftover") and one.do in ("add dye", "add acid", "top up")
    )
    wet = liquor.wet_yarn(pot)
    others = "; solutions and acid bring the rest" if brought and wet is None else "; wet yarn, solutions and acid bring the rest" if brought else ""
    notes: tuple[str, ...] = (f"{say_amount(total.value, 'ml')} of liquor in all ({said.text}){others}.",) if brought or wet is not None else ()
    if wet is not None:
        brought = (Brought(what="wet yarn", volume_ml=wet.value), *brought)
        notes = (*notes, _of_wet_yarn(wet, liquor.acids_brought(pot)))
    worked = water_to_add(total, pot.fibre_g, brought)
    notes = (*notes, *(guard.sentence for guard in liquor_guards(worked) if guard.severity == "warn"))
    if not total.is_exact:
        notes = (
            *notes,
            f"To cover takes {say_amount(total.low, 'ml')} to {say_amount(total.high, 'ml')} in all (assumed): pour until it is so and note what it took.",
        )
    return _checked(worked.in_pot_ml, Taken((_water(pot, "water", worked.water_to_add_ml),), notes), pot)


def _of_wet_yarn(wet: Estimate, acids: Sequence[AcidDose]) -> str:
    low, about, high = (say("volume", each, digits=2) for each in (wet.low, wet.value, wet.high))
    acid = "".join(f", and {say_amount(dose.amount, dose.acid.unit)} of the soak's acid" for dose in acids)
    return f"Wet yarn brings about {about} ({low} to {high}, assumed){acid}: weigh it wet and note the wet weight, then the sheet puts the water right."


def _liquid(said: Quantity, pot: Pot) -> tuple[Estimate, bool]:
    """(how much in this pot, whether it means all the liquid): a volume is the water alone, a ratio or "to cover" all of it."""
    if said.kind == "volume":
        return Estimate.exact(said.value * pot.scale, "ml"), False
    if said.kind == "ratio":
        return liquor_for_ratio(pot.fibre_g, said.value), True
    if pot.thing is None:
        raise BadInput(f"'{said.text}' needs a vessel from the shelf, with its size.", where="volume")
    return liquor_to_cover(pot.thing, pot.fibre_g, said.value), True


def _until_next_fill(later: Sequence[Step], taken: Sequence[Taken]) -> list[tuple[Step, Taken]]:
    found: list[tuple[Step, Taken]] = []
    for step, mine in zip(later, taken, strict=True):
        if step.do in ("fill", "rinse", "pour off"):
            break
        found.append((step, mine))
    return found


def _checked(total_ml: float, taken: Taken, pot: Pot) -> Taken:
    """With the guards of the vessel: a bath that would run over is refused."""
    if pot.thing is None:
        return taken
    guards = pot_guards(fit_in(pot.thing, total_ml, pot.fibre_g))
    refused = [guard.sentence for guard in guards if guard.severity == "refuse"]
    if refused:
        raise BadInput(refused[0], where="volume")
    return Taken(taken.doses, (*taken.notes, *(guard.sentence[:1].upper() + guard.sentence[1:] for guard in guards)))


def alkalinity_of(shelf: OnShelf) -> Estimate:
    """The alkalinity of the water: as the dyer's own test found it or the shelf says since, else 120 mg/L (20-300) assumed."""
    if shelf.water is None:
        return ASSUMED_ALKALINITY
    stated = ASSUMED_ALKALINITY if shelf.water.alkalinity_mg_l is None else stated_alkalinity(shelf.water.alkalinity_mg_l)
    return tested_alkalinity(stated, shelf.calibrations, shelf.water.name)


def _to_ph(step: Step, target: Quantity, pot: Pot, shelf: OnShelf, liquor: _Liquor) -> Taken:
    """Acid for a pH in the liquor as it stands, once the yarn has its share where it was laid in before.

    The volume that a vinegar brings is counted by working it out twice.
    """
    if liquor.volume_ml is None:
        raise BadInput(f"'{step.get('amount')}' needs to know how much liquor there is: put a 'fill' before it.", where="amount")
    acid = acid_as_bought(step.get("acid"), shelf)
    bath = Bath(volume_ml=liquor.volume_ml, alkalinity=alkalinity_of(shelf), doses=tuple(liquor.acids))
    sponges = _yarn_in(pot, liquor)
    found = _acid_for(bath, acid, target.value, sponges)
    if acid.unit == "ml":
        found = _acid_for(replace(bath, volume_ml=liquor.volume_ml + found.value), acid, target.value, sponges)
    kept = shelf.find(Acid, step.get("acid"))
    name = step.get("acid") if kept is None else kept.name
    said, spoons = say_amount(found.value, acid.unit), in_spoons(found.value, acid.unit, acid.kind, shelf.habits)
    notes = [
        f"To pH {target.value:g} in this water: {said}{f' ({spoons})' if spoons else ''}, "
        f"likely between {say_amount(found.low, acid.unit)} and {say_amount(found.high, acid.unit)}, "
        f"{'after the wool has taken its share' if sponges else 'before the wool takes its share'}. Measure."
    ]
    notes += [guard.sentence for guard in donor_guards(acid, found.value, bath.volume_ml)]
    if found.origin.value == "assumed":
        notes.append("The water's alkalinity is assumed to be 120 mg/L (20-300): a strip or a report would narrow this most.")
    return Taken((Dose(vessel=pot.vessel, kind="acid", name=name, amount=found.value, unit=acid.unit, said=said),), tuple(notes))


def _yarn_in(pot: Pot, liquor: _Liquor) -> tuple[Sponge, ...]:
    """The yarn as a sponge of acid, where a step has laid it in and its fibres are known."""
    return sponges_of(1.0, pot.fibres) if pot.fibres and any(step.do == "lay in" for step in liquor.done) else ()


@lru_cache(maxsize=256)
def _acid_for(bath: Bath, acid: AcidAsBought, ph: float, sponges: tuple[Sponge, ...]) -> Estimate:
    return (acid_for_ph_after(bath, acid, ph, sponges) if sponges else acid_for_ph(bath, acid, ph)).amount


def _after(step: Step, taken: Taken, pot: Pot, shelf: OnShelf, liquor: _Liquor) -> None:
    """What the liquor is like after the step. Yarn that comes wet counts as in the bath from the fill on, whenever it is laid in."""
    if standing := tuple(dose for dose in taken.doses if dose.name == STANDING):
        _after(Step("fill"), Taken(tuple(replace(dose, name="water") for dose in standing)), pot, shelf, liquor)
        taken = Taken(tuple(dose for dose in taken.doses if dose.name != STANDING))
    ml = sum(dose.amount for dose in taken.doses if dose.unit == "ml" and dose.name not in (POURED_OFF, "soak"))
    match step.do:
        case "fill":
            wet = liquor.wet_yarn(pot)
            liquor.volume_ml, liquor.acids = ml + (0.0 if wet is None else wet.value), liquor.acids_brought(pot)
            liquor.soak_ml, liquor.soak_acids = None, []
        case "rinse" | "hang":
            liquor.volume_ml, liquor.acids = None, []
            liquor.soak_ml, liquor.soak_acids = None, []
        case "spin":
            liquor.volume_ml, liquor.acids = None, []
        case "soak":
            liquor.soak_ml = next((dose.amount for dose in taken.doses if dose.name == "soak"), None)
            liquor.soak_acids = _acid_doses(taken, shelf)
        case "pour off":
            if liquor.volume_ml is not None:
                left = max(0.0, liquor.volume_ml - taken.doses[0].amount)
                share = left / liquor.volume_ml if liquor.volume_ml else 0.0
                liquor.acids = [AcidDose(dose.acid, dose.amount * share) for dose in liquor.acids]
                liquor.volume_ml = left
        case "add water" | "add dye" | "top up" | "pour" | "paint":
            liquor.volume_ml = ml if liquor.volume_ml is None and step.do == "add water" else None if liquor.volume_ml is None else liquor.volume_ml + ml
        case "add acid":
            into_soak = liquor.volume_ml is None and liquor.soak_ml is not None
            (liquor.soak_acids if into_soak else liquor.acids).extend(_acid_doses(taken, shelf))
            if liquor.volume_ml is not None:
                liquor.volume_ml += ml
        case _:
            pass
    liquor.done.append(step)


def _acid_doses(taken: Taken, shelf: OnShelf) -> list[AcidDose]:
    """The acids among the doses of a step; what is no acid, or is said in another unit than it is bought in, is passed over."""
    found = []
    for dose in taken.doses:
        try:
            acid = acid_as_bought(dose.name, shelf)
        except BadInput:
            continue
        if dose.unit == acid.unit:
            found.append(AcidDose(acid, dose.amount))
    return found


def baths(steps: Sequence[Step], taken: Sequence[Taken], pot: Pot, shelf: OnShelf) -> tuple[Bath | None, ...]:
    """The bath in the vessel after each step, at 25 C and before the fibre binds any acid; None where there is none. `taken` is that of `with_liquor`."""
    liquor = _Liquor()
    found: list[Bath | None] = []
    alkalinity = alkalinity_of(shelf)
    for step, mine in zip(steps, taken, strict=True):
        _after(step, mine, pot, shelf, liquor)
        volume_ml = liquor.volume_ml
        found.append(Bath(volume_ml=volume_ml, alkalinity=alkalinity, doses=tuple(liquor.acids)) if volume_ml else None)
    return tuple(found)
