"""The slate by the door, over the life of one lot."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from lot_studio import TIDEWRACK, step, studio_in
from skeinwright.services.finish_lot import finish_lot
from skeinwright.services.list_today import Slate, list_today
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.tick_step import TickStep, tick_step

SECTIONS = ("hot_now", "next", "drying", "to_photograph", "running_low")


def _filled(slate: Slate) -> tuple[str, ...]:
    return tuple(name for name in SECTIONS if getattr(slate, name))


def test_a_lot_goes_down_the_slate_as_it_is_dyed(tmp_path: Path) -> None:
    with studio_in(tmp_path) as (studio, _):
        assert list_today(studio).is_quiet
        with studio.store.writing() as writing:
            steps = (step("fill", volume="3 l"), step("hang"), step("note", text="Reskein"))
            writing.add_colourway(dataclasses.replace(TIDEWRACK, name="Hung", steps=steps), now=studio.now())
        lot = start_lot(studio, StartLot(colourway="Hung", rows=(RowWanted(base="Quay Sock", skeins=2, vessel="Big pot"),)))
        assert _filled(list_today(studio)) == ("next",)
        numbers = [planned.number for planned in lot.plan]
        tick_step(studio, TickStep(lot=lot.code, steps=(numbers[0],)))
        slate = list_today(studio)
        assert _filled(slate) == ("hot_now",)
        assert slate.hot_now[0].says == lot.plan[1].sentence
        assert "Big pot" in slate.hot_now[0].what
        tick_step(studio, TickStep(lot=lot.code, steps=(numbers[1],)))
        assert _filled(list_today(studio)) == ("drying",)
        assert list_today(studio).drying[0].says == "2 skeins"
        finish_lot(studio, lot.code)
        assert _filled(list_today(studio)) == ("to_photograph",)
