"""Work in the background, as a page asks for it: how far it is, and stop."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from skeinwright.services.find_job import find_job
from skeinwright.services.run_in_background import Job
from skeinwright.services.stop_job import stop_job
from skeinwright.web.act import text
from skeinwright.web.page import back, go, studio_of


def show(request: Request) -> Response:
    """How far a job is, as JSON."""
    return _answer(find_job(studio_of(request), request.path_params["token"]))


def stop(request: Request, form: FormData) -> Response:
    """Stops a job; without a script the page goes back to where it was."""
    job = stop_job(studio_of(request), request.path_params["token"])
    place = text(form, "back")
    return go(request, back(place)) if place else _answer(job)


def _answer(job: Job) -> Response:
    found = {"token": job.token, "what": job.what, "state": job.state, "fraction": round(job.fraction, 4), "sentence": job.sentence}
    if job.state == "done" and job.then:
        found["then"] = job.then
    return JSONResponse(found, headers={"Cache-Control": "no-store"})
