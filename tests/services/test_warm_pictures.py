"""Pictures are made ready with progress, once."""

from __future__ import annotations

from contextlib import closing
from datetime import datetime
from pathlib import Path
from time import monotonic, sleep

from skeinwright.services import warm_pictures as module
from skeinwright.services.studio import Studio
from skeinwright.services.warm_pictures import pictures_are_warm, warm_pictures
from skeinwright.services.warm_up import warm_up, warming
from skeinwright.store.store import Store


def test_warming_tells_how_far_it_is_and_is_done_once() -> None:
    module._ready = False
    told: list[tuple[int, int, str]] = []
    warm_pictures(lambda done, of, what: told.append((done, of, what)))
    assert [done for done, _, _ in told] == list(range(told[0][1] + 1))
    assert told[-1][2] == "ready"
    assert pictures_are_warm()
    warm_pictures(lambda *said: told.append(said))
    assert len(told) == told[0][1] + 1


def test_warming_up_is_a_job_that_can_be_followed(tmp_path: Path) -> None:
    """One job however often it is asked for, seen while it runs, gone from the page when it is done."""
    module._ready = False
    with closing(Store.open(tmp_path / "studio.skeinwright")) as store:
        studio = Studio(tmp_path / "studio.skeinwright", store, tmp_path / "photos", datetime.now)
        assert warming(studio) is None
        job = warm_up(studio)
        assert warm_up(studio) is job
        seen = []
        deadline = monotonic() + 300
        while job.state == "running" and monotonic() < deadline:
            seen.append((job.fraction, job.sentence, warming(studio) is job or job.state != "running"))
            sleep(0.005)
        assert job.state == "done", job.error
        assert warming(studio) is None
    assert [fraction for fraction, _, _ in seen] == sorted(fraction for fraction, _, _ in seen)
    assert all(there for _, _, there in seen)
    assert pictures_are_warm()
