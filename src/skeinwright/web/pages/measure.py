"""Measure: a photo in, the photo sheet to print, the check of a printer's rulers, and what was kept so far."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, PhotoRefused
from skeinwright.core.measure.sheet import A4, GREYS_LINEAR, PATTERNS
from skeinwright.core.shelf.field import Ask
from skeinwright.services.check_ruler import CheckRuler, check_ruler
from skeinwright.services.export_readings import export_readings
from skeinwright.services.find_measured_colour import find_measured_colour
from skeinwright.services.forget_reading import forget_reading
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_photos import list_photos
from skeinwright.services.list_readings import list_readings
from skeinwright.services.make_photo_sheet import make_photo_sheet
from skeinwright.web.act import text, texts, upload
from skeinwright.web.forms import form_from
from skeinwright.web.measure_ask import MOST_BYTES, PHOTOS, Asked, asked_in
from skeinwright.web.measure_view import beside_of, colour_of, kept_view
from skeinwright.web.notes import Note, note_of
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.recipe_form import address

PAPERS = (("a4", "A4"), ("letter", "US Letter"))
MOST_READINGS = 60
MOST_PHOTOS = 12
EVERY = 1_000_000
RULERS = {
    "printer": Ask("Printer", "text", need=True, help="A name of your own for it, such as 'by the door'. Checked once, it is used for every photo."),
    "across": Ask("Across, the 200 mm on the sheet", "length", need=True, help="What a real ruler shows along the printed 200 mm, such as 199.5 mm."),
    "upright": Ask("Upright, the 200 mm on the page of instructions", "length", need=True, help="A printer may stretch one direction more than the other."),
}


def show(request: Request) -> Response:
    """The screen."""
    return _page(request, asked_in(request.query_params))


def open_photo(request: Request, form: FormData) -> Response:
    """Keeps the photo, without its place and other hidden data, and opens it."""
    asked = asked_in(texts(form))
    try:
        name, data = upload(form, "photo", what="a photo")
        kept = keep_photo(studio_of(request), data, name, keep_wide=True)
    except (BadInput, PhotoRefused) as error:
        return _page(request, asked, wrong_photo=error.sentence)
    place = address(f"/measure/{kept.fact.id}", {**asked.again, "new": "yes"})
    return go(request, place, Note(" ".join(kept.notes)) if kept.notes else None)


def sheet(request: Request) -> Response:
    """The photo sheet as PDF, to be printed."""
    paper = request.query_params.get("paper", "a4")
    headers = {"Content-Disposition": f'inline; filename="photo-sheet-{paper if paper in dict(PAPERS) else "a4"}.pdf"'}
    return Response(make_photo_sheet(paper), media_type="application/pdf", headers=headers)


def check_printer(request: Request, form: FormData) -> Response:
    """Notes what a printer makes of the two rulers."""
    said = texts(form)
    try:
        printer = check_ruler(studio_of(request), CheckRuler(printer=text(form, "printer"), across=text(form, "across"), upright=text(form, "upright")))
    except BadInput as error:
        return _page(request, Asked(), said=said, error=error)
    return go(request, "/measure", Note(f"Printer {printer.name}: {printer.across_mm:g} mm across, {printer.upright_mm:g} mm upright."))


def forget(request: Request, form: FormData) -> Response:
    """Takes a kept reading back."""
    return go(request, "/measure", note_of(forget_reading(studio_of(request), int(request.path_params["id"]))))


def export(request: Request) -> Response:
    """The kept readings as CSV."""
    file = export_readings(studio_of(request), request.query_params.get("lot", ""))
    return Response(file.data, media_type=file.media_type, headers={"Content-Disposition": f'attachment; filename="{file.name}"', "Cache-Control": "no-store"})


def of_lot(request: Request) -> Response:
    """The measured colour of a lot, as a piece of the lot's own page."""
    code = str(request.path_params["code"]).upper()
    found = find_measured_colour(studio_of(request), code)
    readings = [kept_view(one) for one in list_readings(studio_of(request), code)]
    photos = [entry.photo for entry in get_lot(studio_of(request), code).state.photos if entry.photo is not None]
    last = found.last if found is not None else None
    context = {
        "code": code,
        "found": found,
        "colour": colour_of(found.reading.lab.values) if found else None,
        "beside_url": beside_of(last.other, found.reading) if found and last and not last.same_photo else "",
        "readings": readings,
        "photos": photos,
    }
    return render(request, "measure/of_lot.html", context)


def _grey(linear: float) -> str:
    """A grey of the sheet as a screen shows it: sRGB's curve, 1.055 Y^(1/2.4) - 0.055."""
    byte = round(255 * (1.055 * linear ** (1 / 2.4) - 0.055))
    return f"#{byte:02x}{byte:02x}{byte:02x}"


def _page(request: Request, asked: Asked, *, said: Mapping[str, str] | None = None, error: BadInput | None = None, wrong_photo: str = "") -> Response:
    studio = studio_of(request)
    printers = get_settings(studio).printers
    most_readings, most_photos = (EVERY, EVERY) if request.query_params.get("all") == "yes" else (MOST_READINGS, MOST_PHOTOS)
    readings, photos = list_readings(studio, limit=most_readings + 1), list_photos(studio, limit=most_photos + 1)
    context: dict[str, Any] = {
        "lot": asked.lot[:20],
        "again": asked.again,
        "again_says": asked.again_says,
        "most_bytes": MOST_BYTES,
        "photos_read": PHOTOS,
        "papers": PAPERS,
        "sheet": {"page": A4, "patterns": PATTERNS, "greys": [_grey(one) for one in GREYS_LINEAR]},
        "printers": printers,
        "rulers": form_from(RULERS, said or {}, error=error),
        "rulers_open": error is not None,
        "wrong_photo": wrong_photo,
        "readings": [kept_view(one) for one in readings[:most_readings]],
        "photos": photos[:most_photos],
        "more_readings": len(readings) > most_readings,
        "more_photos": len(photos) > most_photos,
        "every_url": address("/measure", {**asked.again, "all": "yes"}),
    }
    return render(request, "measure/measure.html", context, status=422 if error or wrong_photo else 200)
