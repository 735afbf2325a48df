"""How far work in the background is, as a page asks for it."""

from __future__ import annotations

import threading
import time
from typing import Any

from jinja2 import Environment, FileSystemLoader

from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.services.studio import Studio
from skeinwright.web.page import HERE


def _job(studio: Studio, hold: threading.Event) -> Job:
    def work(tell: Tell) -> str:
        tell(0.25, "A quarter of it.")
        while not hold.wait(0.005):
            tell(0.25, "A quarter of it.")
        return "found"

    job = run_in_background(studio, "A long sum", work, then="/today/sum")
    end = time.monotonic() + 300
    while job.sentence != "A quarter of it." and time.monotonic() < end:
        time.sleep(0.005)
    return job


def _over(job: Job) -> None:
    end = time.monotonic() + 300
    while job.state == "running" and time.monotonic() < end:
        time.sleep(0.005)


def test_a_job_is_followed_and_says_where_to_go(studio: Studio, client: Any) -> None:
    hold = threading.Event()
    job = _job(studio, hold)
    told = client.get(f"/jobs/{job.token}").json()
    assert told == {"token": job.token, "what": "A long sum", "state": "running", "fraction": 0.25, "sentence": "A quarter of it."}
    hold.set()
    _over(job)
    told = client.get(f"/jobs/{job.token}").json()
    assert (told["state"], told["fraction"], told["then"]) == ("done", 1.0, "/today/sum")


def test_a_job_is_stopped_with_the_token_alone(studio: Studio, client: Any, post: Any) -> None:
    job = _job(studio, threading.Event())
    assert client.post(f"/jobs/{job.token}/stop").status_code == 403
    assert job.state == "running"
    assert post(f"/jobs/{job.token}/stop", {}).json()["token"] == job.token
    _over(job)
    assert client.get(f"/jobs/{job.token}").json()["state"] == "stopped"
    assert client.get("/jobs/unknown").status_code == 404


def test_its_line_stops_without_a_script_too(studio: Studio, post: Any) -> None:
    job = _job(studio, threading.Event())
    macros = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True).get_template("macros.html").module
    drawn = macros.job(job, "/here", csrf_token="t", back="/shelf")
    for piece in (f'data-job="/jobs/{job.token}"', 'data-then="/here"', 'role="progressbar"', "A quarter of it.", ">Stop<", 'value="/shelf"'):
        assert piece in drawn
    answer = post(f"/jobs/{job.token}/stop", {"back": "/shelf"}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/shelf")
