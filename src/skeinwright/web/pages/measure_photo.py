"""An opened photo: flattened, its yarn outlined, the verdict and the evidence; and what may be kept of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.say import say
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.shelf.swatch import Reading
from skeinwright.services.describe_reference import DescribeReference, describe_reference
from skeinwright.services.find_measured_colour import find_measured_colour
from skeinwright.services.find_photo import find_photo
from skeinwright.services.forget_photo import forget_photo
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_reading import KeepReading, keep_reading
from skeinwright.services.keep_swatches import KeepSwatches, keep_swatches
from skeinwright.services.list_lots import ListLots, list_lots
from skeinwright.services.list_readings import list_readings
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.measure_kept_photo import PhotoFigures
from skeinwright.services.run_in_background import Job
from skeinwright.services.studio import Studio
from skeinwright.web.act import text, texts
from skeinwright.web.forms import problems_by_field
from skeinwright.web.measure_ask import SAID_FORMS, WHATS, Asked, asked_in, last_reference
from skeinwright.web.measure_once import once
from skeinwright.web.measure_read import LONG_S, WAIT_S, figures_of, reading_of
from skeinwright.web.measure_view import beside_of, kept_view, view_of
from skeinwright.web.notes import Note, note_of, note_of_many
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.recipe_form import address

MOST_LOTS = 40
PRIVATE = {"Cache-Control": "private, no-cache"}


def show(request: Request) -> Response:
    """The photo, read; or being read; or why it cannot be."""
    try:
        asked = asked_in(request.query_params)
    except BadInput as problem:
        return page(request, asked_in({key: value for key, value in request.query_params.items() if not key.startswith("rect_")}), error=problem)
    return page(request, asked)


def page(request: Request, asked: Asked, *, said: dict[str, str] | None = None, error: Exception | None = None) -> Response:
    """The page with what was typed in its forms, and what is wrong beside the field."""
    studio, photo = studio_of(request), int(request.path_params["photo"])
    find_photo(studio, photo)
    here = f"/measure/{photo}"
    then = address(here, {**asked.said, "new": "yes", "note": request.query_params.get("note", "")})
    found = reading_of(request, photo, asked, then, LONG_S if error else WAIT_S)  # what was typed must not be lost when the page comes anew
    problem = found if isinstance(found, BadInput) else error
    context: dict[str, Any] = {
        "photo": photo,
        "here": here,
        "asked": asked,
        "forms": SAID_FORMS,
        "printers": get_settings(studio).printers,
        "last_reference": last_reference(studio) if not asked.reference else "",
        "known": _known_swatches(studio),
        "typed": said or {},
        "wrong": _problems(problem),
        "job": found if isinstance(found, Job) else None,
        "then": then,
        "again_url": address("/measure", asked.again),
        "usual_url": f"{here}{Asked(lot=asked.lot).query}",
        "read": None,
        "undo_back": f"{here}{asked.query}",
        "is_new": request.query_params.get("new") == "yes",
        "flat_url": f"{here}/flat.jpg{asked.query}",
        "beside_url": f"/measure/beside?a={photo}",
        "kept": _kept(studio, photo),
        "kept_swatches": _kept_swatches(studio, photo),
    }
    if isinstance(found, PhotoFigures):
        context |= {"read": view_of(found), **_choices(studio), "lot_base": _base_of(studio, asked.lot)}
    return render(request, "measure/photo.html", context, status=422 if problem else 200)


def _problems(error: Exception | None) -> dict[str, str]:
    """What is wrong, by the field of this page that it belongs to; of a reference the row and column as well, for it is one field."""
    places = {"ruler": "printer", "": "photo", "tap": "outline"}
    found = {}
    for where, sentence in problems_by_field(error).items():
        field, _, cell = where.partition(", ")
        found[places.get(field, field)] = f"{cell[:1].upper()}{cell[1:]}: {sentence}" if cell else sentence
    return found


def flat(request: Request) -> Response:
    """The flattened picture."""
    photo = int(request.path_params["photo"])
    asked = asked_in(request.query_params)
    figures = figures_of(request, asked.request(photo), asked)
    if not figures.flat:
        raise NotFound("The sheet was not found in this photo, so there is no flat picture of it.")
    return Response(figures.flat, media_type="image/jpeg", headers=PRIVATE)


def read_as(request: Request, form: FormData) -> Response:
    """Takes the form with an uploaded reference, or one swatch more in it, and goes to the address that says so."""
    photo = int(request.path_params["photo"])
    said = texts(form)
    asked = asked_in({key: value for key, value in said.items() if not key.startswith("rect_")})
    try:
        asked = asked_in({**said, "reference": _reference(studio_of(request), form)})
    except (BadInput, NotFound) as problem:
        return page(request, asked, said=said, error=problem)
    return go(request, f"/measure/{photo}{asked.query}")


def _reference(studio: Studio, form: FormData) -> str:
    sent = form.get("reference_file")
    reference = text(form, "reference")
    if isinstance(sent, UploadFile) and sent.filename:
        try:
            reference = sent.file.read(200_000).decode("utf-8-sig")
        except UnicodeDecodeError:
            raise BadInput("The file is not text in UTF-8: save it as CSV in UTF-8 and choose it again.", where="reference") from None
    dye, _, place = text(form, "known").partition(":")
    if not dye:
        return reference
    try:
        x, y = (float(value) for value in text(form, "at").replace("mm", "").split(","))
    except ValueError:
        raise BadInput("Say where the middle of the swatch lies, x,y in mm on the sheet, such as 60,186; or tap it in the picture.", where="at") from None
    return describe_reference(studio, DescribeReference(dye=int(dye), swatch=int(place or 0), x_mm=x, y_mm=y, reference=reference))


def swatches(request: Request, form: FormData) -> Response:
    """Keeps the pieces whose depth was typed as swatches of one dye, once, and opens its ladder."""
    return once(request, form, lambda: _keep_swatches(request, form))


def _keep_swatches(request: Request, form: FormData) -> Response:
    studio, photo, said = studio_of(request), int(request.path_params["photo"]), texts(form)
    asked = asked_in(said)
    depths = {int(key[6:]): value for key, value in said.items() if key.startswith("depth-") and key[6:].isdigit()}
    try:
        figures = figures_of(request, asked.request(photo), asked)
        changes = keep_swatches(studio, KeepSwatches(figures=figures, dye=said.get("dye", ""), depths=depths, base=said.get("base", "")))
    except (BadInput, ManyBadInputs) as error:
        return page(request, asked, said=said, error=error)
    dye = next(kept for kept in list_shelf(studio, "dye") if kept.thing.name.casefold() == said["dye"].casefold())
    count = len(changes) // 2
    note = note_of_many(changes, f"Kept {count} swatch{'' if count == 1 else 'es'} of {dye.thing.name}, measured on the photo sheet.")
    return go(request, str(request.app.url_path_for("swatches", id=dye.id)), note)


def keep(request: Request, form: FormData) -> Response:
    """Keeps the colour of one piece, once: a lot's, or one with a label of its own."""
    return once(request, form, lambda: _keep_colour(request, form))


def _keep_colour(request: Request, form: FormData) -> Response:
    studio, photo, said = studio_of(request), int(request.path_params["photo"]), texts(form)
    asked = asked_in(said)
    try:
        number = int(said.get("piece", "1")) if said.get("piece", "1").isdigit() else 0
        figures = figures_of(request, asked.request(photo), asked)
        piece = figures.piece(number)
        if figures.spread_de00 is None:
            raise BadInput("This photo was refused, so there is no colour in it to keep. Take it again.", where="piece")
        lot = said.get("of_lot", "")
        _, change = keep_reading(
            studio,
            KeepReading(
                photo=photo,
                lab=piece.lab,
                spread_de00=figures.spread_de00,
                what=WHATS[asked.form],
                state=asked.state,
                lot=lot,
                base=said.get("base", ""),
                label=said.get("label", ""),
                document=figures.document(piece),
            ),
        )
    except (BadInput, NotFound) as error:
        return page(request, asked, said=said, error=error)
    return go(request, f"/measure/{photo}{replace(asked, lot=lot).query}#kept", note_of(change))


def forget(request: Request, form: FormData) -> Response:
    """Forgets the photo, where nothing rests on it."""
    return go(request, "/measure", Note(forget_photo(studio_of(request), int(request.path_params["photo"]))))


def _known_swatches(studio: Studio) -> list[tuple[str, str]]:
    """Swatches that an instrument has read: value, words."""
    found = []
    for kept in list_shelf(studio, "dye"):
        if isinstance(kept.thing, Dye):
            for place, one in enumerate(kept.thing.swatches):
                if one.reading is Reading.INSTRUMENT:
                    found.append((f"{kept.id}:{place}", f"{kept.thing.name}, {say('fraction', one.depth)}"))
    return found


def _choices(studio: Studio) -> dict[str, Any]:
    return {
        "dyes": [kept.thing.name for kept in list_shelf(studio, "dye")],
        "bases": [kept.thing.name for kept in list_shelf(studio, "base")],
        "lots": [(line.code, line.title) for line in list_lots(studio, ListLots(limit=MOST_LOTS))],
    }


def _base_of(studio: Studio, lot: str) -> str:
    """The base of the lot that the photo was taken for, where all of it is on one."""
    try:
        bases = {row.base for row in get_lot(studio, lot).lot.rows} if lot else set()
    except NotFound:
        return ""
    return bases.pop() if len(bases) == 1 else ""


def _kept(studio: Studio, photo: int) -> list[dict[str, Any]]:
    """What was kept of this photo: each with how near its lot came to the last one, and another photo of the lot, wet or dry."""
    found = []
    for kept in (one for one in list_readings(studio, photo=photo) if one.thing.what != "swatch"):
        lot = kept.thing.lot
        measured = find_measured_colour(studio, lot) if lot else None
        is_the_one = measured is not None and measured.reading == kept.thing
        last = measured.last if measured and is_the_one else None
        last_url = beside_of(last.other, kept.thing) if last else ""
        found.append({"view": kept_view(kept), "last": last, "last_url": last_url, "others": _others(studio, kept)})
    return found


def _kept_swatches(studio: Studio, photo: int) -> list[str]:
    return list(dict.fromkeys(one.thing.said_of for one in reversed(list_readings(studio, photo=photo)) if one.thing.what == "swatch"))


def _others(studio: Studio, kept: Kept[KeptReading]) -> list[dict[str, str]]:
    """Other photos of the same lot, the other state first."""
    mine = kept.thing
    if not mine.lot:
        return []
    seen: dict[int, KeptReading] = {}
    for one in list_readings(studio, mine.lot):
        if one.thing.photo != mine.photo:
            seen.setdefault(one.thing.photo, one.thing)
    ordered = sorted(seen.values(), key=lambda one: one.state == mine.state)
    return [{"url": beside_of(mine, one), "says": f"the {one.state} photo of {one.made_at:%Y-%m-%d}"} for one in ordered[:4]]
