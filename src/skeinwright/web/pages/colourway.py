"""The editor of one colourway: the yarn in the middle, the steps beside it, and what follows from them in the margin, live."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.core.shelf.items import Acid, Dye
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.draw_skein import VIEW_WORDS
from skeinwright.services.follow_pot import follow_pot
from skeinwright.services.forecast_colourway import MOST_BASES, ColourwaySheet, forecast_colourway
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_settings import get_settings
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio
from skeinwright.services.warm_up import warming
from skeinwright.web import colourway_margin as margin
from skeinwright.web import colourway_view as view
from skeinwright.web.act import text
from skeinwright.web.bands_view import bands_of
from skeinwright.web.colourway_form import Edited, a_bath, a_kettle, a_pan, colourway_in, edited, kept_in, own_base
from skeinwright.web.colourway_laid import WISH_FIELDS, told_of, wish_of
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, is_fragment, render, studio_of
from skeinwright.web.pot_form import FIELDS as POT_FIELDS
from skeinwright.web.pot_form import asked_in
from skeinwright.web.pot_view import shown_pot
from skeinwright.web.zoom_view import rules_of

HEAD = ("name", "fibre", "bases", "vessel", "water", "over", "notes")


def new(request: Request) -> Response:
    """A colourway that begins as a bath written out, a pan with powder, a kettle, or empty."""
    studio = studio_of(request)
    usual = _usual(studio)
    start = request.query_params.get("start", "bath")
    begin = {"pan": a_pan, "bath": a_bath, "kettle": a_kettle}.get(start)
    steps = () if begin is None else begin(usual)
    bases = [kept.thing.name for kept in list_shelf(studio, "base")]
    begun = Colourway(name="", steps=steps, fibre="100 g", bases=tuple(bases[:1]), vessel=_a_vessel(studio, start), water=_only(studio, "water"))
    return _page(request, begun, None, request.query_params)


def edit(request: Request) -> Response:
    """A kept colourway."""
    kept = get_colourway(studio_of(request), int(request.path_params["id"]))
    return _page(request, kept.thing, kept, request.query_params)


def forecast(request: Request, form: FormData) -> Response:
    """What follows from the form as it stands, in parts that take the place of those on the page. Nothing is kept."""
    kept = kept_in(studio_of(request), form)
    colourway = colourway_in(form, kept.thing if kept else None)
    return render(request, "colourway/live.html", _context(request, colourway, kept, _texts(form)))


def pot(request: Request, form: FormData) -> Response:
    """The pot of the form as it stands, with bands and all that is said of it: it takes longer than the live answer, and follows it. Nothing is kept."""
    kept = kept_in(studio_of(request), form)
    colourway, studio = colourway_in(form, kept.thing if kept else None), studio_of(request)
    asked = asked_in(_texts(form))
    sheet = follow_pot(studio, colourway, base=own_base(colourway, text(form, "shown")), asked=asked.question)
    return render(request, "colourway/pot_live.html", {"pot": shown_pot(sheet, get_settings(studio).currency), "asked": asked})


def steps(request: Request, form: FormData) -> Response:
    """A step added, moved, taken out or put back: the whole form again. Nothing is kept."""
    kept = kept_in(studio_of(request), form)
    colourway = colourway_in(form, kept.thing if kept else None)
    done = edited(form, colourway.steps, _usual(studio_of(request)))
    return _page(request, replace(colourway, steps=done.steps), kept, _texts(form), done=done, unsaved=True)


def save(request: Request, form: FormData) -> Response:
    """Keeps it. What cannot be kept is told beside its field, and everything typed stays."""
    kept = kept_in(studio_of(request), form)
    colourway = colourway_in(form, kept.thing if kept else None)
    copy = text(form, "copy") == "yes"
    if copy and kept is not None and colourway.name.casefold() == kept.thing.name.casefold():
        colourway = replace(colourway, name=f"{colourway.name} copy")
    target = None if copy or kept is None else kept
    revision = text(form, "revision")
    try:
        if target is None:
            saved, change = save_colourway(studio_of(request), colourway)
        else:
            since = int(revision) if revision.isdigit() else target.revision
            saved, change = save_colourway(studio_of(request), colourway, key=target.id, revision=since)
    except (BadInput, ManyBadInputs, Conflict) as error:
        status = 409 if isinstance(error, Conflict) else 422
        return _page(request, colourway, kept, _texts(form), error=error, unsaved=True, status=status)
    return go(request, _after(request, saved.id, form), note_of(change))


def _after(request: Request, id: int, form: FormData) -> str:
    """The page of a kept colourway, seen as it was."""
    from urllib.parse import urlencode

    seen = {key: text(form, key) for key in ("view", "shown", "beside") if text(form, key) not in ("", VIEW_WORDS[0])}
    return str(request.app.url_path_for("colourway", id=id)) + (f"?{urlencode(seen)}" if seen else "")


def _page(
    request: Request,
    colourway: Colourway,
    kept: Kept[Colourway] | None,
    said: Mapping[str, str],
    *,
    done: Edited | None = None,
    error: Exception | None = None,
    unsaved: bool = False,
    status: int = 200,
) -> Response:
    context = _context(request, colourway, kept, said, done=done, error=error, unsaved=unsaved)
    return render(request, "colourway/form.html" if is_fragment(request) else "colourway/page.html", context, status=status)


def _context(
    request: Request,
    colourway: Colourway,
    kept: Kept[Colourway] | None,
    said: Mapping[str, str],
    *,
    done: Edited | None = None,
    error: Exception | None = None,
    unsaved: bool = False,
) -> dict[str, Any]:
    studio, asked = studio_of(request), asked_in(said)
    views = view.views_of(colourway)
    chosen, beside = view.view_of(said.get("view", ""), views), said.get("beside", "") == "yes"
    laid_on = None if beside else (said.get("shown", ""),)
    sheet = forecast_colourway(studio, colourway, laid_on=laid_on, even_too=chosen == "in the pan")
    beside = beside and len(sheet.bases) > 1
    everything = view.seen(sheet, chosen, "middling" if beside else "large")
    shown = next((one for one in everything if one.base == said.get("shown", "")), everything[0])
    visible = everything if beside else [shown]
    return {
        "kept": kept,
        "colourway": colourway,
        "title": margin.title_of(kept.thing if kept else colourway),
        "sheet": sheet,
        "steps": view.step_rows(colourway.steps, sheet.problems),
        "told": view.steps_told(sheet),
        "all_seen": everything,
        "shown": shown,
        "visible": visible,
        "beside": beside,
        "view": chosen,
        "views": views,
        "laid": told_of(sheet.bases[shown.place].laid) if not beside else None,
        "has_powder": any(step.do == "sprinkle" for step in colourway.steps),
        "wish": wish_of(said, sheet.bases[shown.place]),
        "pot": shown_pot(follow_pot(studio, colourway, base=own_base(colourway, shown.base), draws=0, asked=asked.question), get_settings(studio).currency),
        "asked": asked,
        "bands": bands_of(colourway.steps, sheet, shown.place),
        "rules": rules_of(sheet, chosen),
        "warming": warming(studio),
        "amounts": margin.amounts(sheet),
        "bath": margin.bath_lines(sheet),
        "cost": margin.cost_of(sheet, get_settings(studio).currency),
        "cautions": margin.margin_cautions(sheet),
        "assumed": margin.assumed_of(sheet, [sheet.bases[one.place] for one in visible]),
        "done": done,
        "unsaved": unsaved,
        "revision": kept.revision if kept and isinstance(error, Conflict) else said.get("revision", kept.revision if kept else ""),
        "head": _head(sheet, error),
        "general": _general(error),
        "choices": _choices(studio),
        "words": list(WORDS),
        "most_bases": MOST_BASES,
        "lot_url": _lot_url(request, kept),
    }


def _head(sheet: ColourwaySheet, error: Exception | None) -> dict[str, str]:
    """{field of the head: what is wrong with it}."""
    found = {problem.slot: problem.sentence for problem in sheet.problems if problem.step == 0}
    if isinstance(error, Conflict):
        return found | {"name": error.sentence}
    return found | {field: sentence for field, sentence in problems_by_field(error).items() if field in HEAD}


def _general(error: Exception | None) -> list[str]:
    return [] if isinstance(error, Conflict) else [sentence for field, sentence in problems_by_field(error).items() if not field]


def _choices(studio: Studio) -> dict[str, list[str]]:
    """The names on the shelf, by kind."""
    kinds = ("dye", "solution", "blend", "acid", "auxiliary", "leftover", "vessel", "base", "water")
    return {kind: [kept.thing.name for kept in list_shelf(studio, kind)] for kind in kinds}


def _usual(studio: Studio) -> dict[str, str]:
    """What a new step is filled with, by kind of slot: the first dye that has a swatch, the first acid, and so on."""
    dyes = [kept.thing for kept in list_shelf(studio, "dye")]
    with_swatch = [dye for dye in dyes if isinstance(dye, Dye) and dye.swatches]
    acids = [kept.thing for kept in list_shelf(studio, "acid")]
    vinegar = [acid for acid in acids if isinstance(acid, Acid) and acid.acid == "vinegar"]
    found = {"dye": (with_swatch or dyes)[:1], "acid": (vinegar or acids)[:1]}
    usual = {kind: things[0].name for kind, things in found.items() if things}
    for kind in ("vessel", "leftover", "solution"):
        first = list_shelf(studio, kind)[:1]
        if first:
            usual[kind] = first[0].thing.name
    for kept in list_shelf(studio, "auxiliary"):
        usual.setdefault(f"add {getattr(kept.thing, 'does', '')}", kept.thing.name)
    return usual


def _a_vessel(studio: Studio, start: str) -> str:
    """A pan for powder, else a pot: the largest that is round, or flat for a pan."""
    wanted = "rectangle" if start == "pan" else "round"
    vessels = [kept.thing for kept in list_shelf(studio, "vessel")]
    vessels.sort(key=lambda one: (getattr(one, "shape", "") != wanted, -getattr(one, "length_mm", 0.0)))
    return vessels[0].name if vessels else ""


def _only(studio: Studio, kind: str) -> str:
    things = list_shelf(studio, kind)
    return things[0].thing.name if len(things) == 1 else ""


def _texts(form: FormData) -> dict[str, str]:
    return {key: text(form, key) for key in ("view", "shown", "beside", "revision", *WISH_FIELDS, *POT_FIELDS)}


def _lot_url(request: Request, kept: Kept[Colourway] | None) -> str:
    """Where a lot of it is started, "" while there is no such page or it is not kept."""
    exists = any(getattr(route, "path", "") == "/lots/new" for route in request.app.routes)
    return f"/lots/new?colourway={kept.id}" if exists and kept is not None else ""
