"""The swatches of a dye: its ladder, and three ways to add to it without an instrument: typed, picked in a photo, matched by eye."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.say import say
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import READING_SD, Lab, Reading, Swatch
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.check_dye import check_dye
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.keep_photo import keep_photo as keep
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.nudge_colour import NUDGES, START, nudge_colour
from skeinwright.services.pick_in_photo import RADIUS_SHARE
from skeinwright.services.read_colour import ColourRequest, read_colour
from skeinwright.services.remove_swatch import remove_swatch
from skeinwright.services.studio import Studio
from skeinwright.web.act import text, texts, upload
from skeinwright.web.forms import Form, form_from
from skeinwright.web.ladders import ladder_of
from skeinwright.web.notes import Note, note_of_many
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.picking import picked
from skeinwright.web.recipe_view import hex_of

STEPS = {"large": 6.0, "middling": 3.0, "fine": 1.0}
BY_HAND = (Reading.INSTRUMENT, Reading.TYPED, Reading.HEX)


def show(request: Request) -> Response:
    """The ladder, the swatches, and the form to type one."""
    return _page(request, _dye(request), dict(request.query_params))


def add(request: Request, form: FormData) -> Response:
    """Adds a swatch, whichever way its colour was found."""
    kept, said = _dye(request), texts(form)
    if said.get("reading") == "":
        del said["reading"]
    try:
        _, change = add_swatch(studio_of(request), kept.id, said)
    except (BadInput, ManyBadInputs) as error:
        return _page(request, kept, said, error=error)
    return go(request, _home(request, kept.id), note_of_many((change,), f"Added a swatch of {kept.thing.name}."))


def remove(request: Request, form: FormData) -> Response:
    """Takes a swatch away."""
    kept, position = _dye(request), text(form, "position")
    _, change = remove_swatch(studio_of(request), kept.id, int(position) if position.isdigit() else -1, revision=kept.revision)
    return go(request, _home(request, kept.id), note_of_many((change,), f"Took a swatch of {kept.thing.name} away."))


def by_eye(request: Request) -> Response:
    """A large field of colour to be nudged until it looks like the real swatch held beside the screen."""
    kept, query = _dye(request), request.query_params
    lab = _lab_of(query)
    step = query.get("step", "middling")
    colour = nudge_colour(lab, query.get("nudge", ""), STEPS.get(step, STEPS["middling"]))
    context = {
        "dye": kept,
        "colour": colour,
        "said": write_lab(Lab(round(colour.L, 1), round(colour.a, 1), round(colour.b, 1), "D65", 2)),
        "step": step if step in STEPS else "middling",
        "steps": tuple(STEPS),
        "nudges": NUDGES,
        "sd": READING_SD[Reading.EYE],
        "form": _depth_form(studio_of(request), query),
    }
    return render(request, "swatches/eye_field.html" if request.headers.get("hx-request") else "swatches/eye.html", context)


def keep_photo(request: Request, form: FormData) -> Response:
    """Keeps the photo, without its place and other hidden data, and goes on to picking in it."""
    kept = _dye(request)
    name, data = upload(form, "photo", what="a photo")
    photo = keep(studio_of(request), data, name)
    place = str(request.app.url_path_for("swatches_in_photo", id=kept.id, photo=photo.fact.id))
    return go(request, place, Note(" ".join(photo.notes)) if photo.notes else None)


def in_photo(request: Request) -> Response:
    """Picks a white spot and then a patch of yarn in a kept photo."""
    kept, query, photo = _dye(request), request.query_params, int(request.path_params["photo"])
    found = picked(studio_of(request), photo, query)
    context = {
        "dye": kept,
        "photo": photo,
        "places": found.places,
        "radius_share": RADIUS_SHARE,
        "read": found.read,
        "said": found.said,
        "hex": found.hex,
        "wrong": found.wrong,
        "sd": READING_SD[Reading.PHOTO],
        "form": _depth_form(studio_of(request), query),
    }
    return render(request, "swatches/picked.html" if request.headers.get("hx-request") else "swatches/photo.html", context)


def _page(request: Request, kept: Kept[Dye], said: Mapping[str, str], *, error: Exception | None = None) -> Response:
    studio = studio_of(request)
    context: dict[str, Any] = {
        "dye": kept,
        "ladder": ladder_of(studio, kept.thing, advise=True),
        "swatches": [_card(one, number) for number, one in enumerate(kept.thing.swatches)],
        "rungs": _rungs(studio, kept.thing),
        "form": _typed_form(studio, said, error),
    }
    return render(request, "swatches/swatches.html", context, status=422 if error else 200)


def _rungs(studio: Studio, dye: Dye) -> list[tuple[str, str]]:
    """(depth, how far the other swatches alone miss it) of each rung; empty where there is only one."""
    return [(say("fraction", one.depth), f"{one.left_out_de00:.1f}") for one in check_dye(studio, dye) if one.left_out_de00 is not None]


def _typed_form(studio: Studio, said: Mapping[str, str], error: Exception | None) -> Form:
    asks = {
        "depth": Ask("Depth of shade", "fraction", need=True, help="Dye on the fibre's weight, as you applied it: 2 % is 2 g of powder on 100 g of yarn."),
        "colour": Ask("Colour", "text", need=True, help="L, a, b such as '41.2, -8, -20' (D65, 10 degree; add 'D65/2' if it is not), or hex such as #3a5f7b."),
        **_base_ask(studio),
        "reading": Ask("How it was read", "choice", choices=("", *BY_HAND), more=True, help="Left empty, a hex colour counts as hex and L, a, b as typed."),
        "repeats": Ask("Readings averaged", "count", more=True),
    }
    return form_from(asks, said, error=error)


def _depth_form(studio: Studio, said: Mapping[str, str]) -> Form:
    return form_from({"depth": Ask("Depth of shade", "fraction", need=True, help="Dye on the fibre's weight, as you applied it."), **_base_ask(studio)}, said)


def _base_ask(studio: Studio) -> dict[str, Ask]:
    names = tuple(kept.thing.name for kept in list_shelf(studio, "base"))
    return {"base": Ask("On which base", "choice", choices=("", *names))} if names else {}


def _card(swatch: Swatch, number: int) -> dict[str, Any]:
    read = read_colour(ColourRequest(text=write_lab(swatch.lab)))
    return {
        "number": number,
        "hex": hex_of(read.srgb),
        "depth": say("fraction", swatch.depth),
        "reading": str(swatch.reading),
        "said": write_lab(_rounded(swatch.lab)),
        "spread": f"{swatch.sd:.1f}",
        "base": swatch.base,
        "clipped": read.clipped,
    }


def _rounded(lab: Lab) -> Lab:
    return Lab(round(lab.L, 1), round(lab.a, 1), round(lab.b, 1), lab.illuminant, lab.observer)


def _lab_of(query: Mapping[str, str]) -> tuple[float, float, float]:
    try:
        values = tuple(float(query[key]) for key in ("L", "a", "b"))
    except (KeyError, ValueError):
        return START
    L, a, b = values
    return (L, a, b) if 0 <= L <= 100 and max(abs(a), abs(b)) <= 150 else START


def _dye(request: Request) -> Kept[Dye]:
    return cast("Kept[Dye]", get_from_shelf(studio_of(request), "dye", int(request.path_params["id"])))


def _home(request: Request, id: int) -> str:
    return str(request.app.url_path_for("swatches", id=id))
