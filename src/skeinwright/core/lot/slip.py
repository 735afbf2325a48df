"""What a pot slip says: everything for one vessel."""

from __future__ import annotations

from typing import Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Dose, Lot, Planned, Row
from skeinwright.core.lot.said_doses import POURED_OFF, say_amount, sentence_in
from skeinwright.core.lot.state import vessels_of
from skeinwright.core.safety.cautions import CAUTIONS, cautions_of

FOOT = "Cautions are common practice; local code, the maker's sheet and licensed practice go first. " + CAUTIONS["kitchen"].sentence
_NOT_MEASURED_OUT = (POURED_OFF, "soak")


def slips_of(lot: Lot, *, vessel: str = "") -> dict[str, Any]:
    """The slips of a lot as plain data, one for each vessel (or for the one named)."""
    vessels = vessels_of(lot)
    if vessel and vessel not in vessels:
        raise BadInput(f"'{vessel}' is not a vessel of lot {lot.code}; its vessels are {', '.join(vessels)}.", where="vessel")
    return {"title": f"Pot slip {lot.code}", "slips": [_slip(lot, name) for name in ([vessel] if vessel else vessels)]}


def clock(minutes: float | None) -> str:
    """Hours and minutes after the start: 79 -> "1:19"; a dash where it is not known."""
    if minutes is None:
        return "–"
    return f"{round(minutes) // 60}:{round(minutes) % 60:02d}"


def row_said(row: Row) -> dict[str, str]:
    """A row in words: "3 x 100 g", base, mark, ground."""
    skeins = f"{row.skeins} × {say('mass', row.skein_g)}" if row.skeins and row.skein_g else f"{row.skeins} skeins" if row.skeins else "not counted"
    return {"number": str(row.number), "skeins": skeins, "base": row.base or "base not said", "mark": row.mark, "over": row.over, "vessel": row.vessel}


def _slip(lot: Lot, vessel: str) -> dict[str, Any]:
    rows = [row for row in lot.rows if row.vessel == vessel]
    fibre_g = sum(row.fibre_g for row in rows)
    doses = [(planned, dose) for planned in lot.plan for dose in planned.doses if dose.vessel == vessel and dose.name not in _NOT_MEASURED_OUT]
    marks = ", ".join(row.mark for row in rows if row.mark)
    first_rinse = next((planned.number for planned in lot.plan if planned.step.do == "rinse"), None)
    return {
        "code-day": lot.code[:11],
        "code-letter": lot.code[11:],
        "vessel": vessel or "any vessel",
        "title": lot.title,
        "day": lot.when_said or lot.day.isoformat(),
        "fibre": say("mass", fibre_g, "g" if fibre_g < 1000 else "kg", digits=4) if fibre_g else "not weighed",
        "rows": [row_said(row) for row in rows],
        "doses": [_dose(dose, planned.number) for planned, dose in doses],
        "steps": _steps(lot.plan, vessel, {first_rinse: _asks(marks)}),
        "look": [warning for warning in lot.warnings if not warning.startswith("Step ") and _concerns(warning, vessel, vessels_of(lot))],
        "assumed": [" ".join(lot.assumed)] if lot.assumed else [],
        "foot": FOOT,
    }


def _dose(dose: Dose, step: int) -> dict[str, str]:
    """An amount in large figures; where it was said in the dyer's own measure ("2 tbsp (29.6 ml)"), the plain one beside it."""
    said, _, also = dose.said.partition(" (")
    return {"amount": said or say_amount(dose.amount, dose.unit), "also": also.removesuffix(")"), "name": dose.name, "step": str(step)}


def _asks(marks: str) -> str:
    """The wet identity is asked for at the rinse."""
    return f"Which skein is it? Planned {marks}, seen" if marks else "Which skein is it? Mark seen"


def _concerns(warning: str, vessel: str, vessels: tuple[str, ...]) -> bool:
    """True unless a warning names another vessel of the lot and not this one."""
    return vessel in warning or not any(other and other in warning for other in vessels)


def _steps(plan: tuple[Planned, ...], vessel: str, asks: dict[int | None, str]) -> list[dict[str, Any]]:
    """The steps in order; a caution is said in full where it comes first, and by its word alone after that."""
    said: set[str] = set()
    steps: list[dict[str, Any]] = []
    for planned in plan:
        keys = (*planned.cautions, *(key for where, key in planned.cautions_in if where == vessel))
        cautions = [{"head": caution.head, "says": "" if caution.key in said else caution.sentence} for caution in cautions_of(keys, slip=True)]
        said |= set(keys)
        steps.append(_step(planned, vessel, asks.get(planned.number, ""), cautions))
    return steps


def _step(planned: Planned, vessel: str, asks: str, cautions: list[dict[str, str]]) -> dict[str, Any]:
    return {
        "number": str(planned.number),
        "start": clock(planned.start_min),
        "text": f"{planned.number}  {sentence_in(planned, vessel)}",
        "notes": [_mine(note, vessel) for note in planned.notes if _is_mine(note, planned, vessel)],
        "asks": asks,
        "cautions": cautions,
    }


def _is_mine(note: str, planned: Planned, vessel: str) -> bool:
    others = {dose.vessel for dose in planned.doses} - {vessel}
    return not any(note.startswith(f"{other}: ") for other in others)


def _mine(note: str, vessel: str) -> str:
    return note.removeprefix(f"{vessel}: ")
