"""The editor's form and the colourway it stands for: read, and changed step by step (add, up, down, remove, put back)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from starlette.datastructures import FormData

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.reading import ALTERNATIVES, needed_slots
from skeinwright.core.colourway.usual_bath import usual_bath
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.studio import Studio
from skeinwright.web.act import text

MOST_STEPS = 120
_DO = re.compile(r"do\.(\d{1,4})")
_SLOT = re.compile(r"s\.(\d{1,4})\.(.{1,60})", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Gone:
    """A step that was just taken out, and where it stood (from 0), so that it can be put back."""

    at: int
    step: Step


@dataclass(frozen=True, slots=True)
class Edited:
    """What a press on one of the step buttons made: the steps, the one taken out, and which control has the focus next."""

    steps: tuple[Step, ...]
    gone: Gone | None = None
    focus: str = ""


def colourway_in(form: FormData, kept: Colourway | None = None) -> Colourway:
    """The colourway as it stands on the page. What a page cannot show (a file's own base, water, vessel and dyes) is taken from `kept`."""
    return replace(
        kept or Colourway(name=""),
        name=text(form, "name"),
        fibre=text(form, "fibre"),
        bases=tuple(dict.fromkeys(name for one in form.getlist("bases") if isinstance(one, str) and (name := one.strip()))),
        water=text(form, "water"),
        vessel=text(form, "vessel"),
        over=text(form, "over"),
        notes=text(form, "notes"),
        steps=steps_in(form),
    )


def steps_in(form: FormData) -> tuple[Step, ...]:
    """The steps by their numbers on the page; a slot left empty is not given."""
    words: dict[int, str] = {}
    said: dict[int, dict[str, str]] = {}
    for key, value in form.multi_items():
        if not isinstance(value, str):
            continue
        if found := _DO.fullmatch(key):
            words[int(found[1])] = value
        elif (found := _SLOT.fullmatch(key)) and value.strip():
            said.setdefault(int(found[1]), {})[found[2]] = value.strip()
    if len(words) > MOST_STEPS:
        raise BadInput(f"A colourway has at most {MOST_STEPS} steps.", where="steps")
    return tuple(Step(words[number], MappingProxyType(said.get(number, {}))) for number in sorted(words))


def gone_in(form: FormData) -> Gone | None:
    """The step that was taken out last, if the page still offers it back."""
    word, at = text(form, "gone.do"), text(form, "gone.at")
    if not word or not at.isdigit():
        return None
    return Gone(int(at), Step(word, MappingProxyType({key.removeprefix("gone.s."): text(form, key) for key in form if key.startswith("gone.s.")})))


def edited(form: FormData, steps: Sequence[Step], usual: Mapping[str, str]) -> Edited:
    """The steps after the press named by `act`: "add", "back", "up.3", "down.3", "remove.3", "move.3.5" (from 0); anything else changes nothing."""
    what, number, *more = [*text(form, "act").split("."), ""]
    at = int(number) if number.isdecimal() else -1
    gone = gone_in(form)
    if what == "add":
        return _added(form, steps, usual)
    if what == "back" and gone is not None:
        where = min(gone.at, len(steps))
        return Edited((*steps[:where], gone.step, *steps[where:]), None, f"step-{where}")
    if not 0 <= at < len(steps):
        return Edited(tuple(steps), gone)
    if what == "remove":
        return Edited((*steps[:at], *steps[at + 1 :]), Gone(at, steps[at]), "put-back")
    if what == "move":
        to = int(more[0]) if more[0].isdecimal() else at
        rest = [*steps[:at], *steps[at + 1 :]]
        return Edited((*rest[:to], steps[at], *rest[to:]), gone, f"step-{min(to, len(rest))}")
    to = at + {"up": -1, "down": 1}.get(what, 0)
    if to == at or not 0 <= to < len(steps):
        return Edited(tuple(steps), gone)
    moved = [*steps]
    moved[at], moved[to] = moved[to], moved[at]
    same_way = (what == "up" and to > 0) or (what == "down" and to < len(steps) - 1)
    return Edited(tuple(moved), gone, f"{what if same_way else 'down' if what == 'up' else 'up'}-{to}")


def _added(form: FormData, steps: Sequence[Step], usual: Mapping[str, str]) -> Edited:
    word = WORDS.get(text(form, "new.do"))
    if word is None:
        return Edited(tuple(steps), gone_in(form))
    after = text(form, "new.after")
    at = min(int(after), len(steps)) if after.isdigit() else len(steps)
    return Edited((*steps[:at], new_step(word.do, usual), *steps[at:]), None, f"step-{at}")


def new_step(do: str, usual: Mapping[str, str]) -> Step:
    """A step as a dyer would begin it: what it needs, filled with the usual, with the first dye or acid of the shelf (`usual` by kind of slot)."""
    word = WORDS[do]
    wanted = {slot.key for slot in word.slots if slot.key in needed_slots(word) or (slot.default and slot.need)}
    if do in ALTERNATIVES:
        wanted.add("dye")
    said = {slot.key: usual.get(slot.kind) or slot.default for slot in word.slots if slot.key in wanted}
    if do == "add dye":
        said["depth"] = "0.5 %"
    if do.startswith("add ") and "what" in {slot.key for slot in word.slots}:
        said |= {"what": usual.get(do, ""), "amount": "5 g"}
    return Step(do, MappingProxyType({key: value for key, value in said.items() if value}))


def a_bath(usual: Mapping[str, str]) -> tuple[Step, ...]:
    """A sensible bath of one dye, written out."""
    said = {"dye": usual.get("dye", ""), "depth": "1 %"}
    dye = Step("add dye", MappingProxyType({key: value for key, value in said.items() if value}))
    return usual_bath((dye,), usual.get("acid", "vinegar 5 %"))


def a_kettle(usual: Mapping[str, str]) -> tuple[Step, ...]:
    """A pot of acid water in which the yarn lies, and dye poured in at a few places: warm, so that it takes where it comes to rest."""
    acid = usual.get("acid", "vinegar 5 %")
    what = {"solution": usual["solution"], "amount": "40 ml"} if usual.get("solution") else {"dye": usual.get("dye", ""), "amount": "0.4 g"}
    plan: tuple[tuple[str, dict[str, str]], ...] = (
        ("soak", {"time": "30 min"}),
        ("fill", {"volume": "4 l"}),
        ("add acid", {"acid": acid, "amount": "60 ml" if "citric" not in acid.casefold() else "4 g"}),
        ("lay in", {}),
        ("heat", {"to": "60 C", "rate": "2 C/min"}),
        ("pour", {**what, "over": "all"}),
        ("wait", {"time": "10 min"}),
        ("heat", {"to": "85 C", "rate": "2 C/min"}),
        ("hold", {"time": "30 min"}),
        ("rinse", {}),
        ("hang", {}),
    )
    return tuple(Step(do, MappingProxyType({key: value for key, value in said.items() if value})) for do, said in plan)


def a_pan(usual: Mapping[str, str]) -> tuple[Step, ...]:
    """Powder in little water, written out: cold, so that no steam carries dust up, then under a lid, so that the pan does not run dry."""
    plan: tuple[tuple[str, dict[str, str]], ...] = (
        ("soak", {"time": "30 min"}),
        ("fill", {"volume": "700 ml"}),
        ("add acid", {"acid": usual.get("acid", "vinegar 5 %"), "amount": "30 ml" if "citric" not in usual.get("acid", "").casefold() else "2 g"}),
        ("lay in", {"width": "15 cm"}),
        ("sprinkle", {"dye": usual.get("dye", ""), "amount": "0.15 g", "over": "all"}),
        ("wait", {"time": "10 min"}),
        ("lid on", {}),
        ("heat", {"to": "85 C", "rate": "3 C/min"}),
        ("hold", {"time": "20 min"}),
        ("rinse", {}),
        ("hang", {}),
    )
    return tuple(Step(do, MappingProxyType({key: value for key, value in said.items() if value})) for do, said in plan)


def kept_in(studio: Studio, form: FormData) -> Kept[Colourway] | None:
    """The kept colourway that the form is of; None for a new one. Raises NotFound."""
    id = text(form, "id")
    return get_colourway(studio, int(id)) if id.isdigit() else None


def own_base(colourway: Colourway, shown: str) -> str | None:
    """The base that is looked at, if it is one of the colourway's own."""
    return shown if shown in colourway.bases else None
