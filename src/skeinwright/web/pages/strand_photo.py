"""A strand's thickness read in a photo, for the washing test: the photo is kept, four places are pointed at, the figure goes back to the test."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, PhotoRefused
from skeinwright.services.find_photo import find_photo
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.measure_strand import StrandInPhoto, StrandMeasured, measure_strand
from skeinwright.web.act import text, upload
from skeinwright.web.forms import problems_by_field
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.pages.base_page import FIELDS, washing_with
from skeinwright.web.picking import share

PLACES = (("ra", "Ruler, first mark"), ("rb", "Ruler, second mark"), ("sa", "Strand, one end"), ("sb", "Strand, other end"))
WAYS = ("wet", "dry")


def keep(request: Request, form: FormData) -> Response:
    """Keeps the photo and goes on to point at places in it; what was typed in the test goes along."""
    number, said = int(request.path_params["id"]), {field: text(form, field) for field in FIELDS}
    try:
        name, data = upload(form, "photo", what="a photo of the strand")
        kept = keep_photo(studio_of(request), data, name)
    except (BadInput, PhotoRefused) as error:
        return washing_with(request, said, {"photo": error.sentence}, status=422)
    asked = {"which": _which(text(form, "which"))} | {key: value for key, value in said.items() if value}
    return go(request, f"{request.app.url_path_for('strand_photo', id=number, photo=kept.fact.id)}?{urlencode(asked)}")


def show(request: Request) -> Response:
    """The photo and what is read in it so far."""
    studio, query = studio_of(request), request.query_params
    kept, photo = get_from_shelf(studio, "base", int(request.path_params["id"])), int(request.path_params["photo"])
    file = find_photo(studio, photo)
    said = {f"{key}{axis}": query.get(f"{key}{axis}", "") for key, _ in PLACES for axis in "xy"} | {"length": query.get("length", "").strip() or "1 cm"}
    places = {key: share(said[key]) for key in said if key != "length"}
    which = _which(query.get("which", ""))
    carried = {field: query[field] for field in FIELDS if query.get(field)}
    found: StrandMeasured | None = None
    wrong: dict[str, str] = {}
    if all(value is not None for value in places.values()):
        try:
            found = measure_strand(_asked(file.read_bytes(), places, said["length"], get_settings(studio).habits()))
        except (BadInput, ManyBadInputs, PhotoRefused) as error:
            wrong = problems_by_field(error)
    back = str(request.app.url_path_for("base_washing", id=kept.id))
    context: dict[str, Any] = {
        "kept": kept,
        "base": kept.thing,
        "photo": photo,
        "which": which,
        "here": str(request.app.url_path_for("strand_photo", id=kept.id, photo=photo)),
        "back": f"{back}?{urlencode(carried)}" if carried else back,
        "places": PLACES,
        "said": said,
        "carried": carried,
        "wrong": wrong,
        "found": found,
        "use": "" if found is None else f"{back}?{urlencode(carried | {f'{which}_width': f'{found.width_mm:.2f} mm'})}",
    }
    return render(request, "yarn/photo.html", context, status=422 if wrong else 200)


def _asked(photo: bytes, places: dict[str, float | None], length: str, habits: Any) -> StrandInPhoto:
    at = {key: (places[f"{key}x"] or 0.0, places[f"{key}y"] or 0.0) for key, _ in PLACES}
    return StrandInPhoto(photo=photo, ruler=(at["ra"], at["rb"]), strand=(at["sa"], at["sb"]), length=length, habits=habits)


def _which(word: str) -> str:
    return word if word in WAYS else WAYS[0]
