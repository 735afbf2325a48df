"""Dye poured into deep water, powder in lumps, a shaker weighed twice, and the main colours of a skein."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.ladder import DyeModel
from skeinwright.core.colourway.colourway import Colourway, SkeinGeometry, Step
from skeinwright.core.forecast.dyeing import fit_dyes
from skeinwright.core.forecast.ground import ground_of
from skeinwright.core.forecast.main_colours import main_colours
from skeinwright.core.forecast.mapped_colour import look_up_of
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse_dose
from skeinwright.core.picture.describe import colour_words, hue_of
from skeinwright.core.shelf.items import Base, Dye, Solution, Vessel
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.figures import figures
from skeinwright.core.spread.grid import panel
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.said_steps import DEEP
from skeinwright.core.spread.session import session_of
from skeinwright.core.spread.skein import grid_of, moved_to
from skeinwright.core.spread.skein_map import SkeinMap

BASE = Base(name="Small", fibres=(("wool", 1.0),), skein_g=15, length_mm=48_000, round_mm=800)
POT = Vessel(name="Pot", shape="round", length_mm=200, height_mm=150)
KELP = Dye(name="Kelp", dye_class="milling", swatches=tuple(Swatch(depth=d, lab=lab, reading=Reading.TYPED) for d, lab in ((0.005, Lab(60, -30, 0)),)))
EMBER = Dye(name="Ember", dye_class="milling", swatches=tuple(Swatch(depth=d, lab=lab, reading=Reading.TYPED) for d, lab in ((0.005, Lab(65, 30, 30)),)))
SHELF = (KELP, EMBER, Solution(name="Kelp one", parts=(("Kelp", 1.0),), strength=0.01))
LAY, HOLD = (Step("lay in", {"width": "12 cm"}), Step("hold", {"to": "60 C", "time": "10 min"}))


def of(*steps: Step, water: str) -> ev.Session:
    wet = (Step("fill", {"volume": water}), Step("add acid", {"acid": "vinegar 5 %", "amount": "10 ml"}), LAY)
    return session_of(Colourway(name="Test", steps=(*wet, *steps), fibre="15 g", own_base=BASE, own_vessel=POT), shelf=SHELF)


def pour(over: str = "all") -> Step:
    return Step("pour", {"solution": "Kelp one", "amount": "10 ml", "over": over})


def test_a_pour_goes_into_the_water_where_it_stands_high() -> None:
    """Common practice: in a kettle dye is poured into the water, in little water onto the yarn."""
    session = of(pour(), pour("20-40 cm"), HOLD, water="2 l")
    everywhere, band = (one for one in session.events if isinstance(one, ev.Kettle))
    assert sum(everywhere.dyes_mg) == sum(band.dyes_mg) == pytest.approx(100)
    assert all(20 <= along <= 40 and 0 <= across < 1 for along, across in band.points)
    assert np.ptp([along for along, _ in everywhere.points]) > 50
    assert session.notes.count(DEEP) == 1
    shallow = of(pour(), HOLD, water="400 ml")
    assert [type(one) for one in shallow.events if isinstance(one, ev.Kettle | ev.Pour)] == [ev.Pour]
    emptied = of(Step("pour off", {"volume": "1.6 l"}), pour(), HOLD, water="2 l")
    assert not any(isinstance(one, ev.Kettle) for one in emptied.events)


def test_what_is_poured_into_a_kettle_is_in_the_ledger_and_thickest_where_it_went_in() -> None:
    session = of(pour("20-40 cm"), HOLD, water="2 l")
    run = quick(session, grid_of(session, 0.4), 1)
    assert run.ledger.added_mg.sum() == pytest.approx(100, rel=1e-5)
    assert run.ledger.error < 5e-6
    line = run.dye[0].sum(axis=(0, 1))
    assert line[len(line) * 30 // 80] > 5 * line[len(line) * 70 // 80]
    small = panel(64, 0.08)
    on_panel = quick(moved_to(session, small), small, 1)
    assert on_panel.ledger.error < 5e-6
    assert 0 < on_panel.ledger.added_mg.sum() < 100


def test_a_dip_has_the_strength_of_its_solution() -> None:
    """1 % by weight is 1 g in 100 ml, 10 mg in a cm3; yarn that drinks it full over half the loop takes up at least that much."""
    session = of(Step("dip", {"solution": "Kelp one", "over": "20-60 cm", "time": "5 min"}), HOLD, water="100 ml")
    dip = next(one for one in session.events if isinstance(one, ev.Dip))
    assert dip.dyes_mg_cm3 == pytest.approx((10.0,))
    run = quick(session, grid_of(session, 0.4), 1)
    held_ml = session.parameters.yarn.held_g_g * 15 / 2
    assert run.ledger.added_mg.sum() == pytest.approx(10 * held_ml, rel=0.05)


def test_lumps_of_a_damp_jar_make_fewer_and_larger_specks() -> None:
    """Common practice: powder from a damp jar falls in lumps. Grains n times as wide are n^3 times as heavy, so n^3 times fewer for the same weight."""

    def run(lumps: str) -> tuple[float, float]:
        said = {"dye": "Kelp", "amount": "0.02 g", "grain": "0.12 mm"} | ({"lumps": lumps} if lumps else {})
        session = of(Step("sprinkle", said), HOLD, water="150 ml")
        found = figures(quick(session, panel(256, 0.02), 1))
        assert found.speckle_mm is not None
        return found.speckle_mm, found.per_cm2

    (dry_mm, dry_number), (damp_mm, damp_number) = run(""), run("3")
    assert damp_mm > 1.3 * dry_mm
    assert damp_number < dry_number / 3
    for wrong in ("0", "40"):
        with pytest.raises(BadInput, match="1 to 8 grains wide"):
            of(Step("sprinkle", {"dye": "Kelp", "amount": "0.02 g", "lumps": wrong}), HOLD, water="150 ml")


def test_a_shaker_weighed_before_and_after() -> None:
    found = parse_dose("from 84.20 g to 83.95 g")
    assert (found.kind, found.value) == ("mass", pytest.approx(0.25))
    assert parse_dose("shaker from 1 oz to 27 g").value == pytest.approx(28.349523125 - 27)  # an ounce by the 1959 agreement
    with pytest.raises(BadInput, match="nothing came out"):
        parse_dose("from 83.95 g to 84.20 g")
    with pytest.raises(BadInput):
        parse_dose("from 84.20 to 83.95 g")


@pytest.fixture(scope="module")
def models() -> dict[str, DyeModel]:
    return fit_dyes([KELP, EMBER])


def test_main_colours_are_those_of_the_parts_of_a_skein(models: dict[str, DyeModel]) -> None:
    """Half Kelp, three tenths Ember, a fifth bare, each at its swatch's own depth: two colours, which are the swatches' own, and the bare part is none."""
    dye = np.zeros((2, 2, 4, 100), dtype=np.float32)
    dye[0, :, :, :50], dye[1, :, :, 50:80] = 0.0045, 0.0045
    skein = SkeinMap(dye=dye, names=("Kelp", "Ember"), ds_mm=8.0, row_mm=15.0, state="wet", geometry=SkeinGeometry(skein_g=15, length_mm=48_000, round_mm=800))
    ground, shares = ground_of(None), {"Kelp": 0.9, "Ember": 0.9}
    found = main_colours(
        skein, shares, look_up_of(skein.names, models, shares, ground.spectrum), (KELP, EMBER), models, ground, hue=hue_of, name=colour_words, seed=1
    )
    assert [one.share for one in found] == pytest.approx([0.5, 0.3], abs=0.01)
    for one, swatch in zip(found, (Lab(60, -30, 0), Lab(65, 30, 30)), strict=True):
        assert one.forecast.lab is not None
        assert one.forecast.lab.values == pytest.approx(swatch.values, abs=3.0)
        assert len(one.forecast.edges) == 2
    assert main_colours(skein, shares, look_up_of(skein.names, {}, shares, ground.spectrum), (), {}, ground, hue=hue_of, name=colour_words, seed=1) == ()
