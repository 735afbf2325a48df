"""The pot of a colourway in the studio: what the shelf brings to it, and what a dyer is told."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from lot_studio import TIDEWRACK, step, studio_in
from skeinwright.core.bath.what_if import WhatIf
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.reading import colourway_document
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.in_pot import ReadPh
from skeinwright.core.shelf.items import Base, Dye, Heat, Vessel
from skeinwright.files.documents import write_document
from skeinwright.services.change_settings import change_settings
from skeinwright.services.follow_pot import PotQuestion, PotSheet, follow_pot
from skeinwright.services.forecast_colourway import forecast_colourway
from skeinwright.services.run_process import ProcessRequest, run_process
from skeinwright.services.studio import Studio
from skeinwright.web.colourway_form import a_bath, new_step
from skeinwright.web.colourway_margin import bath_lines


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (studio, _):
        with studio.store.writing() as writing:
            for name, dye_class in (("Kelp", "milling"), ("Ember", "levelling")):
                kept = writing.item("dye", name)
                assert isinstance(kept.thing, Dye)
                writing.replace_item("dye", kept.id, dataclasses.replace(kept.thing, dye_class=dye_class), revision=kept.revision, now=studio.now())
            writing.add_item(Heat(name="Left ring", does="burner", energy="electric plate", power_w=1500.0), now=studio.now())
            writing.add_item(Base(name="Fen Single", fibres=(("wool", 1.0),), skein_g=100, length_mm=360_000, superwash=False), now=studio.now())
        yield studio


def without(colourway: Colourway, do: str) -> Colourway:
    return dataclasses.replace(colourway, steps=tuple(one for one in colourway.steps if one.do != do))


def on_yarn(sheet: PotSheet, dye: str) -> float:
    return sheet.dyes[dye].exhaustion.value


def test_the_shelf_says_classes_fibres_vessel_water_and_source(studio: Studio) -> None:
    run = follow_pot(studio, TIDEWRACK, draws=0).course
    assert run is not None
    pot = run.run
    assert {dye.name: dye.dye_class for dye in pot.dyes} == {"Kelp": "milling", "Ember": "levelling"}
    assert {(one.kind, one.mass_g) for one in pot.fibres} == {("superwash", 75.0), ("nylon", 25.0)}
    assert pot.vessel is not None
    assert pot.vessel.name == "Big pot"
    assert pot.alkalinity.value == 120
    assert pot.energy == "electric plate"
    assert pot.dose_g == pytest.approx({"Kelp": 0.5, "Ember": 0.2})  # depth x 100 g: grams at standard strength


def test_another_base_is_followed_on_its_own_fibre(studio: Studio) -> None:
    sheet = follow_pot(studio, TIDEWRACK, base="Fen Single", draws=0)
    assert sheet.course is not None
    assert [(one.kind, one.mass_g) for one in sheet.course.run.fibres] == [("wool", 100.0)]


def test_bands_hold_the_line_and_the_quick_line_agrees_with_the_full_one(studio: Studio) -> None:
    quick, full = follow_pot(studio, TIDEWRACK, draws=0), follow_pot(studio, TIDEWRACK, draws=60)
    assert quick.course is not None
    assert full.course is not None
    assert not quick.banded
    assert full.banded
    for dye, band in full.course.uptake.items():
        assert np.all(band.low <= band.centre + 1e-12)
        assert np.all(band.centre <= band.high + 1e-12)
        assert float(band.high[-1] - band.low[-1]) > 0.005
        line = np.interp(quick.course.time_s, full.course.time_s, band.centre)
        assert np.max(np.abs(line - quick.course.uptake[dye].centre)) < 0.03
    again = follow_pot(studio, TIDEWRACK, draws=60)
    assert again.dyes == full.dyes
    assert again.sentences == full.sentences


def test_exhaustion_is_to_one_per_cent_and_no_finer(studio: Studio) -> None:
    for one in follow_pot(studio, TIDEWRACK, draws=40).dyes.values():
        for share in (one.exhaustion.value, one.exhaustion.low, one.exhaustion.high):
            assert 100 * share == pytest.approx(round(100 * share), abs=1e-9)


def test_no_acid_leaves_dye_in_the_liquor_and_says_so(studio: Studio) -> None:
    sheet = follow_pot(studio, without(TIDEWRACK, "add acid"), draws=40)
    assert on_yarn(sheet, "Ember") < on_yarn(follow_pot(studio, TIDEWRACK, draws=0), "Ember") - 0.05
    assert any("Ember stays in the liquor" in said for said in sheet.sentences)


def test_the_ph_rises_once_the_yarn_has_its_share(studio: Studio) -> None:
    acid = follow_pot(studio, TIDEWRACK, draws=20).acid
    assert acid is not None
    assert acid.after.ph.value > acid.before.ph.value + 0.05
    assert acid.after.ph.low < acid.after.ph.value < acid.after.ph.high


def test_heat_costs_what_the_settings_say(studio: Studio) -> None:
    assert follow_pot(studio, TIDEWRACK, draws=0).cost_minor is None
    change_settings(studio, {"energy_price_minor": "0.30"})
    sheet = follow_pot(studio, TIDEWRACK, draws=0)
    assert sheet.course is not None
    assert sheet.cost_minor is not None
    assert sheet.cost_minor.value == pytest.approx(30 * sheet.course.energy_kwh.value)
    # 3 l and 100 g from 20 to 88 C take 3 x 4.19 x 68 = 0.85 MJ, 0.24 kWh, into the pot; losses and the plate's 74 % come on top
    assert 0.24 / 0.74 < sheet.course.energy_kwh.value < 6 * 0.24 / 0.74


def test_a_warm_open_pot_is_topped_up_and_looked_after_a_cold_one_not(studio: Studio) -> None:
    warm = follow_pot(studio, TIDEWRACK, draws=0)
    assert warm.falling is not None
    assert "Top up about" in " ".join(warm.reminders)
    assert any("every 15 minutes" in said for said in warm.reminders)
    cold = dataclasses.replace(TIDEWRACK, steps=tuple(step("wait", time="30 min") if one.do == "heat" else one for one in TIDEWRACK.steps if one.do != "hold"))
    sheet = follow_pot(studio, cold, draws=0)
    assert sheet.falling is None
    assert not any("Top up" in said for said in sheet.reminders)


def test_the_command_and_the_page_follow_one_pot(studio: Studio) -> None:
    """The same colourway as a file with the same shelf: a bath said by its ratio, yarn that comes wet, a pH that was read, things otherwise than planned."""
    steps = (step("soak", time="20 min"), step("fill", volume="30:1"), *(one for one in TIDEWRACK.steps if one.do not in ("soak", "fill")))
    colourway = dataclasses.replace(TIDEWRACK, steps=steps)
    asked = PotQuestion(what=WhatIf(acid=1.5, hotter_c=-4), read=ReadPh(5.0, 2, 0.1))
    data = write_document(colourway_document(colourway)).encode()
    for question in (PotQuestion(), asked):
        page = follow_pot(studio, colourway, asked=question)
        command = run_process(ProcessRequest(data=data, asked=question), studio)
        assert page.course is not None
        assert float(page.course.water_l.centre.max()) == pytest.approx(3.0, abs=0.02), "30:1 is all the liquid, wet yarn's too"
        assert float(command.course.ph.centre[-1]) == pytest.approx(float(page.course.ph.centre[-1]), abs=1e-3), "solved every minute or every other"
        for dye, one in page.dyes.items():
            assert abs(command.to_plain()["summary"]["by_dye"][dye]["exhaustion"] - one.exhaustion.value) < 0.011
        assert set(page.sentences) <= set(command.sentences)
        told = {one.rstrip(".").casefold() for one in command.course.run.assumed}
        assert {one.rstrip(".").casefold() for one in page.assumed} <= told
    assert command.to_plain()["inputs"]["what_if"] == "1.5 times the acid, 4 °C cooler"
    other = run_process(ProcessRequest(data=data, base="Fen Single"), studio)
    assert [one.base for one in other.course.run.fibres] == ["Fen Single"]
    with pytest.raises(BadInput, match="no base"):
        run_process(ProcessRequest(data=data, base="Nobody"), studio)


def test_what_is_assumed_is_listed(studio: Studio) -> None:
    with studio.store.writing() as writing:
        writing.add_item(Dye(name="Rosehip"), now=studio.now())
    colourway = dataclasses.replace(TIDEWRACK, water="", steps=(*TIDEWRACK.steps[:2], step("add dye", dye="Rosehip", depth="1 %"), *TIDEWRACK.steps[4:]))
    assert any("Rosehip" in said and "class is not known" in said for said in follow_pot(studio, colourway, draws=0).assumed)


def test_water_that_stands_in_the_vessel_counts_as_a_fill(studio: Studio) -> None:
    standing = dataclasses.replace(without(TIDEWRACK, "fill"), water_volume="3 l")
    sheet = follow_pot(studio, standing, draws=0)
    assert sheet.course is not None, sheet.why
    assert float(sheet.course.water_l.centre[0]) == pytest.approx(3.0, abs=0.3)


@pytest.mark.parametrize("steps", [(), (step("soak", time="30 min"),), (step("add dye", dye="Kelp", depth="1 %"), step("hold", time="30 min"))])
def test_what_cannot_be_followed_says_why_and_raises_nothing(studio: Studio, steps: tuple[object, ...]) -> None:
    sheet = follow_pot(studio, dataclasses.replace(TIDEWRACK, steps=steps), draws=0)  # type: ignore[arg-type]
    assert sheet.course is None
    assert sheet.why.endswith((".", ":"))
    assert sheet.status == "not forecast"


def test_every_step_word_put_first_is_followed_or_told(studio: Studio) -> None:
    usual = {"dye": "Kelp", "acid": "White vinegar"}
    for do in WORDS:
        steps = list(a_bath(usual))
        steps.insert(0, new_step(do, usual))
        sheet = follow_pot(studio, dataclasses.replace(TIDEWRACK, steps=tuple(steps)), draws=0)
        assert (sheet.course is None) == bool(sheet.why), do
        if sheet.course is not None:
            assert np.isfinite(sheet.course.ph.centre).all(), do


def test_a_half_written_step_is_left_out_and_told(studio: Studio) -> None:
    steps = tuple(step("heat", to="eighty") if one.do == "heat" else one for one in TIDEWRACK.steps)
    sheet = follow_pot(studio, dataclasses.replace(TIDEWRACK, steps=steps), draws=0)
    assert sheet.course is not None
    assert any("could not be read" in said for said in sheet.notes)


def test_the_page_is_told_of_heat_of_the_blend_and_of_both_waters(studio: Studio) -> None:
    """The kettle's rule for steam: 1.5 l from 20 to 100 C at 1500 W x 74 % takes 1.5 x 4.18 x 80/1.11 s = 7.5 min, and five more for the yarn [assumed]."""
    sheet = follow_pot(studio, TIDEWRACK, draws=0)
    assert any("Left ring at full power takes about" in said for said in sheet.reminders)
    assert {said.split(" ")[0] for said in sheet.notes if " lies " in said} == {"Kelp", "Ember"}
    little = dataclasses.replace(
        TIDEWRACK, steps=tuple(step("add acid", acid="White vinegar", amount="8 ml") if one.do == "add acid" else one for one in TIDEWRACK.steps)
    )
    for colourway, differs in ((little, True), (TIDEWRACK, False)):
        found = forecast_colourway(studio, colourway)
        assert found.bath is not None
        assert (found.bath.simmered_ph is not None) is differs
        assert ("as it simmers" in " ".join(line.more for line in bath_lines(found))) is differs
    steamed = forecast_colourway(studio, dataclasses.replace(TIDEWRACK, steps=(*TIDEWRACK.steps[:6], step("steam", time="30 min"))))
    note = next(note for planned in steamed.plan for note in planned.notes if "steam is up" in note)
    assert int(note.split("about ")[1].split(" min")[0]) == pytest.approx(7.5 + 5, abs=0.6)
    assert "Left ring" in note


def _stands_on(studio: Studio, source: str) -> PotSheet:
    with studio.store.writing() as writing:
        kept = writing.item("vessel", "Big pot")
        assert isinstance(kept.thing, Vessel)
        writing.replace_item("vessel", kept.id, dataclasses.replace(kept.thing, stands_on=source), revision=None, now=studio.now())
    return follow_pot(studio, TIDEWRACK, draws=0)


def _end_s(sheet: PotSheet) -> float:
    assert sheet.course is not None
    return sheet.course.run.end_s


def test_the_time_of_heating_follows_what_the_vessel_stands_on(studio: Studio) -> None:
    with studio.store.writing() as writing:
        writing.add_item(Heat(name="Small gas", does="burner", energy="gas", power_w=900.0), now=studio.now())
        writing.add_item(Heat(name="Old plate", does="burner"), now=studio.now())
        writing.add_item(Heat(name="Canner", does="water bath", energy="induction"), now=studio.now())
    strong = follow_pot(studio, TIDEWRACK, draws=0)
    assert any("Left ring is taken as what it stands on" in said for said in strong.reminders)
    assert strong.course is not None
    assert strong.course.run.energy == "not known"
    weak = _stands_on(studio, "small gas")  # found in any case
    assert weak.course is not None
    assert weak.course.run.energy == "gas"
    assert _end_s(weak) > _end_s(strong) + 1800, "360 W into 3 l: 0.85 MJ take 39 min more than 1110 W do, and losses come on top"
    assert any("on Small gas at full power" in said for said in weak.notes)
    unknown = _stands_on(studio, "Old plate")
    assert _end_s(unknown) <= _end_s(strong)
    assert any("power of Old plate is not on the shelf" in said for said in unknown.reminders)
    assert any("Nowhere, which is not on the shelf" in said for said in _stands_on(studio, "Nowhere").reminders)


def test_a_vessel_in_a_water_bath_follows_it(studio: Studio) -> None:
    free = follow_pot(studio, TIDEWRACK, draws=0)
    jar = _stands_on(studio, "water bath")  # none on the shelf: the words themselves do
    assert jar.course is not None
    assert free.course is not None
    assert jar.course.run.lag is not None
    assert any("temperatures are those of the water bath" in said for said in jar.reminders)
    moment = jar.course.run.programme[-2][0] - 600  # ten minutes before the hold
    assert jar.course.run.temp_c(moment) < free.course.run.temp_c(moment) - 1
    for dye, band in jar.course.uptake.items():
        plain = np.interp(jar.course.time_s, free.course.time_s, free.course.uptake[dye].centre)
        assert np.all(band.centre <= plain + 0.02), "what goes on goes on later"


def test_a_new_name_of_a_burner_goes_on_with_its_vessel(studio: Studio) -> None:
    _stands_on(studio, "Left ring")
    with studio.store.writing() as writing:
        kept = writing.item("heat", "Left ring")
        writing.replace_item("heat", kept.id, dataclasses.replace(kept.thing, name="Front ring"), revision=None, now=studio.now())
    with studio.store.reading() as reading:
        vessel = reading.item("vessel", "Big pot").thing
    assert isinstance(vessel, Vessel)
    assert vessel.stands_on == "Front ring"
