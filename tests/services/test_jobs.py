"""Work in the background: it tells how far it is, can be stopped, answers once for the same key, and fails in a sentence."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.services.find_job import find_job
from skeinwright.services.run_in_background import MOST_JOBS, OUR_MISTAKE, Job, Tell, jobs_of, run_in_background
from skeinwright.services.stop_job import stop_job
from skeinwright.services.stop_jobs import stop_jobs
from skeinwright.services.studio import Studio


def _until(told: Callable[[], bool]) -> None:
    end = time.monotonic() + 300
    while not told() and time.monotonic() < end:
        time.sleep(0.005)
    assert told()


def _over(job: Job) -> Job:
    _until(lambda: job.state != "running")
    return job


def test_it_tells_how_far_it_is_and_leaves_its_result(studio: Studio) -> None:
    go_on = threading.Event()

    def work(tell: Tell) -> int:
        tell(0.5, "Half of it.")
        go_on.wait(300)
        tell(0.2, "Never backwards.")
        return 42

    job = run_in_background(studio, "A sum", work)
    _until(lambda: job.sentence == "Half of it.")
    assert (job.state, job.fraction) == ("running", 0.5)
    go_on.set()
    found = _over(find_job(studio, job.token))
    assert (found.state, found.result, found.fraction) == ("done", 42, 1.0)


def test_stop_ends_it_where_it_next_tells(studio: Studio) -> None:
    after: list[str] = []

    def work(tell: Tell) -> None:
        for _ in range(2000):
            tell(0.1, "Going on.")
            time.sleep(0.002)
        after.append("ran to its end")

    job = run_in_background(studio, "Long", work)
    stop_job(studio, job.token)
    assert (_over(job).state, job.result, after) == ("stopped", None, [])


def test_one_key_is_one_job_until_it_was_stopped(studio: Studio) -> None:
    hold = threading.Event()
    ran: list[int] = []

    def work(tell: Tell) -> None:
        ran.append(1)
        while not hold.wait(0.005):
            tell(0.1, "Waiting.")

    first = run_in_background(studio, "Once", work, key="same")
    assert run_in_background(studio, "Once", work, key="same") is first
    assert run_in_background(studio, "Once", work, key="other") is not first
    stop_job(studio, first.token)
    again = run_in_background(studio, "Once", work, key="same")
    assert again is not first
    hold.set()
    _over(again)
    assert run_in_background(studio, "Once", work, key="same") is again
    anew = run_in_background(studio, "Once", work, key="same", fresh=False)
    assert anew is not again
    _over(anew)


def test_errors_are_sentences(studio: Studio, capsys: pytest.CaptureFixture[str]) -> None:
    def wrong(tell: Tell) -> None:
        raise BadInput("There is no such pan.", where="vessel")

    def broken(tell: Tell) -> None:
        raise ZeroDivisionError("secret")

    assert _over(run_in_background(studio, "Wrong", wrong)).error == "vessel: There is no such pan."
    job = _over(run_in_background(studio, "Broken", broken))
    assert (job.state, job.error) == ("failed", OUR_MISTAKE)
    assert "secret" in capsys.readouterr().err


def test_only_the_last_are_kept(studio: Studio) -> None:
    jobs = [_over(run_in_background(studio, "Small", lambda tell: None)) for _ in range(MOST_JOBS + 3)]
    assert len(jobs_of(studio)) == MOST_JOBS
    with pytest.raises(NotFound, match="not known any more"):
        find_job(studio, jobs[0].token)


def test_a_closing_studio_stops_its_jobs_without_a_word(studio: Studio, capsys: pytest.CaptureFixture[str]) -> None:
    """One notices, one finds its workers gone (as when the program ends), one never tells: the first two are over, and nothing is printed."""
    gone, hold = threading.Event(), threading.Event()

    def notices(tell: Tell) -> None:
        while not hold.wait(0.005):
            tell(0.1, "Going on.")

    def finds_nothing(tell: Tell) -> None:
        gone.wait(5)
        raise RuntimeError("cannot schedule new futures after shutdown")

    jobs = [run_in_background(studio, "Notices", notices), run_in_background(studio, "Finds nothing", finds_nothing)]
    threading.Timer(0.1, gone.set).start()
    assert stop_jobs(studio) == 0
    assert [job.state for job in jobs] == ["stopped", "stopped"]
    deaf = run_in_background(studio, "Deaf", lambda tell: hold.wait(10))
    _until(lambda: deaf.sentence == "Deaf")
    assert stop_jobs(studio, patience_s=0.05) == 1
    hold.set()
    _over(deaf)
    assert capsys.readouterr().err == ""
