"""Tests that the dyer can make: short guided pages, each of which puts a value of the dyer's own in the place of an assumed one."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.core.shelf.items import Base, Water
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.measure_alkalinity import TestedWater, measure_alkalinity
from skeinwright.services.measure_strike import TestedPair, measure_strike
from skeinwright.web.act import text
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of

WATER_FIELDS = {"water": "", "volume": "4 l", "strength": "5 %", "vinegar": "15 ml", "ph": "", "read_with": "strip"}
PAIR_FIELDS = {"base": "", "untreated": "", "superwash": ""}


def show(request: Request) -> Response:
    """The tests, with what each has found so far."""
    return render(request, "tests/list.html", {"waters": _waters(request), "bases": _bases(request)})


def alkalinity(request: Request) -> Response:
    """The guide to the water's alkalinity."""
    return _page(request, "tests/alkalinity.html", WATER_FIELDS, None)


def keep_alkalinity(request: Request, form: FormData) -> Response:
    """Works the alkalinity out and puts it on the shelf."""
    said = {key: text(form, key) for key in WATER_FIELDS}
    try:
        kept, change, _ = measure_alkalinity(studio_of(request), TestedWater(**said))
    except (BadInput, ManyBadInputs, Conflict) as error:
        return _page(request, "tests/alkalinity.html", said, error)
    return go(request, str(request.app.url_path_for("shelf_edit", kind="water", id=kept.id)), note_of(change))


def superwash(request: Request) -> Response:
    """The guide to the superwash pair."""
    return _page(request, "tests/superwash.html", PAIR_FIELDS, None)


def keep_superwash(request: Request, form: FormData) -> Response:
    """Works the strike out and puts it on the shelf."""
    said = {key: text(form, key) for key in PAIR_FIELDS}
    try:
        kept, change, _ = measure_strike(studio_of(request), TestedPair(**said))
    except (BadInput, ManyBadInputs, Conflict) as error:
        return _page(request, "tests/superwash.html", said, error)
    return go(request, str(request.app.url_path_for("shelf_edit", kind="base", id=kept.id)), note_of(change))


def _page(request: Request, template: str, said: dict[str, str], error: Exception | None) -> Response:
    problems = problems_by_field(error)
    wrong = {key if key in said else "": sentence for key, sentence in problems.items()}
    context: dict[str, Any] = {"said": said, "wrong": wrong, "waters": _waters(request), "bases": _bases(request)}
    return render(request, template, context, status=200 if error is None else 422)


def _waters(request: Request) -> list[Water]:
    return [kept.thing for kept in list_shelf(studio_of(request), "water") if isinstance(kept.thing, Water)]


def _bases(request: Request) -> list[Base]:
    return [kept.thing for kept in list_shelf(studio_of(request), "base") if isinstance(kept.thing, Base) and kept.thing.superwash]
