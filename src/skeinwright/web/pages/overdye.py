"""Overdye: a photo of an ugly skein, and three overdyes of it on its own picture; each can be kept as a colourway, or started as a lot."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, NotFound, PhotoRefused
from skeinwright.services.find_job import find_job
from skeinwright.services.find_overdyes import OverdyesFound
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.keep_recipe import KeepRecipe, keep_recipe
from skeinwright.services.list_photos import list_photos
from skeinwright.services.run_in_background import Job
from skeinwright.web.act import text, upload
from skeinwright.web.forms import problems_by_field
from skeinwright.web.measure_ask import MOST_BYTES, PHOTOS
from skeinwright.web.notes import Note, note_of
from skeinwright.web.overdye_ask import MOST, Asked, answer_of, asked_in
from skeinwright.web.overdye_view import view_of
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.recipe_form import address, choices_of, doses_in, tools

PRIVATE = {"Cache-Control": "private, max-age=600"}
MOST_PHOTOS = 500
FIELDS = ("target", "piece", "frame", "white", "deepest", "base", "fibre", "dyes", "most")


def show(request: Request) -> Response:
    """The choice of a photo; or the photo's skein with three overdyes, being looked for, found, or why there are none."""
    return _page(request, asked_in(request.query_params, studio_of(request)))


def _page(request: Request, asked: Asked, wrong_photo: str = "") -> Response:
    studio = studio_of(request)
    choices = choices_of(studio)
    if asked.photo and not asked.base and choices.bases:
        asked = replace(asked, base=choices.bases[0])
    context: dict[str, Any] = {
        "asked": asked,
        "tools": tools(request),
        "choices": choices,
        "most_dyes": MOST,
        "photos_read": PHOTOS,
        "most_bytes": MOST_BYTES,
        "wrong_photo": wrong_photo,
        "wrong": {},
        "refused": "",
        "job": None,
        "found": None,
        "known_fields": FIELDS,
    }
    if not asked.photo or not choices.dyes:
        context["photos"] = list_photos(studio, limit=MOST_PHOTOS)
        return render(request, "overdye/begin.html", context, status=422 if wrong_photo else 200)
    answer = answer_of(request, asked, choices.facts)
    found = answer.result if isinstance(answer, Job) and answer.state == "done" else answer
    if isinstance(found, OverdyesFound) and isinstance(answer, Job):
        context["found"] = view_of(found, asked, choices.facts, f"/overdye/{answer.token}", get_settings(studio).currency)
        return render(request, "overdye/skein.html", context)
    if isinstance(found, Job):
        return render(request, "overdye/skein.html", context | {"job": found})
    if isinstance(found, PhotoRefused):
        return render(request, "overdye/skein.html", context | {"refused": found.sentence})
    return render(request, "overdye/skein.html", context | {"wrong": problems_by_field(found if isinstance(found, Exception) else None)}, status=422)


def open_photo(request: Request, form: FormData) -> Response:
    """Keeps the photo, without its place and other hidden data, and opens it here."""
    asked = Asked(lot=text(form, "lot").upper()[:20])
    try:
        name, data = upload(form, "photo", what="a photo")
        kept = keep_photo(studio_of(request), data, name, keep_wide=True)
    except (BadInput, PhotoRefused) as error:
        return _page(request, asked, error.sentence)
    place = replace(asked, photo=str(kept.fact.id)).url
    return go(request, place, Note(" ".join(kept.notes)) if kept.notes else None)


def picture(request: Request) -> Response:
    """The skein (0) or one of its overdyes (1 to 3), as they were painted."""
    job = find_job(studio_of(request), request.path_params["token"])
    number = int(request.path_params["number"])
    if not isinstance(job.result, OverdyesFound) or not 0 <= number <= len(job.result.shown):
        raise NotFound("There is no such picture.")
    data = job.result.picture if number == 0 else job.result.shown[number - 1].picture
    return Response(data, media_type="image/jpeg", headers=PRIVATE)


def keep(request: Request, form: FormData) -> Response:
    """Keeps an overdye as a colourway and opens it."""
    kept, change = keep_recipe(studio_of(request), _recipe(request, form))
    return go(request, str(request.app.url_path_for("colourway", id=kept.id)), note_of(change))


def start(request: Request, form: FormData) -> Response:
    """Keeps it, and opens a new lot of it with the skein's lot under it."""
    recipe = _recipe(request, form)
    kept, change = keep_recipe(studio_of(request), recipe)
    place = address(str(request.app.url_path_for("lot_new")), {"colourway": str(kept.id), "over": recipe.over})
    return go(request, place, note_of(change))


def _recipe(request: Request, form: FormData) -> KeepRecipe:
    lot, photo = text(form, "lot").upper(), text(form, "photo")
    over = "" if lot else f"Over the skein in photo {photo}, {text(form, 'ground')}. What is forecast of it here is for undyed yarn."
    return KeepRecipe(
        name=text(form, "name"),
        doses=gather_dyes(studio_of(request)).depths(doses_in(form)),
        fibre=text(form, "fibre") or "100 g",
        base=text(form, "base"),
        over=lot,
        target=text(form, "target"),
        notes=over,
    )
