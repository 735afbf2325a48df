"""A base that is put out of sight still carries the colourways that were written for it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from lot_studio import studio_in
from skeinwright.services.archive_on_shelf import archive_on_shelf
from skeinwright.services.export_colourway import export_colourway
from skeinwright.services.forecast_colourway import forecast_colourway
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (found, _):
        yield found


def _archive(studio: Studio, *, archived: bool = True) -> None:
    archive_on_shelf(studio, "base", "Quay Sock", archived=archived)


def test_its_colourway_is_forecast_planned_and_exported_as_before(studio: Studio) -> None:
    kept = get_colourway(studio, "Tidewrack")
    before, exported = forecast_colourway(studio, kept.thing), export_colourway(studio, kept.id)
    _archive(studio)
    assert list_shelf(studio, "base") == []
    after = forecast_colourway(studio, get_colourway(studio, "Tidewrack").thing)
    assert after.to_plain() == before.to_plain()
    assert [one.base.name for one in after.bases] == ["Quay Sock"]
    assert after.problems == ()
    assert export_colourway(studio, kept.id) == exported


def test_lots_are_started_on_it_and_it_may_come_back(studio: Studio) -> None:
    first = start_lot(studio, StartLot(colourway="Tidewrack"))
    _archive(studio)
    second = start_lot(studio, StartLot(colourway="Tidewrack"))
    third = start_lot(studio, StartLot(colourway="Tidewrack", rows=(RowWanted(base="Quay Sock", skeins=2),)))
    assert (second.rows, second.plan, second.shelf) == (first.rows, first.plan, first.shelf)
    assert third.rows[0].skein_g == 100  # its put-up
    _archive(studio, archived=False)
    assert [one.thing.name for one in list_shelf(studio, "base")] == ["Quay Sock"]
