"""A new lot: from a colourway with its rows and a live draft below, or a pot without a plan in two taps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound, SkeinwrightError
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import parse, say
from skeinwright.core.lot.lot import Lot
from skeinwright.core.lot.said_doses import say_amount, sentence_in
from skeinwright.core.lot.slip import clock
from skeinwright.core.lot.state import vessels_of
from skeinwright.core.safety.cautions import cautions_of
from skeinwright.core.shelf.items import Vessel
from skeinwright.services.draft_lot import LotDraft, RowWanted, StartLot, draft_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_lots import ListLots, list_lots
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.start_lot import start_lot
from skeinwright.services.start_unplanned_pot import StartUnplannedPot, start_unplanned_pot
from skeinwright.services.studio import Studio
from skeinwright.web.act import text, texts
from skeinwright.web.once import key_of
from skeinwright.web.page import go, render, studio_of

MOST_ROWS = 40
FIELDS = ("base", "skeins", "skein", "vessel", "mark", "over")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What stands in the form: the colourway's number, the rows as typed, title and notes."""

    colourway: str
    rows: tuple[dict[str, str], ...]
    title: str = ""
    notes: str = ""


def show(request: Request) -> Response:
    """The form for one colourway (or the choice of one); its rows are those that the colourway was written for."""
    query = request.query_params
    wanted = Wanted(query.get("colourway", ""), (), query.get("title", ""))
    if wanted.colourway:
        wanted = Wanted(wanted.colourway, _rows_as_written(studio_of(request), wanted.colourway, over=query.get("over", "")), wanted.title)
    return _page(request, wanted, over=query.get("over", ""))


def change(request: Request, form: FormData) -> Response:
    """One more row, one less, a look at the amounts, or the start: whichever button it was."""
    wanted, do = _wanted(form), text(form, "do")
    if do == "more":
        last = wanted.rows[-1] if wanted.rows else _blank()
        wanted = _with_rows(wanted, (*wanted.rows, {**last, "mark": "", "over": ""})[:MOST_ROWS])
    elif do.startswith("less-") and do[5:].isdigit():
        wanted = _with_rows(wanted, tuple(row for place, row in enumerate(wanted.rows) if place != int(do[5:])) or (_blank(),))
    elif do == "choose":
        wanted = _with_rows(wanted, _rows_as_written(studio_of(request), wanted.colourway, over=wanted.rows[0]["over"] if wanted.rows else ""))
    elif do == "start":
        asked, own = _request(studio_of(request), wanted)
        if own or not wanted.colourway:
            return _page(request, wanted, status=422)
        try:
            lot = start_lot(studio_of(request), replace(asked, key=key_of(form)))
        except (BadInput, ManyBadInputs, Conflict, NotFound) as error:
            return _page(request, wanted, error=error, status=409 if isinstance(error, Conflict) else 422)
        return go(request, str(request.app.url_path_for("lot", code=lot.code)))
    return _page(request, wanted)


def draft(request: Request, form: FormData) -> Response:
    """The draft alone, for the form as it stands while it is being filled in."""
    wanted = _wanted(form)
    return render(request, "lots/draft.html", _draft(studio_of(request), wanted) | {"wanted": wanted, "oob": True})


def choose_vessel(request: Request) -> Response:
    """The pots of the shelf, drawn to scale: a tap on one starts it."""
    return _vessels_page(request, {"over": request.query_params.get("over", "")})


def _vessels_page(request: Request, typed: Mapping[str, str], *, wrong: str = "", status: int = 200) -> Response:
    studio = studio_of(request)
    vessels = [kept.thing for kept in list_shelf(studio, "vessel") if isinstance(kept.thing, Vessel)]
    context = {
        "vessels": vessels,
        "longest_mm": max((max(one.length_mm, one.width_mm or 0.0) for one in vessels), default=1.0),
        "bases": _names(studio, "base"),
        "over": typed.get("over", ""),
        "typed": typed,
        "wrong": wrong,
    }
    return render(request, "lots/unplanned.html", context, status=status)


def start_pot(request: Request, form: FormData) -> Response:
    """Starts a pot without a plan and opens its sheet."""
    skeins = text(form, "skeins")
    if text(form, "do") == "look":  # Enter in a field: no pot is chosen by that
        return _vessels_page(request, texts(form))
    if skeins and not (skeins.isdecimal() and int(skeins) < 10_000):
        return _vessels_page(request, texts(form), wrong="How many skeins is a whole number; leave it out where you do not know.", status=422)
    wanted = StartUnplannedPot(
        vessel=text(form, "vessel") or "Pot 1",
        base=text(form, "base"),
        skeins=int(skeins or 0),
        over=text(form, "over"),
        title=text(form, "title"),
        key=key_of(form),
    )
    lot = start_unplanned_pot(studio_of(request), wanted)
    return go(request, str(request.app.url_path_for("lot", code=lot.code)))


def _page(request: Request, wanted: Wanted, *, error: SkeinwrightError | None = None, over: str = "", status: int = 200) -> Response:
    studio = studio_of(request)
    kept = list_colourways(studio)
    context: dict[str, Any] = {
        "colourways": [{"id": str(one.id), "name": one.thing.name, "here": str(one.id) == wanted.colourway} for one in kept],
        "wanted": wanted,
        "bases": _names(studio, "base"),
        "vessels": _names(studio, "vessel"),
        "earlier": [(one.code, one.title) for one in list_lots(studio, ListLots(limit=40))],
        "over": over,
    }
    made = _draft(studio, wanted)
    wrong = " ".join(one.sentence for one in _problems(error) if one.where not in made["wrong_cells"] and str(one) != made["why_not"])
    return render(request, "lots/new.html", context | made | {"wrong": wrong}, status=status)


def _draft(studio: Studio, wanted: Wanted) -> dict[str, Any]:
    """The draft for the template, or what is wrong: beside its cell of the rows, else as a sentence of its own."""
    none: dict[str, Any] = {"lot": None, "pots": [], "steps": [], "refused": (), "why_not": "", "wrong_cells": {}, "oob": False}
    if not wanted.colourway or not wanted.rows:
        return none
    asked, problems = _request(studio, wanted)
    drafted = None
    try:
        drafted = draft_lot(studio, asked)
    except SkeinwrightError as error:
        problems += _problems(error)
    if problems or drafted is None:
        cells = {_cell(number, key) for number in range(1, len(wanted.rows) + 1) for key in FIELDS}
        beside = {one.where: one.sentence for one in reversed(problems) if one.where in cells}
        return none | {"wrong_cells": beside, "why_not": " ".join(str(one) for one in problems if one.where not in cells)}
    lot = drafted.lot
    return none | {"lot": lot, "pots": _pots(drafted), "steps": _steps(lot), "refused": drafted.refused}


def _problems(error: SkeinwrightError | None) -> tuple[SkeinwrightError, ...]:
    return error.problems if isinstance(error, ManyBadInputs) else () if error is None else (error,)


def _pots(drafted: LotDraft) -> list[dict[str, Any]]:
    lot = drafted.lot
    found = []
    for vessel in vessels_of(lot):
        rows = [row for row in lot.rows if row.vessel == vessel]
        doses = [(planned.number, dose) for planned in lot.plan for dose in planned.doses if dose.vessel == vessel]
        found.append(
            {
                "vessel": vessel,
                "fibre": say("mass", sum(row.fibre_g for row in rows)),
                "rows": [f"{row.skeins} × {say('mass', row.skein_g)} {row.base}" + (f" ({row.mark})" if row.mark else "") for row in rows],
                "doses": [{"amount": dose.said or say_amount(dose.amount, dose.unit), "name": dose.name, "step": number} for number, dose in doses],
            }
        )
    return found


def _steps(lot: Lot) -> list[dict[str, Any]]:
    several = len(vessels_of(lot)) > 1
    return [
        {
            "number": planned.number,
            "start": clock(planned.start_min),
            "text": planned.sentence if several else sentence_in(planned, vessels_of(lot)[0]),
            "notes": planned.notes,
            "heads": [one.head for one in cautions_of((*planned.cautions, *(key for _, key in planned.cautions_in)), slip=True)],
        }
        for planned in lot.plan
    ]


def _request(studio: Studio, wanted: Wanted) -> tuple[StartLot, tuple[SkeinwrightError, ...]]:
    """What is asked for, and which cells could not be read: one skein of its put-up stands in for those, so that the rest is looked at as well."""
    habits = get_settings(studio).habits()
    rows: list[RowWanted] = []
    problems: list[SkeinwrightError] = []
    for number, row in enumerate(wanted.rows, start=1):
        skeins, skein_g = 1, None
        if row["skeins"].isdecimal() and 0 < int(row["skeins"]) < 10_000:
            skeins = int(row["skeins"])
        else:
            problems.append(BadInput("Say how many skeins, as a whole number.", where=_cell(number, "skeins")))
        try:
            skein_g = parse("mass", with_unit(row["skein"], "g"), habits=habits).value if row["skein"] else None
        except BadInput as problem:
            problems.append(BadInput(problem.sentence, where=_cell(number, "skein")))
        rows.append(RowWanted(base=row["base"], skeins=skeins, vessel=row["vessel"], skein_g=skein_g, mark=row["mark"], over=row["over"].upper()))
    colourway = int(wanted.colourway) if wanted.colourway.isdecimal() else wanted.colourway
    return StartLot(colourway=colourway, rows=tuple(rows), title=wanted.title, notes=wanted.notes), tuple(problems)


def _cell(number: int, key: str) -> str:
    """How a problem names the cell of the rows that it is about."""
    return f"row {number}, {key}"


def _wanted(form: FormData) -> Wanted:
    columns = {key: [str(value).strip() for value in form.getlist(key)][:MOST_ROWS] for key in FIELDS}
    count = max((len(column) for column in columns.values()), default=0)
    rows = tuple({key: column[place] if place < len(column) else "" for key, column in columns.items()} for place in range(count))
    return Wanted(text(form, "colourway"), rows, text(form, "title"), text(form, "notes"))


def _rows_as_written(studio: Studio, colourway: str, *, over: str) -> tuple[dict[str, str], ...]:
    if colourway.isdecimal():
        try:
            rows = draft_lot(studio, StartLot(colourway=int(colourway))).lot.rows
            return tuple(
                {"base": row.base, "skeins": str(row.skeins), "skein": say("mass", row.skein_g, "g"), "vessel": row.vessel, "mark": row.mark, "over": over}
                for row in rows
            )
        except (BadInput, ManyBadInputs, Conflict):
            pass  # what cannot be read in the colourway is said by the draft
    return ({**_blank(), "over": over},)


def _with_rows(wanted: Wanted, rows: tuple[dict[str, str], ...]) -> Wanted:
    return Wanted(wanted.colourway, rows, wanted.title, wanted.notes)


def _blank() -> dict[str, str]:
    return dict.fromkeys(FIELDS, "") | {"skeins": "1"}


def _names(studio: Studio, kind: str) -> list[str]:
    return [kept.thing.name for kept in list_shelf(studio, kind)]
