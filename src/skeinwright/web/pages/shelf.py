"""Shelf: the drawers, each thing drawn as itself, and the form that adds or changes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.shelf.items import DRAWERS, KINDS, Dye, Heat, Item, Leftover, Vessel
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.shelf.reading import say_item
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.archive_on_shelf import archive_on_shelf
from skeinwright.services.edit_shelf import edit_shelf
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.get_settings import get_settings
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.list_shelf import list_shelf
from skeinwright.web.act import text, texts
from skeinwright.web.forms import Form, form_of
from skeinwright.web.ladders import ladder_of
from skeinwright.web.leftover_depth import DepthShown, depth_shown
from skeinwright.web.notes import Note, note_of
from skeinwright.web.own_test_results import results_for
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.rows import TITLES, row_of

LONG = 12
"""A drawer with more things than this has a search field."""
EARLY = {"base": ("superwash",), "acid": ("strength",), "water": ("alkalinity_mg_l",), "vessel": ("width_mm",)}
"""Fields that need not be given and yet are asked at once, because most of what is worked out rests on them."""
SLUGS = {name.lower().replace(" ", "-"): name for name in DRAWERS}


def first_drawer(request: Request) -> Response:
    """The shelf opens at its first drawer."""
    query = f"?{request.url.query}" if request.url.query else ""
    return RedirectResponse(drawer_of(request, next(iter(KINDS))) + query, status_code=303)


def drawer(request: Request) -> Response:
    """One drawer with everything in it, drawn to scale."""
    slug = request.path_params["drawer"]
    if slug not in SLUGS:
        raise NotFound("The shelf has no such drawer.")
    wanted = request.query_params.get("q", "").strip()
    archived = request.query_params.get("archived") == "yes"
    studio = studio_of(request)
    today = studio.now().date()
    kept_of = {kind: list_shelf(studio, kind, archived=True) for kind in KINDS}
    everything = {kind: [kept for kept in found if kept.archived == archived] for kind, found in kept_of.items()}
    sections: list[dict[str, Any]] = []
    for kind in DRAWERS[SLUGS[slug]]:
        rows = [row_of(kept, today, ladder_of(studio, kept.thing) if isinstance(kept.thing, Dye) else None) for kept in everything[kind]]
        found = [row for row in rows if wanted.casefold() in f"{row.name} {row.says}".casefold()]
        sections.append({"kind": kind, "title": TITLES[kind][0], "one": TITLES[kind][1], "rows": found, "all": len(rows)})
    vessels = [row.item for section in sections for row in section["rows"] if isinstance(row.item, Vessel)]
    context = {
        "drawers": [
            {"name": name, "url": _drawer_url(request, one), "here": one == slug, "count": sum(len(everything[kind]) for kind in DRAWERS[name])}
            for one, name in SLUGS.items()
        ],
        "drawer": SLUGS[slug],
        "drawer_url": _drawer_url(request, slug),
        "sections": sections,
        "shown": [section for section in sections if section["all"] or (section is sections[0] and not archived)],
        "missing": [section for section in sections[1:] if not section["all"] and not archived],
        "wanted": wanted,
        "archived": archived,
        "has_archived": any(kept.archived for kind in DRAWERS[SLUGS[slug]] for kept in kept_of[kind]),
        "is_long": bool(wanted) or sum(section["all"] for section in sections) > LONG,
        "is_empty": not any(section["all"] for section in sections),
        "longest_mm": max((max(one.length_mm, one.width_mm or 0.0) for one in vessels), default=1.0),
    }
    return render(request, "shelf/drawer.html", context)


def new(request: Request) -> Response:
    """An empty form: it asks only what it must, and folds the rest away."""
    kind = _kind(request)
    said = {key: value for key, value in request.query_params.items() if key != "note"}
    return render(request, "shelf/new.html", _form_context(request, kind, said, adding=True))


def add(request: Request, form: FormData) -> Response:
    """Puts a new thing on the shelf."""
    kind, said = _kind(request), texts(form)
    try:
        kept, change = add_to_shelf(studio_of(request), kind, said)
    except (BadInput, ManyBadInputs, Conflict) as error:
        return render(request, "shelf/new.html", _form_context(request, kind, said, adding=True, error=_beside_name(error)), status=_status(error))
    return go(request, _after(request, kept), note_of(change))


def edit(request: Request) -> Response:
    """A thing with its picture and its form."""
    kept = _kept(request)
    said = say_item(kept.thing, get_settings(studio_of(request)).habits())
    return render(request, "shelf/edit.html", _edit_context(request, kept, said))


def save(request: Request, form: FormData) -> Response:
    """Writes the changed thing down; who saves an older state is told so and keeps what was typed."""
    kept, said = _kept(request), texts(form)
    revision = text(form, "revision")
    try:
        saved, change = edit_shelf(studio_of(request), kept.thing.kind, kept.id, said, revision=int(revision) if revision.isdigit() else kept.revision)
    except (BadInput, ManyBadInputs, Conflict) as error:
        return render(request, "shelf/edit.html", _edit_context(request, kept, said, error=_beside_name(error)), status=_status(error))
    return go(request, drawer_of(request, saved.thing.kind), note_of(change) or Note(f"{saved.thing.name} is as it was."))


def archive(request: Request, form: FormData) -> Response:
    """Puts a thing out of sight, or back."""
    kept = _kept(request)
    _, change = archive_on_shelf(studio_of(request), kept.thing.kind, kept.id, archived=text(form, "archived") == "yes")
    return go(request, drawer_of(request, kept.thing.kind), note_of(change))


def _kind(request: Request) -> str:
    kind = str(request.path_params["kind"])
    if kind not in KINDS:
        raise NotFound("The shelf keeps no such thing.")
    return kind


def _kept(request: Request) -> Kept[Item]:
    kind, id = _kind(request), int(request.path_params["id"])
    return get_from_shelf(studio_of(request), kind, id)


def _form_context(request: Request, kind: str, said: Mapping[str, str], *, adding: bool = False, error: Exception | None = None) -> dict[str, Any]:
    return {
        "kind": kind,
        "one": TITLES[kind][1],
        "home": drawer_of(request, kind),
        "home_name": next(name for name, kinds in DRAWERS.items() if kind in kinds),
        "form": _with_sources(request, kind, form_of(KINDS[kind], said, adding=adding, early=EARLY.get(kind, ()), error=error)),
    }


def _with_sources(request: Request, kind: str, form: Form) -> Form:
    """A vessel's form with the heat sources of the shelf to choose from, and a water bath where there is none yet."""
    if kind != "vessel":
        return form
    sources = [kept.thing for kept in list_shelf(studio_of(request), "heat") if isinstance(kept.thing, Heat)]
    water_bath = () if any(one.does == "water bath" for one in sources) else ("water bath",)
    return form.choosing("stands_on", ("", *(one.name for one in sources), *water_bath))


def _edit_context(request: Request, kept: Kept[Item], said: Mapping[str, str], *, error: Exception | None = None) -> dict[str, Any]:
    studio = studio_of(request)
    row = row_of(kept, studio.now().date(), ladder_of(studio, kept.thing) if isinstance(kept.thing, Dye) else None)
    longest = max(row.item.length_mm, row.item.width_mm or 0.0) if isinstance(row.item, Vessel) else 1.0
    revision = said.get("revision", str(kept.revision)) if not isinstance(error, Conflict) else str(kept.revision)
    tested = results_for(list_calibrations(studio, kept.thing.kind, kept.thing.name))
    return _form_context(request, kept.thing.kind, said, error=error) | {
        "row": row,
        "longest_mm": longest,
        "revision": revision,
        "tested": tested,
        "depth": _depth(request, kept.thing),
    }


def _depth(request: Request, item: Item) -> DepthShown | None:
    """What a leftover would dye; None for everything else."""
    return depth_shown(studio_of(request), dict(item.dyes_g), request.query_params.get("fibre", "")) if isinstance(item, Leftover) else None


def drawer_of(request: Request, kind: str) -> str:
    """The address of the drawer in which things of this kind lie."""
    return _drawer_url(request, next(slug for slug, name in SLUGS.items() if kind in DRAWERS[name]))


def _after(request: Request, kept: Kept[Item]) -> str:
    return str(request.app.url_path_for("swatches", id=kept.id)) if kept.thing.kind == "dye" else drawer_of(request, kept.thing.kind)


def _drawer_url(request: Request, slug: str) -> str:
    return str(request.app.url_path_for("shelf_drawer", drawer=slug))


def _beside_name(error: Exception) -> Exception:
    return BadInput(error.sentence, where=error.where) if isinstance(error, Conflict) else error


def _status(error: Exception) -> int:
    return 409 if isinstance(error, Conflict) else 422
