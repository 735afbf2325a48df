"""Pictures: a strand, a ladder, a kept photo. Each carries a tag of its content, so that a browser asks again for little."""

from __future__ import annotations

import hashlib

from starlette.requests import Request
from starlette.responses import FileResponse, Response

from skeinwright.services.draw_ladder import draw_ladder
from skeinwright.services.draw_strand import draw_strand
from skeinwright.services.find_photo import find_photo
from skeinwright.web.page import studio_of


def strand(request: Request) -> Response:
    """A base's strand, close up; with `?washed=yes` as washing leaves it."""
    washed = request.query_params.get("washed") == "yes"
    return answer(request, draw_strand(studio_of(request), int(request.path_params["id"]), washed=washed))


def ladder(request: Request) -> Response:
    """A dye's strip from pale to deep."""
    return answer(request, draw_ladder(studio_of(request), int(request.path_params["id"])))


def photo(request: Request) -> Response:
    """A kept photo, or its small form with `?small=yes`. A number once given always means the same photo."""
    path = find_photo(studio_of(request), int(request.path_params["photo"]), preview=request.query_params.get("small") == "yes")
    return FileResponse(path, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=31536000, immutable"})


def answer(request: Request, data: bytes, media_type: str = "image/png") -> Response:
    """The picture, or "not changed" where the browser has it already."""
    tag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": "private, no-cache"}
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(data, media_type=media_type, headers=headers)
