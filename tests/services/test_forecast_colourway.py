"""A colourway while it is being written: amounts, bath and colour from one plan, and every problem at its place."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from pathlib import Path
from types import MappingProxyType

import pytest

from lot_studio import studio_in
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services.draft_lot import StartLot, draft_lot
from skeinwright.services.draw_colourway import draw_colourway
from skeinwright.services.draw_skein import SkeinPicture, draw_skein
from skeinwright.services.forecast_colourway import ColourwaySheet, forecast_colourway
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.start_lot import start_lot
from skeinwright.services.studio import Studio


def step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


SWATCHES = tuple(Swatch(depth=depth, lab=lab, reading=Reading.TYPED) for depth, lab in ((0.005, Lab(60, -30, 0)), (0.02, Lab(40, -35, -2))))
BATH = (
    step("fill", volume="30:1"),
    step("add dye", recipe="Kelp 0.5 %, Ember 0.2 %"),
    step("add acid", acid="White vinegar", amount="to pH 4.5"),
    step("heat", to="88 C"),
    step("hold", time="30 min"),
)
COLOURWAY = Colourway(name="Inlet", fibre="200 g", bases=("Quay Sock",), water="Tap", vessel="Big pot", steps=BATH)


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (studio, _):
        with studio.store.writing() as writing:
            for name in ("Kelp", "Ember"):
                kept = writing.item("dye", name)
                assert isinstance(kept.thing, Dye)
                writing.replace_item("dye", kept.id, dataclasses.replace(kept.thing, swatches=SWATCHES), revision=kept.revision, now=studio.now())
            writing.add_item(Dye(name="Rosehip"), now=studio.now())
        yield studio


def changed(place: int, new: Step) -> Colourway:
    steps = [*BATH]
    steps[place] = new
    return dataclasses.replace(COLOURWAY, steps=tuple(steps))


def lightness(sheet: ColourwaySheet) -> float:
    lab = sheet.bases[0].forecast.lab
    assert lab is not None
    return lab.L


def test_the_same_colourway_drafted_as_a_lot_takes_the_same(studio: Studio) -> None:
    save_colourway(studio, COLOURWAY)
    sheet = forecast_colourway(studio, COLOURWAY)
    assert sheet.plan == draft_lot(studio, StartLot(colourway="Inlet")).lot.plan
    assert (sheet.problems, sheet.refused, sheet.left_out) == ((), (), frozenset())


def test_depths_agree_with_amounts(studio: Studio) -> None:
    sheet = forecast_colourway(studio, COLOURWAY)
    weighed = {one.name: one.amount for one in sheet.amounts if one.kind == "dye"}
    assert weighed == pytest.approx({"Kelp": 200 * 0.005 / 0.8, "Ember": 200 * 0.002})  # fibre x depth / strength of the jar
    assert {dye.name: dye.depth for dye in sheet.dyes} == pytest.approx({"Kelp": 0.005, "Ember": 0.002})
    in_grams = forecast_colourway(studio, changed(1, step("add dye", recipe="Kelp 1.25 g, Ember 0.4 g")))
    assert lightness(in_grams) == pytest.approx(lightness(sheet), abs=1e-9)
    in_millilitres = forecast_colourway(studio, changed(1, step("add dye", solution="Kelp 1 %", amount="125 ml")))
    assert {dye.name: dye.depth for dye in in_millilitres.dyes} == pytest.approx({"Kelp": 0.005})  # 1.25 g of an 80 % powder on 200 g


@pytest.mark.parametrize("times", [0.5, 3])
def test_more_fibre_scales_every_dose_and_keeps_the_colour(studio: Studio, times: float) -> None:
    few = forecast_colourway(studio, dataclasses.replace(COLOURWAY, fibre="100 g"))
    many = forecast_colourway(studio, dataclasses.replace(COLOURWAY, fibre=f"{100 * times:g} g"))
    assert {one.name for one in few.amounts} == {"water", "Kelp", "Ember", "White vinegar"}
    for one, other in zip(few.amounts, many.amounts, strict=True):
        assert other.amount == pytest.approx(times * one.amount, rel=1e-6)
    assert many.bases[0].forecast.lab == few.bases[0].forecast.lab


def test_more_dye_is_never_lighter(studio: Studio) -> None:
    found = [lightness(forecast_colourway(studio, changed(1, step("add dye", dye="Kelp", depth=f"{depth} %")))) for depth in (0.1, 0.3, 1, 2, 4)]
    assert found == sorted(found, reverse=True)


def test_it_stops_at_the_first_step_that_no_model_covers(studio: Studio) -> None:
    stripped = (*BATH, step("remove colour", what="Soft wash", amount="5 g"), step("add dye", dye="Kelp", amount="1 g"), step("hold", time="10 min"))
    sheet = forecast_colourway(studio, dataclasses.replace(COLOURWAY, steps=stripped))
    assert sheet.stopped_at == 6
    assert lightness(sheet) == pytest.approx(lightness(forecast_colourway(studio, COLOURWAY)), abs=3)
    assert {dye.name: dye.powder_g for dye in sheet.dyes}["Kelp"] == pytest.approx(1.25 + 1)  # measured out all the same
    wrong = dataclasses.replace(COLOURWAY, steps=(*BATH, step("remove colour", what="Soft wash", amount="some"), step("hold", time="10 min")))
    assert forecast_colourway(studio, wrong).stopped_at == 6


def test_a_dye_without_swatch_leaves_the_colour_open(studio: Studio) -> None:
    forecast = forecast_colourway(studio, changed(1, step("add dye", dye="Rosehip", depth="1 %"))).bases[0].forecast
    assert (forecast.status, forecast.lab) == ("incomplete", None)
    assert "Rosehip has no swatch" in forecast.notes[0]


def test_the_bath_is_told_as_it_is_heated(studio: Studio) -> None:
    sheet = forecast_colourway(studio, COLOURWAY)
    assert sheet.bath is not None
    assert sheet.bath.ph.value == pytest.approx(4.5, abs=0.02)
    assert sheet.bath.ph.low < 4.5 < sheet.bath.ph.high
    assert (sheet.bath.step, sheet.bath.volume_ml) == (5, pytest.approx(6000, rel=0.02))
    assert sheet.bath.ratio == pytest.approx(30, rel=0.02)
    assert sheet.bath.head_room_mm is not None
    assert 0 < sheet.bath.head_room_mm < 260
    sour = forecast_colourway(studio, changed(2, step("add acid", acid="Citric", amount="60 g")))
    assert any("pH" in sentence for sentence in sour.warnings)


def test_an_overfull_pot_is_refused_at_its_water_and_the_rest_is_still_told(studio: Studio) -> None:
    sheet = forecast_colourway(studio, changed(0, step("fill", volume="40 l")))
    assert [(one.step, one.slot) for one in sheet.problems] == [(1, "volume")]
    assert "over the brim" in sheet.problems[0].sentence
    assert sheet.bath is not None
    assert sheet.bath.head_room_mm is not None
    assert sheet.bath.head_room_mm < 0
    assert lightness(sheet) == lightness(forecast_colourway(studio, COLOURWAY))


@pytest.mark.parametrize(
    ("place", "new", "where", "says"),
    [
        (3, step("heat", to="hot"), (4, "to"), "'hot' was read"),
        (1, step("add dye", dye="Kelp"), (2, "depth"), "How much"),
        (1, step("add dye", dye="Kelp", depth="0.5 %", amount="1 g"), (2, "amount"), "not both"),
        (1, step("add dye", dye="Kelp", amount="10 ml"), (2, "amount"), "no known strength"),
        (2, step("add acid", acid="Elderflower", amount="to pH 4"), (3, "amount"), "Elderflower"),
        (0, step("fill", volume="lots"), (1, "volume"), ""),
        (4, step("simmer", time="30 min"), (5, "do"), "no step word"),
    ],
)
def test_each_problem_stands_at_its_step_and_slot_and_the_rest_is_worked_out(studio: Studio, place: int, new: Step, where: tuple[int, str], says: str) -> None:
    sheet = forecast_colourway(studio, changed(place, new))
    assert where in [(one.step, one.slot) for one in sheet.problems]
    assert {one.step for one in sheet.problems} == {where[0]}
    assert says in " ".join(one.sentence for one in sheet.problems)
    assert len(sheet.plan) == len(BATH)
    assert sheet.bases[0].forecast.status == "complete"


def test_several_problems_are_told_at_once(studio: Studio) -> None:
    colourway = dataclasses.replace(changed(3, step("heat", to="hot")), fibre="some", vessel="Bucket", bases=("Quay Sock", "Nowhere"))
    found = {(one.step, one.slot) for one in forecast_colourway(studio, colourway).problems}
    assert found == {(0, "fibre"), (0, "vessel"), (0, "bases"), (4, "to")}


def test_an_empty_colourway_is_told_too(studio: Studio) -> None:
    sheet = forecast_colourway(studio, Colourway(name=""))
    assert (sheet.plan, sheet.amounts, sheet.bath, len(sheet.bases)) == ((), (), None, 1)


def test_a_lot_lies_below_as_it_was_dyed(studio: Studio) -> None:
    save_colourway(studio, COLOURWAY)
    code = start_lot(studio, StartLot(colourway="Inlet")).code
    over = forecast_colourway(studio, dataclasses.replace(COLOURWAY, over=code.lower()))
    assert lightness(over) < lightness(forecast_colourway(studio, COLOURWAY)) - 1
    nothing_more = forecast_colourway(studio, dataclasses.replace(COLOURWAY, over=code, steps=()))
    assert lightness(nothing_more) == pytest.approx(lightness(forecast_colourway(studio, COLOURWAY)), abs=0.01)
    unknown = forecast_colourway(studio, dataclasses.replace(COLOURWAY, over="2020-01-01-A")).bases[0].forecast
    assert unknown.status == "incomplete"
    assert "ground is not known" in unknown.notes[0]


def test_it_can_be_written_as_json(studio: Studio) -> None:
    plain = json.loads(json.dumps(forecast_colourway(studio, COLOURWAY).to_plain()))
    assert plain["dyes"]["Kelp"] == {"powder_g": 1.25, "depth": 0.005}
    assert plain["bases"][0]["base"] == "Quay Sock"
    assert plain["ph_low"] < plain["ph"] < plain["ph_high"]


def test_pictures(studio: Studio) -> None:
    import io

    from PIL import Image

    kept, _ = save_colourway(studio, COLOURWAY)
    sheet = forecast_colourway(studio, COLOURWAY)
    first = draw_colourway(studio, kept.id)
    assert Image.open(io.BytesIO(first)).size == (360, 240)
    asked = SkeinPicture(look=sheet.bases[0].look, srgb=sheet.bases[0].forecast.srgb, size="small")
    assert draw_skein(studio, asked) == first
    assert draw_skein(studio, dataclasses.replace(asked, srgb=None)) != draw_skein(studio, dataclasses.replace(asked, srgb=(214, 214, 214)))
