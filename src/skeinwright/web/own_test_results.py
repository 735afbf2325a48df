"""What the dyer's own tests found, as pages show it: in words, by thing, the newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.learn.own_tests import OWN_TESTS, OwnTest
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.calibration_words import Said, say_calibration
from skeinwright.core.shelf.kept import Kept


@dataclass(frozen=True, slots=True)
class Result:
    """One figure of one test. `counts` is True for the newest of its quantity of its thing; `test` is the page of the test, "" where it has none."""

    id: int
    of: str
    said: Said
    made_on: str
    note: str
    counts: bool
    test: str
    title: str


def results_of(test: OwnTest, kept: Sequence[Kept[Calibration]]) -> list[list[Result]]:
    """What one test found, the newest first; figures that came out of one test together."""
    groups: list[list[Result]] = []
    last: tuple[object, str] | None = None
    for one, result in zip(kept, _results(kept), strict=True):
        if one.thing.test != test.key:
            continue
        which = (one.changed_at, one.thing.of)
        if which != last or any(other.said.label == result.said.label for other in groups[-1]):
            groups.append([])
        groups[-1].append(result)
        last = which
    return [sorted(group, key=lambda one: one.id) for group in groups]


def newest_of(test: OwnTest, kept: Sequence[Kept[Calibration]]) -> list[Result]:
    """The figures of a test that count now, by thing."""
    return sorted((one for one in _results(kept) if one.counts and one.test == test.key), key=lambda one: (one.of, one.id))


def results_for(kept: Sequence[Kept[Calibration]]) -> list[Result]:
    """All figures of one thing, those that count first."""
    found = _results(kept)
    return [*sorted((one for one in found if one.counts), key=lambda one: one.id), *(one for one in found if not one.counts)]


def _results(kept: Sequence[Kept[Calibration]]) -> list[Result]:
    seen: set[tuple[str, str, str]] = set()
    found = []
    for one in kept:
        thing = one.thing
        which = (thing.of_kind, thing.of, thing.quantity)
        page = OWN_TESTS.get(thing.test)
        title = page.title if page is not None else thing.test
        said = say_calibration(thing)
        found.append(Result(one.id, thing.of, said, thing.made_on.isoformat(), thing.note, which not in seen, thing.test if page else "", title))
        seen.add(which)
    return found
