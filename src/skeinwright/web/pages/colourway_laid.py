"""Where dye lies: the full forecast that follows a quick one, its pictures, its film, and what can be taken away of it."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.services.draw_laid import draw_laid, known
from skeinwright.services.film_session import film_session
from skeinwright.services.forecast_fully import forecast_fully
from skeinwright.web.act import text
from skeinwright.web.colourway_form import colourway_in, kept_in, own_base
from skeinwright.web.page import render, studio_of
from skeinwright.web.pages.pictures import answer

FOR_A_DAY = "private, max-age=86400"
MEDIA = {"webp": "image/webp", "png": "image/png", "gif": "image/gif"}


def begin(request: Request, form: FormData) -> Response:
    """Begins the full forecast of the form as it stands, on the base that is shown: its hairline. Nothing is kept."""
    studio = studio_of(request)
    kept = kept_in(studio, form)
    colourway = colourway_in(form, kept.thing if kept else None)
    job = forecast_fully(studio, colourway, base=own_base(colourway, text(form, "shown")) or "")
    return render(request, "colourway/laid_job.html", {"job": job})


def picture(request: Request) -> Response:
    """A map's picture, drawn from its address alone."""
    query = request.query_params
    frame = query.get("frame", "")
    data = draw_laid(
        studio_of(request),
        request.path_params["key"],
        view=query.get("view", "twisted"),
        size=query.get("size", "large"),
        frame=int(frame) if frame.isdigit() else None,
    )
    made = answer(request, data)
    made.headers["Cache-Control"] = FOR_A_DAY
    if query.get("size") == "paper":
        made.headers["Content-Disposition"] = f'attachment; filename="skein {query.get("view", "twisted")}.png"'.encode("ascii", "ignore").decode()
    return made


def film(request: Request) -> Response:
    """The session as a short loop, to take away."""
    form = request.path_params["form"]
    made = answer(request, film_session(studio_of(request), request.path_params["key"], form=form), MEDIA.get(form, "application/octet-stream"))
    made.headers["Content-Disposition"] = f'attachment; filename="session.{form}"'
    return made


def skein_map(request: Request) -> Response:
    """The skein map, for a script."""
    made = answer(request, known(request.path_params["key"]).skein.to_npz(), "application/octet-stream")
    made.headers["Content-Disposition"] = 'attachment; filename="map.npz"'
    return made
