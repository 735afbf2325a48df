"""What if: a patch for every pair of values, the same by one worker, by many, in any order, on other machines; the colourway stays as it is."""

from __future__ import annotations

import threading
import time
import warnings
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from skeinwright import wiring
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.core.lot.lot import Lot
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.begin_what_if import begin_what_if
from skeinwright.services.draft_lot import StartLot
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.run_in_background import Stopped
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.start_lot import start_lot
from skeinwright.services.studio import Studio
from skeinwright.services.take_what_if import take_what_if
from skeinwright.services.try_what_if import EVEN, WhatIf, WhatIfRequest, try_what_if
from skeinwright.services.undo_change import undo_change
from what_if_studio import STEPS, keep_rock_pool, step

TWO = WhatIfRequest(colourway="Rock pool", down="water", across="grain", down_values=("150 ml", "900 ml"), across_values=("0.1 mm", "0.2 mm"))


class LastFirst(Executor):
    """Does what it was asked to do last at first, when it is waited for."""

    def __init__(self) -> None:
        self.asked: list[tuple[Future[Any], Callable[..., Any], Any]] = []
        self.done: list[int] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.asked.append((future, fn, args))
        if len(self.asked) == 4:
            for place, (one, act, given) in reversed(list(enumerate(self.asked))):
                self.done.append(place)
                one.set_result(act(*given))
        return future


@pytest.fixture
def pool(studio: Studio) -> Studio:
    keep_rock_pool(studio)
    return studio


def _same(one: WhatIf, other: WhatIf) -> bool:
    cells = [(a, b) for rows in zip(one.rows, other.rows, strict=True) for a, b in zip(*rows, strict=True)]
    return all(
        (a.down, a.across) == (b.down, b.across) and a.patch is not None and b.patch is not None and np.array_equal(a.patch.dye, b.patch.dye)
        and np.array_equal(a.pixels, b.pixels)
        for a, b in cells
    )  # fmt: skip


def test_every_pair_has_its_patch_and_the_colourway_stays(pool: Studio) -> None:
    before = get_colourway(pool, "Rock pool")
    told: list[float] = []
    found = try_what_if(pool, TWO, tell=lambda fraction, sentence: told.append(fraction))
    assert [[(one.down, one.across) for one in row] for row in found.rows] == [
        [("150 ml", "0.1 mm"), ("150 ml", "0.2 mm")], [("900 ml", "0.1 mm"), ("900 ml", "0.2 mm")]
    ]  # fmt: skip
    assert get_colourway(pool, "Rock pool") == before
    assert told == sorted(told)
    assert told[-1] == 1
    plain = found.to_plain()
    assert all(one["mass_balance"] < 5e-6 for one in plain["patches"])
    assert not any(one.as_it_is for row in found.rows for one in row)
    assert all("hot vinegar" in " ".join(one["refused"]) for one in plain["patches"])  # the steps sprinkle over vinegar at 85 C
    for one in plain["patches"]:
        low, high = one["ranges"]["half_width_mm"]
        assert low < one["half_width_mm"] < high
    shallow, deep = (row[0].patch for row in found.rows)
    assert shallow is not None
    assert deep is not None
    assert deep.figures.front_back > 1.1 * shallow.figures.front_back  # deeper water reaches the other side: common practice
    fine, coarse = (one.patch for one in found.rows[0])
    assert fine is not None
    assert coarse is not None
    assert coarse.figures.half_width_mm > 1.1 * fine.figures.half_width_mm  # coarser grain, larger specks: common practice


def test_the_same_by_any_workers_in_any_order(pool: Studio) -> None:
    here = try_what_if(pool, TWO)
    backwards = LastFirst()
    assert _same(here, try_what_if(replace(pool, workers=lambda: backwards), TWO))
    assert backwards.done == [3, 2, 1, 0]
    assert _same(here, try_what_if(replace(pool, workers=lambda: ThreadPoolExecutor(3)), TWO))
    assert _same(here, try_what_if(replace(pool, workers=wiring.workers), TWO))  # processes of their own


def test_a_farm_of_two_gives_the_same(pool: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    """A scheduler with two workers on this machine, reached by its address as another machine's would be."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library's own: deprecations, and sockets it closes late
        distributed = pytest.importorskip("distributed", reason="the extra 'farm' is not installed: pip install 'skeinwright[farm]'")
        here = try_what_if(pool, TWO)
        with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, scheduler_port=0) as cluster:
            monkeypatch.setenv(wiring.FARM, cluster.scheduler_address)
            assert _same(here, try_what_if(replace(pool, workers=wiring.workers), TWO))


def test_a_farm_that_does_not_answer_is_told(pool: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed", reason="the extra 'farm' is not installed: pip install 'skeinwright[farm]'")
    monkeypatch.setenv(wiring.FARM, "nonsense://nowhere")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with pytest.raises(BadInput, match="does not answer"):
            try_what_if(replace(pool, workers=wiring.workers), TWO)


def test_stopping_begins_nothing_more(pool: Studio) -> None:
    """The worker holds its first picture until two that had not begun are called off, so that the speed of this computer decides nothing."""
    begun: list[Future[Any]] = []
    called_off = threading.Event()

    def held(fn: Any, *args: Any) -> Any:
        called_off.wait(300)
        return fn(*args)

    def count(one: Future[Any]) -> None:
        if sum(other.cancelled() for other in begun) >= 2:
            called_off.set()

    class Counting(ThreadPoolExecutor):
        def submit(self, fn: Any, /, *args: Any, **more: Any) -> Future[Any]:
            begun.append(super().submit(held, fn, *args, **more))
            begun[-1].add_done_callback(count)
            return begun[-1]

    def stop(fraction: float, sentence: str) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        try_what_if(replace(pool, workers=lambda: Counting(1)), TWO, tell=stop)
    assert len(begun) == 4
    assert sum(one.cancelled() for one in begun) >= 2


def test_what_cannot_be_is_told_where_it_stands(pool: Studio) -> None:
    wrong = replace(TWO, down="salt", across_values=("0.1 mm", "blue"))
    with pytest.raises(ManyBadInputs) as caught:
        try_what_if(pool, wrong)
    assert {one.where for one in caught.value.problems} == {"down", "across 2"}
    for asked, sentence in (
        (replace(TWO, down="wait", across="wait 6", down_values=(), across_values=()), "Both ways"),
        (replace(TWO, down_values=("1 l",)), "Give 2 to 5"),
        (replace(TWO, down="temperature"), "temperature 4"),
    ):
        with pytest.raises(ManyBadInputs, match=sentence):
            try_what_if(pool, asked)


def test_a_pair_that_cannot_be_says_so_in_its_place(pool: Studio) -> None:
    found = try_what_if(pool, replace(TWO, down_values=("150 ml", "40 l"), across_values=("0.1 mm", "0.2 mm")))
    assert [one.patch is None for row in found.rows for one in row] == [False, False, True, True]
    assert "brim" in found.rows[1][0].problem


def test_an_uneven_ground_is_said_to_be_left_out(pool: Studio) -> None:
    painted = (*STEPS[:3], step("paint", dye="Kelp", amount="0.05 g", over="10-30 cm"), STEPS[3], STEPS[6])
    save_colourway(pool, replace(get_colourway(pool, "Rock pool").thing, name="Below", steps=painted))
    lot = start_lot(pool, StartLot(colourway="Below"))
    code = (lot if isinstance(lot, Lot) else lot[0]).code
    add_to_shelf(pool, "dye", {"name": "Ember"})
    second = (*STEPS[:4], step("sprinkle", dye="Ember", amount="0.02 g"), STEPS[5])
    save_colourway(pool, replace(get_colourway(pool, "Rock pool").thing, name="Second", steps=second, over=code))
    found = try_what_if(pool, replace(TWO, colourway="Second"))
    assert any(code in sentence and "not in these pictures" in sentence for sentence in found.warnings)
    assert not any("place by place" in sentence for sentence in found.warnings)
    assert all(one.patch is not None and one.patch.names == ("Ember",) for row in found.rows for one in row)


def test_an_even_bath_has_nothing_to_compare(pool: Studio) -> None:
    kept = get_colourway(pool, "Rock pool")
    save_colourway(pool, replace(kept.thing, name="Even", steps=STEPS[:4]))
    with pytest.raises(BadInput) as caught:
        try_what_if(pool, replace(TWO, colourway="Even"))
    assert caught.value.sentence == EVEN


def test_taking_one_writes_two_values_and_can_be_undone(pool: Studio) -> None:
    before = get_colourway(pool, "Rock pool")
    one = replace(TWO, down_values=("900 ml",), across_values=("0.2 mm",))
    kept, change = take_what_if(pool, one, revision=before.revision)
    assert (kept.thing.steps[0].get("volume"), kept.thing.steps[4].get("grain")) == ("900 ml", "0.2 mm")
    assert [a for a, b in zip(kept.thing.steps, before.thing.steps, strict=True) if a == b] == [STEPS[1], STEPS[2], STEPS[3], STEPS[5], STEPS[6]]
    with pytest.raises(Conflict):
        take_what_if(pool, replace(one, down_values=("1 l",)), revision=before.revision)
    assert change is not None
    undo_change(pool, change.id)
    assert get_colourway(pool, "Rock pool").thing == before.thing


def test_the_same_question_is_the_same_job(pool: Studio) -> None:
    job = begin_what_if(pool, TWO)
    assert begin_what_if(pool, TWO) is job
    other = begin_what_if(pool, replace(TWO, down_values=("150 ml", "1 l")))
    assert other is not job
    end = time.monotonic() + 300
    for one in (job, other):
        one.stop()
        while one.state == "running" and time.monotonic() < end:
            time.sleep(0.02)
        assert one.state == "stopped"
