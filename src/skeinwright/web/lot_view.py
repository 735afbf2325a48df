"""A lot sheet as the screen draws it: blocks that can be swapped one by one, each plain data, so that two states of a lot can be compared block by block."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from skeinwright.core.foundations.quantities import say
from skeinwright.core.lot.lot import Entered, Entry, Lot, Planned, Row
from skeinwright.core.lot.said_doses import say_amount
from skeinwright.core.lot.sheet import sheet_of
from skeinwright.core.lot.slips import dose_slip, weight_slip
from skeinwright.core.lot.state import Doing, LotState, dose_key, state_of, vessels_of
from skeinwright.core.lot.uses import used
from skeinwright.core.safety.cautions import cautions_of

Block = dict[str, Any]
_IN_DOSES = ("dye", "solution", "recipe", "blend", "depth", "amount", "acid", "what", "volume", "water", "leftover", "vessel", "text")
"""Slots of a step that its doses say, or that cannot differ as a number."""
SLOT_WORDS = {"to": "temperature", "over": "where", "times": "how many times", "round": "once round", "leave": "water left in"}


def blocks_of(lot: Lot, entries: Sequence[Entry]) -> dict[str, Block]:
    """The blocks of the sheet by their id on the page: head, skeins, a step-N for each step, day, weigh, uses."""
    sheet, state = sheet_of(lot, entries), state_of(lot, entries)
    vessels = vessels_of(lot)
    blocks = {"head": _head(sheet, state), "skeins": {"rows": sheet["rows"]}}
    for planned, step in zip(lot.plan, sheet["steps"], strict=True):
        blocks[f"step-{planned.number}"] = step | _step(planned, lot, state, vessels)
    blocks["day"] = {"lines": _day(sheet["loose"], state), "open_powder": sheet["open_powder"]}
    blocks["weigh"] = _weigh(lot, sheet["rows"], state)
    blocks["uses"] = {"lines": [{"name": name, "kind": kind, "amount": say_amount(amount, unit)} for (kind, name, unit), amount in _uses(lot, entries)]}
    return blocks


def changed_blocks(lot: Lot, entries: Sequence[Entry], seen: int) -> dict[str, Block]:
    """The blocks that look different from how they looked after entry `seen` (0: after none)."""
    before = blocks_of(lot, [entry for entry in entries if (entry.id or 0) <= seen])
    return {name: block for name, block in blocks_of(lot, entries).items() if before.get(name) != block}


def last_entry(entries: Sequence[Entry]) -> int:
    """The number of the newest entry; 0 where there is none."""
    return max((entry.id or 0 for entry in entries), default=0)


def _head(sheet: Mapping[str, Any], state: LotState) -> Block:
    done = sum(doing.how != "planned" for doing in state.doings.values())
    finished = state.finished_at is not None
    left = [] if finished else [number for number in state.next_step.values() if number is not None]
    return {"status": sheet["status"], "finished": finished, "done": done, "all": len(state.doings), "next": min(left, default=None)}


def _step(planned: Planned, lot: Lot, state: LotState, vessels: Sequence[str]) -> Block:
    finished = state.finished_at is not None
    doings = [state.doing(planned.number, vessel) for vessel in vessels]
    first_rinse = next((one.number for one in lot.plan if one.step.do == "rinse"), None)
    return {
        "n": planned.number,
        "do": planned.step.do,
        "pots": [_pot(planned, doing, state, finished) for doing in doings],
        "next": not finished and planned.number in state.next_step.values(),
        "left": not finished and any(doing.how == "planned" for doing in doings),
        "begun": any(doing.how != "planned" for doing in doings),
        "finished": finished,
        "cautions": _cautions(planned),
        "notes": planned.notes,
        "minutes": "" if not planned.minutes or planned.step.get("time") else f"about {say('time', planned.minutes * 60, digits=2)}",
        "marks": _marks(lot, state) if planned.number == first_rinse else [],
        "slips": _slips(doings),
    }


def _slips(doings: Sequence[Doing]) -> list[str]:
    """What is said of amounts that went in far from the plan."""
    found = []
    for doing in doings:
        planned = {dose_key(dose): dose for dose in doing.planned}
        taken = [(planned[entry.about], dose) for entry in doing.instead for dose in entry.doses if entry.about in planned and len(entry.doses) == 1]
        found += [dose_slip(dose.amount, wanted.amount, wanted.unit) for wanted, dose in taken]
    return [sentence for sentence in found if sentence]


def _pot(planned: Planned, doing: Doing, state: LotState, finished: bool) -> Block:
    ticks = [line.entry.id for line in state.lines if line.stands is not None and _is_tick(line.stands, doing)]
    others = [(key, SLOT_WORDS.get(key, key), value, "") for key, value in planned.step.said.items() if key not in _IN_DOSES]
    doses = [(dose_key(dose), dose.name, say_amount(dose.amount, dose.unit), dose.unit) for dose in doing.planned]
    return {
        "vessel": doing.vessel,
        "name": doing.vessel or "any vessel",
        "done": doing.how == "done",
        "skipped": doing.how == "skipped",
        "at": "" if doing.at is None else f"{doing.at:%H:%M}",
        "next": not finished and state.next_step[doing.vessel] == planned.number,
        "tick": ticks[-1] if ticks else None,
        "differ": [{"about": about, "name": name, "planned": value, "unit": unit} for about, name, value, unit in [*doses, *others]],
    }


def _is_tick(entry: Entry, doing: Doing) -> bool:
    return entry.what is Entered.TICK and (entry.step, entry.vessel) == (doing.step, doing.vessel)


def _cautions(planned: Planned) -> list[Block]:
    everywhere = [{"head": one.head, "says": one.sentence, "stands": one.stands} for one in cautions_of(planned.cautions, slip=True)]
    here = [
        {"head": f"{vessel}: {one.head}", "says": one.sentence, "stands": one.stands}
        for vessel, key in planned.cautions_in
        for one in cautions_of((key,), slip=True)
    ]
    return [*everywhere, *here]


def _marks(lot: Lot, state: LotState) -> list[Block]:
    found = []
    for row in lot.rows:
        seen = state.marks.get(row.number)
        says = f"{row.skeins} × {row.base}".strip()
        found.append({"row": row.number, "mark": row.mark, "says": says, "vessel": row.vessel, "seen": seen.text if seen else ""})
    return found


def _day(loose: Sequence[Mapping[str, Any]], state: LotState) -> list[Block]:
    photos = {entry.id: entry.photo for entry in state.photos}
    return [{**line, "photo": photos.get(line["id"])} for line in loose]


def _weigh(lot: Lot, rows: Sequence[Mapping[str, Any]], state: LotState) -> Block:
    """What is weighed next: the first skein of each row without a weight; and how the weights lie so far."""
    rows_left = []
    for row, drawn in zip(lot.rows, rows, strict=True):
        empty = [place for place, cell in enumerate(drawn["weights"], start=1) if not any(not piece["struck"] for piece in cell)]
        if empty and row.skeins:
            says = f"{row.base or 'row'} in {row.vessel or 'any vessel'}{f', row {row.number}' if _alike(lot, row) else ''}"
            rows_left.append({"row": row.number, "skein": empty[0], "of": row.skeins, "says": says, "mark": row.mark})
    grams = [entry.value for entry in state.weights if entry.value is not None]
    spread = f"{len(grams)} weighed, from {min(grams):g} to {max(grams):g} g, {sum(grams) / len(grams):.4g} g on average." if len(grams) > 1 else ""
    named = [(row.number, ", ".join(word for word in (row.base or f"row {row.number}", row.vessel) if word)) for row in lot.rows]
    put_up = {row.number: row.skein_g for row in lot.rows}
    slips = [weight_slip(entry.value, put_up[entry.row]) for entry in state.weights if entry.value is not None and entry.row in put_up]
    return {"left": rows_left, "spread": spread, "rows": named, "slips": [sentence for sentence in slips if sentence]}


def _alike(lot: Lot, row: Row) -> bool:
    """Whether another row has the same base in the same vessel and nothing marks this one."""
    return not row.mark and sum((other.base, other.vessel) == (row.base, row.vessel) for other in lot.rows) > 1


def _uses(lot: Lot, entries: Sequence[Entry]) -> list[tuple[tuple[str, str, str], float]]:
    return sorted((thing, amount) for thing, amount in used(lot, entries).items() if amount > 1e-9)
