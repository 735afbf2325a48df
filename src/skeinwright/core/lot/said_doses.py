"""Doses in words, and a step that says them: on slip and screen a vessel's own amounts stand in the sentence, never those of another weight of fibre."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.steps import sentence
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Dose, Planned

POURED_OFF = "poured off"
ICE = "ice"
STANDING = "water in the vessel"
"""Water that a colourway's file says stands in the vessel: it is run in before the step that carries it as a dose, and is no value of that step."""
_DYES = ("dye", "solution")


def say_amount(amount: float, unit: str) -> str:
    """An amount in g or ml in words: "11.3 g", "5.91 l"."""
    return say("volume" if unit == "ml" else "mass", amount)


def with_doses(step: Step, doses: Sequence[Dose]) -> Step:
    """The step with these amounts in the place of its own; its slots for a vessel are left out, as a lot's rows say which vessel."""
    said = {key: value for key, value in step.said.items() if key != "vessel" or step.do == "move"}
    water = [dose for dose in doses if dose.kind == "water" and dose.name != STANDING]
    others = [dose for dose in doses if dose.kind != "water"]
    for slot in ("volume", "water"):
        if water and slot in said:
            said[slot] = say_amount(water[0].amount, water[0].unit)
    if step.do == "ice" and water:
        said["amount"] = say_amount(water[0].amount, water[0].unit)
    if others:
        said.pop("depth", None)
        said.pop("amount", None)
        if "recipe" in said and all(dose.kind in _DYES for dose in others):
            said["recipe"] = ", ".join(f"{dose.name} {say_amount(dose.amount, dose.unit)}" for dose in others)
        elif "blend" in said:
            said["amount"] = say_amount(sum(dose.amount for dose in others), others[0].unit)
        else:
            said["amount"] = say_amount(others[0].amount, others[0].unit)
    return Step(step.do, MappingProxyType(said))


def sentence_in(planned: Planned, vessel: str) -> str:
    """The sentence of a planned step with the amounts of one vessel."""
    return sentence(with_doses(planned.step, [dose for dose in planned.doses if dose.vessel == vessel]))


def sentence_for_all(step: Step, doses: Sequence[Dose], vessels: Sequence[str]) -> str:
    """One sentence for the whole lot: as in each vessel where all are alike, else the word and each vessel's amounts."""
    each = {vessel: [dose for dose in doses if dose.vessel == vessel] for vessel in vessels}
    sentences = {sentence(with_doses(step, mine)) for mine in each.values()}
    if len(sentences) == 1:
        return sentences.pop()
    amounts = "; ".join(f"{vessel} {', '.join(f'{say_amount(dose.amount, dose.unit)} {dose.name}' for dose in mine)}" for vessel, mine in each.items() if mine)
    return f"{step.do[:1].upper()}{step.do[1:]}: {amounts}"
