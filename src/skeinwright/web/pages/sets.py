"""Sets: colourways in order, for a fade, minis or a sock pair."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colourway.colourway import ColourwaySet
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.archive_set import archive_set
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_sets import list_sets
from skeinwright.services.save_set import save_set
from skeinwright.web.act import text
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of


def new(request: Request) -> Response:
    """An empty set."""
    return _page(request, ColourwaySet(name=""), None)


def edit(request: Request) -> Response:
    """A kept set."""
    kept = _kept(request)
    return _page(request, kept.thing, kept)


def add(request: Request, form: FormData) -> Response:
    """Changes the order on the page, or keeps a new set."""
    return _changed(request, form, None)


def save(request: Request, form: FormData) -> Response:
    """Changes the order on the page, or keeps the set."""
    return _changed(request, form, _kept(request))


def archive(request: Request, form: FormData) -> Response:
    """Puts a set out of sight, or back."""
    _, change = archive_set(studio_of(request), _kept(request).id, archived=text(form, "archived") == "yes")
    return go(request, str(request.app.url_path_for("colourways")), note_of(change))


def ordered(members: list[str], act: str, adding: str) -> list[str]:
    """The members after a press on "add", "up.2", "down.2" or "remove.2" (from 0); anything else changes nothing."""
    what, _, number = act.partition(".")
    at = int(number) if number.isdigit() else -1
    if what == "add" and adding and adding not in members:
        return [*members, adding]
    if not 0 <= at < len(members):
        return members
    if what == "remove":
        return [*members[:at], *members[at + 1 :]]
    to = at + {"up": -1, "down": 1}.get(what, 0)
    if to == at or not 0 <= to < len(members):
        return members
    moved = [*members]
    moved[at], moved[to] = moved[to], moved[at]
    return moved


def _changed(request: Request, form: FormData, kept: Kept[ColourwaySet] | None) -> Response:
    members = [name for one in form.getlist("member") if isinstance(one, str) and (name := one.strip())]
    act = text(form, "act")
    stands = ColourwaySet(name=text(form, "name"), colourways=tuple(ordered(members, act, text(form, "adding"))), notes=text(form, "notes"))
    if act:
        return _page(request, stands, kept)
    revision = text(form, "revision")
    try:
        saved, change = save_set(
            studio_of(request), stands, key=kept.id if kept else None, revision=(int(revision) if revision.isdigit() else kept.revision) if kept else None
        )
    except (BadInput, ManyBadInputs, Conflict) as error:
        return _page(request, stands, kept, error=error, status=409 if isinstance(error, Conflict) else 422)
    return go(request, str(request.app.url_path_for("set", id=saved.id)), note_of(change))


def _page(request: Request, stands: ColourwaySet, kept: Kept[ColourwaySet] | None, *, error: Exception | None = None, status: int = 200) -> Response:
    everything = list_colourways(studio_of(request), archived=True)
    ids = {one.thing.name: one for one in everything}
    wrong = {"name": error.sentence} if isinstance(error, Conflict) else problems_by_field(error)
    context: dict[str, Any] = {
        "set": stands,
        "kept": kept,
        "members": [(name, ids.get(name)) for name in stands.colourways],
        "others": [one.thing.name for one in everything if not one.archived and one.thing.name not in stands.colourways],
        "wrong": wrong,
        "here": request.url.path,
    }
    return render(request, "colourway/set.html", context, status=status)


def _kept(request: Request) -> Kept[ColourwaySet]:
    id = int(request.path_params["id"])
    found = next((one for one in list_sets(studio_of(request), archived=True) if one.id == id), None)
    if found is None:
        raise NotFound("There is no such set in this studio.")
    return found
