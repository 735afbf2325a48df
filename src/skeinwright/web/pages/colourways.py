"""Colourways: each as its yarn, the sets below, and what was archived."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.words import WORDS
from skeinwright.services.archive_colourway import archive_colourway
from skeinwright.services.export_colourway import export_colourway
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_sets import list_sets
from skeinwright.web.act import text
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of

LONG = 8
"""With more colourways than this there is a search field."""


def show(request: Request) -> Response:
    """All colourways as cards of yarn, by name; the words of `q` must all occur in them."""
    studio, wanted = studio_of(request), request.query_params.get("q", "").strip()
    archived = request.query_params.get("archived") == "yes"
    ever = list_colourways(studio, archived=True)
    everything = [kept for kept in ever if kept.archived == archived]
    found = [kept for kept in list_colourways(studio, wanted, archived=True) if kept.archived == archived] if wanted else everything
    ids = {kept.thing.name: kept.id for kept in ever}
    every_set = list_sets(studio, archived=True)
    sets = [kept for kept in every_set if kept.archived == archived]
    context = {
        "found": found,
        "all": len(everything),
        "until": {kept.id: until for kept in found if (until := _drawn_until(kept.thing)) is not None},
        "wanted": wanted,
        "archived": archived,
        "has_archived": any(kept.archived for kept in ever) or any(kept.archived for kept in every_set),
        "is_long": bool(wanted) or len(everything) > LONG,
        "sets": [{"id": kept.id, "name": kept.thing.name, "members": [(name, ids.get(name)) for name in kept.thing.colourways]} for kept in sets],
    }
    return render(request, "colourway/list.html", context)


def _drawn_until(colourway: Colourway) -> int | None:
    """The number of the last step that its picture shows, None where it shows them all."""
    return next((at for at, step in enumerate(colourway.steps) if not WORDS[step.do].forecast), None)


def archive(request: Request, form: FormData) -> Response:
    """Puts a colourway out of sight, or back."""
    archived = text(form, "archived") == "yes"
    _, change = archive_colourway(studio_of(request), int(request.path_params["id"]), archived=archived)
    return go(request, str(request.app.url_path_for("colourways")), note_of(change))


def export(request: Request) -> Response:
    """The colourway as a TOML file."""
    file = export_colourway(studio_of(request), int(request.path_params["id"]))
    return Response(file.data, media_type=file.media_type, headers={"Content-Disposition": f'attachment; filename="{file.name}"'})
