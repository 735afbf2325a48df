"""Pictures are made ready with progress, once."""

from __future__ import annotations

from skeinwright.services import warm_pictures as module
from skeinwright.services.warm_pictures import pictures_are_warm, warm_pictures


def test_warming_tells_how_far_it_is_and_is_done_once() -> None:
    module._ready = False
    told: list[tuple[int, int, str]] = []
    warm_pictures(lambda done, of, what: told.append((done, of, what)))
    assert [done for done, _, _ in told] == list(range(told[0][1] + 1))
    assert told[-1][2] == "ready"
    assert pictures_are_warm()
    warm_pictures(lambda *said: told.append(said))
    assert len(told) == told[0][1] + 1
