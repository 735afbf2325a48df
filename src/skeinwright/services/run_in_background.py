"""Run slow work in the background: it tells how far it is, can be stopped, and leaves its result to be fetched for a while."""

from __future__ import annotations

import secrets
import traceback
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from threading import BoundedSemaphore, Event, Lock, Thread
from typing import Any, Literal, TypeVar

from skeinwright.core.foundations.errors import SkeinwrightError
from skeinwright.services.studio import Studio

T = TypeVar("T")
Tell = Callable[[float, str], None]
"""`tell(fraction, sentence)`: how far the work is. It raises `Stopped` where the person has stopped it."""
JobState = Literal["running", "done", "stopped", "failed"]

MOST_JOBS = 24
"""Jobs kept for each studio, the oldest that are over forgotten first."""
AT_ONCE = 2
FRESH = timedelta(minutes=10)
"""How long a finished job answers for new work with the same key."""
ITS_TURN = "Waiting for its turn."
STOPPED = "Stopped."
OUR_MISTAKE = "This went wrong, by a mistake of the program. What happened is printed in the window that runs the studio."


class Stopped(Exception):
    """The person has stopped the work; nothing of it is kept."""


@dataclass(slots=True, eq=False)
class Job:
    """One piece of work. It changes while it runs; `result` is there once it is done, `error` once it failed. `then` is where a page goes afterwards."""

    token: str
    what: str
    key: str = ""
    then: str = ""
    fraction: float = 0.0
    sentence: str = ITS_TURN
    state: JobState = "running"
    result: Any = None
    error: str = ""
    over_at: datetime | None = None
    _stop: Event = field(default_factory=Event)
    _over: Event = field(default_factory=Event)

    def tell(self, fraction: float, sentence: str) -> None:
        """Says how far the work is (0-1, never backwards). Raises `Stopped` once somebody wants it to end."""
        if self._stop.is_set():
            raise Stopped
        self.fraction = min(1.0, max(self.fraction, fraction))
        self.sentence = sentence

    def stop(self) -> None:
        """Asks the work to end; it does so the next time it tells how far it is."""
        self._stop.set()

    def wait(self, seconds: float) -> Job:
        """Waits until it is over, but no longer than this, and gives it as it then stands: for a page that would rather answer with the result."""
        self._over.wait(seconds)
        return self.as_it_stands()

    def as_it_stands(self) -> Job:
        """A copy that no longer changes, for a page: the work goes on while the page is being written."""
        return replace(self)

    @property
    def asked_to_stop(self) -> bool:
        return self._stop.is_set()


_jobs: dict[Path, OrderedDict[str, Job]] = {}
_lock = Lock()
_turns = BoundedSemaphore(AT_ONCE)


def run_in_background(studio: Studio, what: str, work: Callable[[Tell], T], *, key: str = "", then: str = "", fresh: bool = True) -> Job:
    """Starts `work` in a thread of its own and returns its job at once; at most `AT_ONCE` run together, the others wait.

    `work` is given `tell`. The same `key` while such work runs, or (with `fresh`) shortly after it was done, is the same job and starts nothing.
    What the work returns is kept with its job for a while, so it should be small: large things are kept elsewhere and named by a key.
    """
    with _lock:
        mine = _jobs.setdefault(studio.path, OrderedDict())
        same = next((job for job in reversed(mine.values()) if key and job.key == key and _still_answers(job, studio.now(), fresh)), None)
        if same is not None:
            return same
        job = Job(secrets.token_urlsafe(12), what, key, then)
        mine[job.token] = job
        for token in [token for token, one in mine.items() if one.state != "running"][: max(0, len(mine) - MOST_JOBS)]:
            del mine[token]
    Thread(target=_run, args=(job, work, studio.now), name=f"job: {what}", daemon=True).start()
    return job


def jobs_of(studio: Studio) -> tuple[Job, ...]:
    """The studio's jobs that are still known, oldest first."""
    with _lock:
        return tuple(_jobs.get(studio.path, {}).values())


def _still_answers(job: Job, now: datetime, fresh: bool) -> bool:
    if job.asked_to_stop:
        return False
    return job.state == "running" or (fresh and job.state == "done" and job.over_at is not None and now - job.over_at < FRESH)


def _run(job: Job, work: Callable[[Tell], Any], now: Callable[[], datetime]) -> None:
    with _turns:
        try:
            job.tell(0.0, job.what)
            job.result = work(job.tell)
            job.fraction, job.sentence, job.over_at, job.state = 1.0, "Done.", now(), "done"
        except Stopped:
            job.sentence, job.state = STOPPED, "stopped"
        except SkeinwrightError as error:
            job.error, job.sentence, job.state = str(error), str(error), "failed"
        except Exception:
            if job.asked_to_stop:  # nobody waits for it, and what it worked with may be gone: a closed studio, workers that were sent home
                job.sentence, job.state = STOPPED, "stopped"
            else:
                traceback.print_exc()
                job.error, job.sentence, job.state = OUR_MISTAKE, OUR_MISTAKE, "failed"
        finally:
            job._over.set()
