"""A pot's uptake against that of the swatches' bath: once, never twice, and only as far as the dye is known."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import pytest

from lot_studio import step, studio_in
from skeinwright.core.bath.pot_run import AddAcid, DyeInPot, FibreInPot, PotRun
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.usual_bath import usual_bath
from skeinwright.core.forecast.uptake_scale import SAME_WITHIN, UptakeScale, uptake_scale, usual_run
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services.forecast_colourway import ColourwaySheet, forecast_colourway
from skeinwright.services.studio import Studio

FIBRES = (FibreInPot(base="Quay Sock", kind="superwash", mass_g=75.0), FibreInPot(base="Quay Sock", kind="nylon", mass_g=25.0))
SWATCHES = tuple(Swatch(depth=depth, lab=lab, reading=Reading.TYPED) for depth, lab in ((0.005, Lab(60, -30, 0)), (0.02, Lab(40, -35, -2))))


def usual(dye_class: str, depth: float = 0.01) -> PotRun:
    return usual_run(FIBRES, DyeInPot(name="Kelp", dye_class=dye_class), depth)


def no_acid(run: PotRun) -> PotRun:
    return dataclasses.replace(run, events=tuple(event for event in run.events if not isinstance(event, AddAcid)))


@pytest.mark.parametrize("dye_class", ["levelling", "half-milling", "milling", "super-milling"])
def test_the_usual_bath_is_its_own_measure(dye_class: str) -> None:
    assert uptake_scale(usual(dye_class), "Quay Sock").ratio["Kelp"] == pytest.approx(1.0, abs=1e-9)


def test_without_acid_less_goes_on_and_it_is_said() -> None:
    scale = uptake_scale(no_acid(usual("levelling")), "Quay Sock")
    assert scale.ratio["Kelp"] < 0.8
    assert scale.sd == 0
    assert "as much Kelp on the yarn" in scale.notes[0]
    assert scale.depth("Kelp", 0.01) == pytest.approx(0.01 * scale.ratio["Kelp"])


def test_an_unknown_class_keeps_the_colour_and_widens_the_spread() -> None:
    as_usual, other = uptake_scale(usual("not known"), "Quay Sock"), uptake_scale(no_acid(usual("not known")), "Quay Sock")
    assert as_usual.ratio["Kelp"] == other.ratio["Kelp"] == 1.0
    assert as_usual.sd == 0.0
    assert other.sd > SAME_WITHIN


def test_what_is_not_followed_counts_as_applied() -> None:
    assert UptakeScale().depth("Kelp", 0.01) == 0.01


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (studio, _):
        with studio.store.writing() as writing:
            for name, dye_class in (("Kelp", "levelling"), ("Ember", "not known")):
                kept = writing.item("dye", name)
                assert isinstance(kept.thing, Dye)
                new = dataclasses.replace(kept.thing, swatches=SWATCHES, dye_class=dye_class)
                writing.replace_item("dye", kept.id, new, revision=kept.revision, now=studio.now())
        yield studio


def bath(dye: str, *, acid: bool = True) -> Colourway:
    steps = usual_bath((step("add dye", dye=dye, depth="1 %"),), "White vinegar")
    kept = tuple(one for one in steps if acid or one.do != "add acid")
    return Colourway(name="Inlet", fibre="200 g", bases=("Quay Sock",), water="Tap", vessel="Big pot", steps=kept)


def lightness(sheet: ColourwaySheet) -> float:
    lab = sheet.bases[0].forecast.lab
    assert lab is not None
    return lab.L


def test_the_bath_that_the_editor_begins_with_is_the_swatches_within_two_per_cent(studio: Studio) -> None:
    sheet = forecast_colourway(studio, bath("Kelp"))
    assert not any("as much Kelp" in note for note in sheet.bases[0].forecast.notes)
    assert sheet.bases[0].forecast.assumed.count("The swatches were dyed in a usual bath: 30:1, pH 4.5, 30 min at 88 C, one dye alone.") == 1


def test_a_bath_without_acid_gives_a_paler_yarn_as_a_lower_depth_would(studio: Studio) -> None:
    plain, sour = forecast_colourway(studio, bath("Kelp", acid=False)), forecast_colourway(studio, bath("Kelp"))
    assert lightness(plain) > lightness(sour) + 2
    assert any("as much Kelp" in note for note in plain.bases[0].forecast.notes)
    assert {one.name: one.depth for one in plain.dyes} == pytest.approx({"Kelp": 0.01})  # what is weighed does not change


def test_an_unknown_dye_without_acid_is_the_same_colour_and_less_sure(studio: Studio) -> None:
    plain, sour = forecast_colourway(studio, bath("Ember", acid=False)), forecast_colourway(studio, bath("Ember"))
    assert lightness(plain) == pytest.approx(lightness(sour))
    wide, narrow = plain.bases[0].forecast.spread_de00, sour.bases[0].forecast.spread_de00
    assert wide is not None
    assert narrow is not None
    assert wide > narrow + 0.3
