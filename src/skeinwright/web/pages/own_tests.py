"""Tests that the dyer can make: short guided pages, each of which puts a value of the dyer's own in the place of an assumed one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, PhotoRefused
from skeinwright.core.learn.own_tests import OWN_TESTS, OwnTest, suits
from skeinwright.core.safety.cautions import cautions_of
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.make_own_test import asked_of, make_own_test, own_test, usual
from skeinwright.services.open_test_photo import open_test_photo
from skeinwright.services.run_in_background import Tell, run_in_background
from skeinwright.services.take_back_test import take_back_test
from skeinwright.web.act import text, texts, upload
from skeinwright.web.forms import Form, form_from
from skeinwright.web.notes import note_of_many
from skeinwright.web.own_test_results import newest_of, results_of
from skeinwright.web.page import go, render, studio_of

LEFT_OUT = "photo"
"""The number of a photo is no field that is typed: it comes by sending one."""
NOTHING_READ: Mapping[str, Any] = MappingProxyType({"job": None, "wrong_read": "", "careful": None})
WAIT_S, LONG_S = 0.6, 60.0
"""A photo that is read within the first is shown without a line that fills."""
HAZARDS = frozenset({"powder", "powder heat", "scald", "stay", "lid", "vinegar hot"})
"""Moments of powder and stove have the hazard style; other cautions are words beside a rule."""


def show(request: Request) -> Response:
    """The tests, with the newest figure of each thing."""
    studio = studio_of(request)
    kept = list_calibrations(studio)
    tests = [{"test": one, "newest": newest_of(one, kept), "untested": _untested(request, one, kept)} for one in OWN_TESTS.values()]
    return render(request, "tests/list.html", {"tests": tests})


def guide(request: Request) -> Response:
    """One test: what it is for, its steps, its fields, what it found so far."""
    test = _test(request)
    asked = asked_of(test.key)
    return _page(request, test, {key: value for key, value in request.query_params.items() if key in asked})


def keep(request: Request, form: FormData) -> Response:
    """Works the test out, keeps what it found, and says it."""
    test, said = _test(request), _said(request, form)
    try:
        found = make_own_test(studio_of(request), test.key, said)
    except (BadInput, ManyBadInputs, Conflict) as error:
        return _page(request, test, said, error)
    key = request.app.state.tested.keep(found)
    return go(request, f"/tests/{test.key}?found={key}#found", note_of_many(found.changes, found.sentences[0]))


def send_photo(request: Request, form: FormData) -> Response:
    """Keeps a photo for the test and goes on to reading it; what was typed goes along."""
    test, said = _test(request), _said(request, form)
    try:
        name, data = upload(form, "file", what="a photo")
        photo = keep_photo(studio_of(request), data, name).fact.id
    except (BadInput, PhotoRefused) as error:
        return _page(request, test, said, BadInput(error.sentence, where=LEFT_OUT))
    said = {key: value for key, value in said.items() if value and key != LEFT_OUT}
    if test.places:
        return go(request, f"/tests/{test.key}/photo/{photo}?{urlencode(said)}")
    return go(request, f"/tests/{test.key}?{urlencode({**said, LEFT_OUT: photo})}#form")


def read(request: Request) -> Response:
    """What is to be said of a photo on the photo sheet once it has been read, in the place of the line that filled."""
    return render(request, "tests/read.html", _reading(request, _test(request), str(request.path_params["photo"]), wait_s=LONG_S))


def take_back(request: Request, form: FormData) -> Response:
    """Takes one result back; where that cannot be done, the page says why."""
    number, key = int(request.path_params["id"]), text(form, "test")
    test = own_test(key)
    try:
        made = take_back_test(studio_of(request), number)
    except Conflict as error:
        return _page(request, test, {}, error)
    return go(request, f"/tests/{test.key}", note_of_many(made, f"Took back what the test found: {test.title}."))


def _test(request: Request) -> OwnTest:
    return own_test(str(request.path_params["key"]))


def _said(request: Request, form: FormData) -> dict[str, str]:
    asked, typed = asked_of(_test(request).key), texts(form)
    return {key: value for key, value in typed.items() if key in asked}


def _page(request: Request, test: OwnTest, said: Mapping[str, str], error: Exception | None = None) -> Response:
    studio, form = studio_of(request), form_of_test(request, test, said, error)
    beside = [one for one in form.general if one]
    photo = said.get(LEFT_OUT, "")
    ahead = _reading(request, test, photo) if test.photo == "sheet" and photo.isdigit() and not beside else NOTHING_READ
    found = request.app.state.tested.read(request.query_params.get("found", ""))
    context = {
        "test": test,
        "steps": _steps(test),
        "form": form,
        "photo": photo,
        **ahead,
        "wrong_photo": " ".join(beside) if beside and (test.photo or not form.first) else "",
        "missing": [(field, kind) for field, kind in test.picks if asked_of(test.key)[field].need and not _names(request, test, kind)],
        "found": found,
        "results": results_of(test, list_calibrations(studio)),
    }
    return render(request, "tests/test.html", context, status=200 if error is None else 422)


def _reading(request: Request, test: OwnTest, photo: str, wait_s: float = WAIT_S) -> dict[str, Any]:
    """The photo read ahead of the form: the job that is at it, or what was said of it, or why it cannot be read."""
    studio = studio_of(request)

    def work(tell: Tell) -> tuple[str, ...] | BadInput:
        tell(0.1, "Looking for the sheet, the light and what lies in the window.")
        try:
            return open_test_photo(studio, test.key, photo, tell)
        except BadInput as problem:  # it belongs beside its field, not to the job
            return problem

    job = run_in_background(studio, "Reading the photo.", work, key=f"test photo {test.key} {photo}", then=f"/tests/{test.key}/read/{photo}").wait(wait_s)
    if job.state != "done":
        return {**NOTHING_READ, "job": job}
    return {**NOTHING_READ, "wrong_read": job.result.sentence} if isinstance(job.result, BadInput) else {**NOTHING_READ, "careful": job.result}


def form_of_test(request: Request, test: OwnTest, said: Mapping[str, str], error: Exception | None = None) -> Form:
    """The form of a test: things of the shelf to choose from, the usual values in place, what was typed kept."""
    asked, picks = asked_of(test.key), dict(test.picks)
    filled: dict[str, str] = {**usual(test.key), **said}
    for field, kind in picks.items():
        names = _names(request, test, kind)
        asked[field] = replace(asked[field], choices=tuple(names) if asked[field].need else ("", *names))
        if asked[field].need and names and not filled.get(field):
            filled[field] = names[0]
    asked.pop(LEFT_OUT, None)
    return form_from(asked, filled, error=error)


def _names(request: Request, test: OwnTest, kind: str) -> list[str]:
    return [kept.thing.name for kept in list_shelf(studio_of(request), kind) if kind != test.of_kind or suits(test, kept.thing)]


def _untested(request: Request, test: OwnTest, kept: Any) -> list[str]:
    tested = {one.thing.of for one in kept if one.thing.test == test.key}
    return [name for name in _names(request, test, test.of_kind) if name not in tested]


def _steps(test: OwnTest) -> list[tuple[str, list[dict[str, Any]]]]:
    """The steps with their cautions; each caution stands where it is first needed."""
    said: set[str] = set()
    found = []
    for step in test.steps:
        found.append((step.text, _cautions(tuple(key for key in step.cautions if key not in said))))
        said |= set(step.cautions)
    return found


def _cautions(keys: tuple[str, ...]) -> list[dict[str, Any]]:
    return [{"head": one.head, "text": one.sentence, "stands": one.stands, "source": one.source, "hazard": one.key in HAZARDS} for one in cautions_of(keys)]
