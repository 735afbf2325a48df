"""What if: a kept colourway tried with other values of any two of its steps' amounts, heats, grains and times, a small picture for every pair."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colourway.factors import MOST, Factor, factors_of
from skeinwright.core.colourway.words import is_even
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.services.begin_what_if import WHAT, begin_what_if
from skeinwright.services.find_job import find_job
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_settings import get_settings
from skeinwright.services.run_in_background import Job
from skeinwright.services.take_what_if import take_what_if
from skeinwright.services.try_what_if import EVEN, FIELDS, Tried, WhatIf, WhatIfRequest
from skeinwright.web.act import text
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.pages.pictures import answer

VALUES = tuple(f"{field}{place}" for field in FIELDS for place in range(1, MOST + 1))
"""down1 .. down5, across1 .. across5."""
FORGOTTEN = "These pictures are not known any more: the studio was closed meanwhile, or it was long ago. Work them out again."


def show(request: Request) -> Response:
    """What is to be tried and, where it has been worked out, the grid; all of it stands in the address."""
    said = {key: request.query_params.get(key, "").strip() for key in ("base", *FIELDS, *VALUES)}
    fresh = request.query_params.get("fresh", "")
    if fresh in FIELDS:
        said |= {key: "" for key in VALUES if key.startswith(fresh)}
    return _page(request, said, {}, request.query_params.get("job", ""))


def begin(request: Request, form: FormData) -> Response:
    """Begins to work it out and goes to the page that waits for it; what cannot be is told beside its field."""
    said = {key: text(form, key) for key in ("base", *FIELDS, *VALUES)}
    try:
        job = begin_what_if(studio_of(request), _asked(request, said))
    except (BadInput, ManyBadInputs) as error:
        return _page(request, said, {key.replace(" ", ""): sentence for key, sentence in problems_by_field(error).items()})
    query = {key: value for key, value in said.items() if value} | {"job": job.token}
    return go(request, f"{request.app.url_path_for('what_if', id=request.path_params['id'])}?{urlencode(query)}")


def take(request: Request, form: FormData) -> Response:
    """Writes one pair into the colourway, and goes there."""
    studio, number = studio_of(request), int(request.path_params["id"])
    asked = WhatIfRequest(
        colourway=number, down=text(form, "down"), across=text(form, "across"), down_values=(text(form, "down1"),), across_values=(text(form, "across1"),)
    )
    revision = text(form, "revision")
    _, change = take_what_if(studio, asked, revision=int(revision) if revision.isdigit() else None)
    return go(request, str(request.app.url_path_for("colourway", id=number)), note_of(change))


def picture(request: Request) -> Response:
    """One patch as PNG."""
    from skeinwright.files.pictures import picture_bytes

    found, parts = _found(request), request.path_params
    row, place = int(parts["row"]), int(parts["place"])
    one = found.rows[row][place] if row < len(found.rows) and place < len(found.rows[row]) else None
    if one is None or one.pixels is None:
        raise NotFound("There is no such picture.")
    return answer(request, picture_bytes(one.pixels))


def sheet(request: Request) -> Response:
    """The whole grid as one PNG, to take away."""
    from skeinwright.files.what_if_sheet import what_if_png

    found = _found(request)
    pieces = [_piece(one) for row in found.rows for one in row]
    made = answer(request, what_if_png(found.name, found.down.label, found.across.label, pieces, len(found.rows[0])))
    made.headers["Content-Disposition"] = 'attachment; filename="what-if.png"'
    return made


def _piece(one: Tried) -> tuple[Any, str, str, tuple[str, ...]]:
    return one.pixels, one.down, one.across, one.sentences


def _found(request: Request) -> WhatIf:
    job = find_job(studio_of(request), request.path_params["token"])
    if not isinstance(job.result, WhatIf):
        raise NotFound(FORGOTTEN)
    return job.result


def _asked(request: Request, said: dict[str, str]) -> WhatIfRequest:
    down, across = (tuple(said[key] for key in VALUES if key.startswith(field)) for field in FIELDS)
    return WhatIfRequest(
        colourway=int(request.path_params["id"]), base=said["base"], down=said["down"], across=said["across"], down_values=down, across_values=across
    )


def _page(request: Request, said: dict[str, str], wrong: dict[str, str], token: str = "") -> Response:
    studio = studio_of(request)
    kept = get_colourway(studio, int(request.path_params["id"]))
    factors = factors_of(kept.thing, habits=get_settings(studio).habits())
    ways = [_way(field, said, factors) for field in FIELDS]
    job, sentence = _job(request, token)
    found = job.result if job is not None and job.state == "done" else None
    context: dict[str, Any] = {
        "kept": kept,
        "factors": factors,
        "ways": ways,
        "base": said["base"] or next(iter(kept.thing.bases), ""),
        "wrong": wrong,
        "even": EVEN if is_even(step.do for step in kept.thing.steps) else "",
        "job": job,
        "sentence": sentence,
        "found": found if isinstance(found, WhatIf) else None,
        "here": f"{request.url.path}?{request.url.query}",
    }
    return render(request, "what_if/page.html", context, status=422 if wrong else 200)


def _job(request: Request, token: str) -> tuple[Job | None, str]:
    if not token:
        return None, ""
    try:
        job = find_job(studio_of(request), token).as_it_stands()
    except NotFound:
        return None, FORGOTTEN
    if job.what != WHAT or job.state in ("stopped", "failed"):
        return None, job.error or "Stopped: nothing of it is kept."
    return job, ""


def _way(field: str, said: dict[str, str], factors: tuple[Factor, ...]) -> dict[str, Any]:
    """A way of the grid as the form shows it: the factor, and five fields for its values."""
    usual = _usual(factors)
    chosen = next((one for one in factors if one.key == said[field]), usual[FIELDS.index(field)] if usual else None)
    typed = [said[f"{field}{place}"] for place in range(1, MOST + 1)]
    proposed = () if chosen is None else chosen.proposed
    values = typed if any(typed) else [*proposed, *[""] * (MOST - len(proposed))]
    return {"name": field, "words": "Down the page" if field == "down" else "Across", "factor": chosen, "typed": values}


def _usual(factors: tuple[Factor, ...]) -> list[Factor]:
    """Water and acid where it has them; else the first two of different words."""
    found: list[Factor] = []
    for one in factors:
        if len(found) < len(FIELDS) and one.what not in [other.what for other in found]:
            found.append(one)
    return [*found, *[one for one in factors if one not in found][: len(FIELDS) - len(found)]] if found else []
