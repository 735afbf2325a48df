"""Taking the shelf along, in files that other programs read."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.shelf.items import KINDS
from skeinwright.services.export_shelf import SWATCHES, export_shelf
from skeinwright.services.list_shelf import list_shelf
from skeinwright.web.page import render, studio_of
from skeinwright.web.rows import TITLES

EVERYTHING = "everything"


def show(request: Request) -> Response:
    """What can be taken along."""
    studio = studio_of(request)
    files = [{"what": kind, "title": TITLES[kind][0], "count": count} for kind in KINDS if (count := len(list_shelf(studio, kind)))]
    return render(request, "shelf/export.html", {"files": files, "everything": EVERYTHING, "swatches": SWATCHES})


def download(request: Request) -> Response:
    """One file."""
    what = request.path_params["what"]
    file = export_shelf(studio_of(request), "" if what == EVERYTHING else what)
    return Response(file.data, media_type=file.media_type, headers={"Content-Disposition": f'attachment; filename="{file.name}"', "Cache-Control": "no-store"})
