"""What a step takes for one vessel, scaled to the fibre in it.

    depth of shade      fibre in the vessel x depth / strength of the powder
    grams, millilitres  as written x fibre in the vessel / fibre the colourway is written for
    per skein           x skeins in the vessel
    liquor ratio        fibre in the vessel x ratio; "to cover" follows the vessel

Times and temperatures do not scale. Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from skeinwright.core.bath.amounts import dye_g, solution_ml
from skeinwright.core.bath.written_run import LEVELLER_NOTE
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.meaning import parse_mix
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import FibreMass, Quantity, parse_dose, parse_doses, parse_parts
from skeinwright.core.lot.lot import Dose
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.lot.said_doses import ICE, say_amount
from skeinwright.core.lot.steaming import steaming_note
from skeinwright.core.safety.for_step import acid_kind
from skeinwright.core.shelf.items import Acid, Dye, Leftover, Solution, Vessel

_PLAIN_UNITS = ("g", "ml", "kg", "l", "mg")


@dataclass(frozen=True, kw_only=True, slots=True)
class Pot:
    """One vessel of a lot with its fibre, and the fibre that the colourway is written for."""

    vessel: str
    fibre_g: float
    skeins: int
    written: FibreMass
    thing: Vessel | None = None
    fibre_known: bool = True
    """False in an unplanned pot whose fibre was not weighed: amounts are as said, and a depth of shade is refused."""
    fibres: tuple[tuple[str, float], ...] = ()
    """What the yarn is made of, by name in grams; empty where its bases are not known."""

    @property
    def scale(self) -> float:
        """fibre in this vessel / fibre written for."""
        return self.fibre_g / self.written.total_g


@dataclass(frozen=True, slots=True)
class Taken:
    """Doses of one step in one pot, and sentences about them."""

    doses: tuple[Dose, ...] = ()
    notes: tuple[str, ...] = ()


def taken_by(step: Step, pot: Pot, shelf: OnShelf) -> Taken:
    """The dyes, auxiliaries, leftovers and fixed amounts of acid of a step. Water and "to pH" need the bath and are worked out by the plan."""
    match step.do:
        case "add dye":
            return _dyes(step, pot, shelf)
        case "sprinkle" | "pour" | "paint" | "dip":
            return _laid_on(step, pot, shelf)
        case "add acid":
            return _acid(step, pot, shelf)
        case "top up":
            return _top_up(_dose(pot, "leftover", step.get("leftover"), _read(step, "amount", shelf), shelf), shelf)
        case "ice":
            return Taken((_dose(pot, "water", ICE, _read(step, "amount", shelf), shelf),))
        case "steam":
            return Taken((), (steaming_note(shelf),))
        case "add leveller":
            return Taken(_auxiliary(step, pot, shelf), (LEVELLER_NOTE,))
        case _:
            return Taken(_auxiliary(step, pot, shelf))


def _auxiliary(step: Step, pot: Pot, shelf: OnShelf) -> tuple[Dose, ...]:
    """What a step takes of salt, leveller, wetter and the like; nothing where it does not say what and how much."""
    if not step.get("what") or not step.get("amount"):
        return ()
    return (_dose(pot, "auxiliary", step.get("what"), _read(step, "amount", shelf), shelf),)


def _read(step: Step, slot: str, shelf: OnShelf) -> Quantity:
    return parse_dose(step.get(slot), where=f"{step.do}: {slot}", habits=shelf.habits)


def scaled(quantity: Quantity, pot: Pot) -> tuple[float, str]:
    """(amount, unit) of a dose in this pot; a depth of shade gives grams without regard to strength."""
    match quantity.kind:
        case "fraction" | "per_skein" | "volume_per_skein" if not pot.fibre_known:
            raise BadInput(f"'{quantity.text}' needs to know the fibre: say it in grams or millilitres instead.", where="amount", text=quantity.text)
        case "fraction":
            return pot.fibre_g * quantity.value, "g"
        case "per_skein":
            return quantity.value * pot.skeins, "g"
        case "volume_per_skein":
            return quantity.value * pot.skeins, "ml"
        case "volume":
            return quantity.value * pot.scale, "ml"
        case "mass":
            return quantity.value * pot.scale, "g"
        case _:
            raise BadInput(f"'{quantity.text}' is no amount here.", where="amount", text=quantity.text)


def _said(amount: float, unit: str, quantity: Quantity, pot: Pot) -> str:
    """As printed: "2 tsp (9.86 ml)" where the dyer's own measure still holds, else grams or millilitres."""
    plain = say_amount(amount, unit)
    as_typed = quantity.kind in ("mass", "volume") and pot.scale == 1 and quantity.unit not in _PLAIN_UNITS
    return f"{quantity.text} ({plain})" if as_typed else plain


def _dose(pot: Pot, kind: str, name: str, quantity: Quantity, shelf: OnShelf) -> Dose:
    amount, unit = scaled(quantity, pot)
    return Dose(vessel=pot.vessel, kind=kind, name=name or "not named", amount=amount, unit=unit, said=_said(amount, unit, quantity, pot))


def _top_up(dose: Dose, shelf: OnShelf) -> Taken:
    """Leftover liquor; what is not known of it is said."""
    found = shelf.find(Leftover, dose.name)
    if found is None or not found.dyes_g:
        return Taken((dose,), (f"What dye {dose.name} holds is not known, so it counts as water.",))
    return Taken((dose,), (f"What acid {dose.name} holds is not counted.",))


def _dye_or_solution(name: str, quantity: Quantity, pot: Pot, shelf: OnShelf) -> tuple[Dose, tuple[str, ...]]:
    """A dose of a dye by its name: powder in grams, or solution in millilitres where a solution has that name."""
    solution = shelf.find(Solution, name)
    dye = shelf.find(Dye, name)
    amount, unit = scaled(quantity, pot)
    if solution is not None:
        if quantity.kind == "fraction":
            amount = dye_g(pot.fibre_g, quantity.value, sum(share * _strength(part, shelf) for part, share in solution.parts))
        if unit == "g":
            amount, unit = solution_ml(amount, solution.strength), "ml"
        return Dose(vessel=pot.vessel, kind="solution", name=solution.name, amount=amount, unit=unit, said=_said(amount, unit, quantity, pot)), ()
    notes: tuple[str, ...] = ()
    if dye is None:
        notes = (f"{name} is not on the shelf: its strength is taken as 100 %.",)
    if quantity.kind == "fraction":
        amount = dye_g(pot.fibre_g, quantity.value, _strength(name, shelf))
    if unit == "ml":
        notes = (*notes, f"{say_amount(amount, unit)} of {name}: of what strength is not said, so nothing can be booked from the jar.")
    name = dye.name if dye is not None else name
    return Dose(vessel=pot.vessel, kind="dye", name=name, amount=amount, unit=unit, said=_said(amount, unit, quantity, pot)), notes


def _strength(name: str, shelf: OnShelf) -> float:
    dye = shelf.find(Dye, name)
    return 1.0 if dye is None else dye.strength


def _dyes(step: Step, pot: Pot, shelf: OnShelf) -> Taken:
    where = f"{step.do}: recipe"
    if step.get("recipe"):
        if step.get("depth") or step.get("amount"):
            total = _read(step, "depth" if step.get("depth") else "amount", shelf)
            named: Iterable[tuple[str, Quantity]] = tuple((name, _share(total, share)) for name, share in parse_parts(step.get("recipe"), where=where))
        else:
            named = parse_doses(step.get("recipe"), where=where, habits=shelf.habits)
        return _merged(_dye_or_solution(name, quantity, pot, shelf) for name, quantity in named)
    name = step.get("solution") or step.get("dye")
    slot = "depth" if step.get("depth") else "amount"
    if not name or not step.get(slot):
        raise BadInput("Say which dye and how much.", where=step.do)
    return _merged([_dye_or_solution(name, _read(step, slot, shelf), pot, shelf)])


def _share(total: Quantity, share: float) -> Quantity:
    """A share of a quantity; what was typed no longer stands for it."""
    return Quantity(total.kind, total.value * share, "g" if total.kind == "mass" else "ml" if total.kind == "volume" else total.unit, total.text)


def _merged(found: Iterable[tuple[Dose, tuple[str, ...]]]) -> Taken:
    """One dose for each thing: a thing named twice is added up."""
    doses: dict[tuple[str, str, str], Dose] = {}
    notes: list[str] = []
    for dose, more in found:
        key = (dose.kind, dose.name, dose.unit)
        if key in doses:
            amount = doses[key].amount + dose.amount
            dose = Dose(vessel=dose.vessel, kind=dose.kind, name=dose.name, amount=amount, unit=dose.unit, said=say_amount(amount, dose.unit))
        doses[key] = dose
        notes += more
    return Taken(tuple(doses.values()), tuple(dict.fromkeys(notes)))


def _laid_on(step: Step, pot: Pot, shelf: OnShelf) -> Taken:
    if not step.get("amount"):
        return Taken()
    quantity = _read(step, "amount", shelf)
    if step.get("blend"):
        mix = parse_mix(step.get("blend"), where="sprinkle: blend")
        if mix.parts:
            return _merged(_dye_or_solution(name, _share(quantity, share), pot, shelf) for name, share in mix.parts)
        return Taken((_dose(pot, "blend", step.get("blend"), quantity, shelf),))
    name = step.get("solution") or step.get("dye")
    if not name:
        raise BadInput("Say which dye.", where=step.do)
    return _merged([_dye_or_solution(name, quantity, pot, shelf)])


def _acid(step: Step, pot: Pot, shelf: OnShelf) -> Taken:
    quantity = _read(step, "amount", shelf)
    if quantity.kind == "ph":
        return Taken()
    name = step.get("acid")
    acid = shelf.find(Acid, name)
    dose = _dose(pot, "acid", acid.name if acid is not None else name, quantity, shelf)
    if dose.unit == "g" and acid_kind(name, shelf.all_of(Acid)) == "vinegar":  # a millilitre of vinegar counts as a gram
        dose = Dose(vessel=dose.vessel, kind=dose.kind, name=dose.name, amount=dose.amount, unit="ml", said=say_amount(dose.amount, "ml"))
    return Taken((dose,))
