"""Where a colourway's dye comes to lie on a skein: what is put in is found again, a bath has the colour of its forecast, and a full forecast follows."""

from __future__ import annotations

import dataclasses
import time
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from lot_studio import step, studio_in
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.lot.lot import Lot
from skeinwright.core.shelf.items import Base, Dye, Leftover, Vessel
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services.draft_lot import StartLot
from skeinwright.services.draw_laid import draw_laid
from skeinwright.services.film_session import film_session, moments_of
from skeinwright.services.find_recipe import find_recipe
from skeinwright.services.forecast_colourway import ColourwaySheet, forecast_colourway
from skeinwright.services.forecast_fully import forecast_fully
from skeinwright.services.map_colourway import MappedColourway, map_colourway, remembered
from skeinwright.services.run_in_background import Stopped
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.start_lot import start_lot
from skeinwright.services.studio import Studio

SWATCHES = tuple(Swatch(depth=depth, lab=lab, reading=Reading.TYPED) for depth, lab in ((0.005, Lab(60, -30, 0)), (0.02, Lab(40, -35, -2))))
RED = tuple(Swatch(depth=depth, lab=lab, reading=Reading.TYPED) for depth, lab in ((0.005, Lab(65, 30, 30)), (0.02, Lab(45, 45, 35))))
SMALL = Base(name="Small", fibres=(("wool", 1.0),), skein_g=15, length_mm=48_000, round_mm=800, undyed=Lab(92, 0, 8))
"""A test skein: 60 strands, 0.8 m once round, so that a full forecast takes a second."""
WET = (step("add acid", acid="White vinegar", amount="8 ml"), step("lay in", width="12 cm"), step("heat", to="80 C", rate="20 C/min"))
POWDER = step("sprinkle", dye="Kelp", amount="0.05 g")
SHORT = step("wait", time="4 min")


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (studio, _):
        with studio.store.writing() as writing:
            for name, swatches in (("Kelp", SWATCHES), ("Ember", RED)):
                kept = writing.item("dye", name)
                assert isinstance(kept.thing, Dye)
                writing.replace_item(
                    "dye", kept.id, dataclasses.replace(kept.thing, swatches=swatches, dye_class="half-milling"), revision=kept.revision, now=studio.now()
                )
            writing.add_item(SMALL, now=studio.now())
            writing.add_item(Vessel(name="Tray", shape="rectangle", length_mm=300, width_mm=200, height_mm=80, material="enamel"), now=studio.now())
        yield studio


def of(*steps: Step, water: str = "200 ml", **more: str) -> Colourway:
    return Colourway(name="Test", fibre="15 g", bases=("Small",), water="Tap", vessel="Tray", water_volume=water, steps=steps, **more)  # type: ignore[arg-type]


def grams(laid: MappedColourway) -> dict[str, float]:
    return {name: depth * 15 for name, depth in laid.skein.mean().items()}


def test_what_is_put_in_is_found_on_the_yarn_or_in_the_ledger(studio: Studio) -> None:
    laid = map_colourway(studio, of(*WET, POWDER, SHORT, step("sprinkle", dye="Ember", amount="0.03 g", over="white"), SHORT))
    assert laid.run is not None
    ledger = laid.run.ledger
    assert ledger.error < 5e-6  # the model's own tolerance in single precision
    put_in = {"Kelp": 0.05 * 0.8, "Ember": 0.03}  # the jar of Kelp is at 80 %
    for place, name in enumerate(laid.skein.names):
        assert ledger.added_mg[place] / 1000 == pytest.approx(put_in[name], rel=1e-4)
        assert grams(laid)[name] == pytest.approx(ledger.fibre_mg[place] / 1000, rel=1e-5)
    assert (laid.how, laid.skein.state, laid.skein.base) == ("quick", "wet", "Small")


def test_a_leftover_whose_dye_is_known_dyes_as_that_dye_would(studio: Studio) -> None:
    """Topping up ends no forecast: with half of a litre that holds 0.06 g it is 0.03 g of dye in 500 ml of water; with what is not known it is water."""
    with studio.store.writing() as writing:
        writing.add_item(Leftover(name="Red rest", volume_ml=1000, dyes_g=(("Ember", 0.06),)), now=studio.now())
        writing.add_item(Leftover(name="Clear rest", volume_ml=1000), now=studio.now())
    acid, hot = (*WET[:1], step("lay in")), (WET[2], step("hold", time="30 min"))

    def told(*steps: Step) -> ColourwaySheet:
        return forecast_colourway(studio, of(step("fill", volume="450 ml"), step("add dye", dye="Kelp", depth="0.6 %"), *steps, *acid, *hot, water=""))

    topped, plain = (
        told(step("top up", leftover="Red rest", amount="500 ml")),
        told(step("add water", volume="500 ml"), step("add dye", dye="Ember", amount="0.03 g")),
    )
    unknown, water = told(step("top up", leftover="Clear rest", amount="500 ml")), told(step("add water", volume="500 ml"))
    assert topped.stopped_at is unknown.stopped_at is None
    for with_rest, without in ((topped, plain), (unknown, water)):
        one, other = with_rest.bases[0].forecast.lab, without.bases[0].forecast.lab
        assert one is not None
        assert other is not None
        assert (one.L, one.a, one.b) == pytest.approx((other.L, other.a, other.b), abs=0.01)  # the steps take a minute more or less
    assert topped.bases[0].forecast.lab != unknown.bases[0].forecast.lab
    assert any("is not known, so it counts as water" in note for one in unknown.plan for note in one.notes)
    assert [dye.name for dye in topped.dyes] == ["Kelp"]  # what is weighed out
    kept, _ = save_colourway(studio, topped.colourway)
    with pytest.raises(BadInput, match="cannot be weighed out again"):
        find_recipe(studio, kept.id)


def test_an_even_bath_has_the_colour_of_its_forecast(studio: Studio) -> None:
    """Uptake counts once: the map holds dye on the fibre, and over what the swatches' bath lays on the yarn it is the depth of the forecast."""
    bath = of(step("fill", volume="450 ml"), step("add dye", recipe="Kelp 0.6 %, Ember 0.2 %"), *WET[:1], step("lay in"), WET[2], step("hold", time="30 min"))
    sheet = forecast_colourway(studio, dataclasses.replace(bath, water_volume=""), even_too=True)
    laid, forecast = sheet.bases[0].laid, sheet.bases[0].forecast
    assert laid is not None
    assert (laid.how, laid.is_patterned) == ("even", False)
    seen = laid.colours()
    assert float(np.ptp(seen.reshape(-1, 3), axis=0).max()) < 1e-6
    linear = seen[0, 0, 0].astype(float)
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)  # IEC 61966-2-1
    assert forecast.srgb is not None
    assert np.abs(255 * encoded - np.array(forecast.srgb)).max() < 1.0
    assert all(depth < 1 for depth in laid.shares.values())


def test_what_cannot_be_run_is_left_out_and_told(studio: Studio) -> None:
    laid = map_colourway(studio, of(*WET, POWDER, step("pour", dye="Ember", amount="20 ml"), step("wait", time="soon"), SHORT))
    assert laid.skein.names == ("Kelp",)
    assert any("Step 5, pour, is left out" in note for note in laid.notes)
    stopped = map_colourway(studio, of(*WET, POWDER, SHORT, step("remove colour", what="Soft wash", amount="1 g"), step("sprinkle", dye="Ember", amount="1 g")))
    assert (stopped.stopped_at, stopped.skein.names) == (6, ("Kelp",))
    with pytest.raises(BadInput, match="not on the shelf"):
        map_colourway(studio, of(*WET, POWDER), base="Nothing")


def test_before_any_time_has_passed_dye_is_shown_where_it_lies(studio: Studio) -> None:
    laid = map_colourway(studio, of(*WET, step("paint", dye="Kelp", amount="0.1 g", over="10-30 cm")))
    assert laid.as_it_lies
    face = laid.skein.dye[0, 0].mean(axis=0)
    inside, outside = face[laid.skein.cells * 20 // 80], face[laid.skein.cells * 60 // 80]
    assert inside > 50 * max(outside, 1e-9)
    assert grams(laid)["Kelp"] == pytest.approx(0.08, rel=1e-3)
    rinsed = map_colourway(studio, of(*WET, step("paint", dye="Kelp", amount="0.1 g", over="10-30 cm"), step("rinse")))
    assert not rinsed.as_it_lies
    assert grams(rinsed)["Kelp"] < 1e-4


def test_ties_stay_pale_and_a_slow_withdrawal_is_a_gradient(studio: Studio) -> None:
    """Common practice: what is tied off keeps its colour; a skein drawn out of the liquor by its tie is deepest at the far end."""
    bath = (step("lay in"), step("add dye", dye="Kelp", depth="0.5 %"), step("heat", to="85 C", rate="10 C/min"), step("hold", time="20 min"))
    tied = map_colourway(studio, of(WET[0], step("tie off", over="20-30 cm"), *bath, water="450 ml")).skein.dye[0].mean(axis=(0, 1))
    cells = len(tied)
    assert tied[cells * 25 // 80] < 0.1 * tied[cells * 60 // 80]
    drawn = map_colourway(studio, of(WET[0], step("heat", to="85 C", rate="10 C/min"), *bath[:2], step("withdraw", time="20 min"), water="450 ml"))
    line = drawn.skein.dye[0].mean(axis=(0, 1))
    assert line[: len(line) // 20].mean() < 0.2 * line[len(line) // 2]
    assert (np.diff(line[: len(line) // 2]) >= -1e-9).all()
    assert line[: len(line) // 2] == pytest.approx(line[::-1][: len(line) // 2], rel=1e-3)
    assert drawn.how == "ideal"
    both = map_colourway(studio, of(*WET, step("tie off", over="20-30 cm"), POWDER, step("wait", time="10 min"), step("rinse")))
    assert both.run is not None
    assert both.run.ledger.error < 5e-6
    speckled = both.skein.dye[0].mean(axis=(0, 1))
    assert speckled[len(speckled) * 25 // 80 - 5 : len(speckled) * 25 // 80 + 5].mean() < 0.1 * speckled.mean()


def test_a_skein_wound_for_stripes_is_dyed_on_its_long_loop(studio: Studio) -> None:
    laid = map_colourway(studio, of(step("re-skein", round="2.4 m"), *WET, step("paint", dye="Kelp", amount="0.1 g", over="100-140 cm"), SHORT, step("rinse")))
    assert laid.skein.round_mm == pytest.approx(2400)
    assert (laid.stopped_at, laid.reskeined_mm) == (None, 0.0)
    line = laid.skein.dye[0, 0].mean(axis=0)
    assert line[len(line) // 2] > 100 * line[len(line) // 10]
    again = map_colourway(studio, of(*WET, POWDER, SHORT, step("re-skein", round="1 m"), POWDER))
    assert (again.stopped_at, again.reskeined_mm) == (7, 1000.0)


def test_a_second_round_after_a_rinse_goes_over_the_first(studio: Studio) -> None:
    first = (*WET, step("paint", dye="Kelp", amount="0.1 g", over="0-20 cm"), step("hold", time="15 min"))
    again = (
        step("rinse"),
        step("add water", volume="200 ml"),
        WET[0],
        WET[2],
        step("paint", dye="Ember", amount="0.1 g", over="40-60 cm"),
        step("hold", time="15 min"),
    )
    laid = map_colourway(studio, of(*first, *again))
    kelp, ember = laid.skein.dye.mean(axis=(1, 2))
    cells = laid.skein.cells
    assert kelp[cells // 8] > 10 * kelp[cells * 5 // 8]
    assert ember[cells * 5 // 8] > 10 * ember[cells // 8]


def test_an_overdye_lies_over_the_lots_own_map(studio: Studio) -> None:
    painted = of(*WET, step("paint", dye="Kelp", amount="0.1 g", over="10-30 cm"), step("hold", time="15 min"))
    save_colourway(studio, dataclasses.replace(painted, name="Below"))
    lot = start_lot(studio, StartLot(colourway="Below"))
    code = (lot if isinstance(lot, Lot) else lot[0]).code
    below = map_colourway(studio, painted).skein
    bath = of(step("fill", volume="450 ml"), step("add dye", dye="Ember", depth="0.3 %"), WET[0], WET[2], step("hold", time="30 min"), water="", over=code)
    laid = map_colourway(studio, bath)
    assert laid.is_patterned
    assert laid.skein.dye[laid.skein.names.index("Kelp")] == pytest.approx(below.dye[0], rel=1e-3, abs=1e-8)
    ember = laid.skein.dye[laid.skein.names.index("Ember")]
    assert float(np.ptp(ember)) < 1e-9
    powder = map_colourway(studio, of(*WET, step("sprinkle", dye="Ember", amount="0.02 g"), SHORT, over=code))
    assert grams(powder)["Kelp"] == pytest.approx(float(below.dye[0].mean(dtype=float)) * 15, rel=0.02)  # some may loosen
    sheet = forecast_colourway(studio, bath)
    assert sheet.bases[0].laid is not None


def test_every_view_is_drawn_from_the_same_map(studio: Studio) -> None:
    laid = map_colourway(studio, of(*WET, POWDER, SHORT, step("rinse"), step("re-skein", round="1 m")))
    assert map_colourway(studio, laid.colourway) is laid
    drawn = {view: draw_laid(studio, laid.key, view=view, size="small") for view in ("in the pan", "laid open", "twisted", "re-skeined", "knitted", "close up")}
    assert len(set(drawn.values())) == 6
    assert drawn["twisted"] == draw_laid(studio, laid.key, view="twisted", size="small")
    from PIL import Image

    paper = Image.open(BytesIO(draw_laid(studio, laid.key, view="laid open", size="paper")))
    assert paper.size == (1772, 1181)
    assert paper.info["dpi"] == pytest.approx((300, 300), abs=0.1)
    with pytest.raises(NotFound, match="not known any more"):
        draw_laid(studio, "nothing")
    with pytest.raises(BadInput, match="views"):
        draw_laid(studio, laid.key, view="from below")


def test_the_full_forecast_follows_in_the_background_with_its_film(studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("skeinwright.services.map_colourway.FILM_FRAMES", 10)  # a quarter of the frames to draw
    session = of(*WET, POWDER, SHORT, step("turn"), SHORT)
    quick = map_colourway(studio, session)
    job = forecast_fully(studio, session)
    assert job is not None
    assert forecast_fully(studio, session) is job
    end = time.monotonic() + 60
    heard = set()
    while job.state == "running" and time.monotonic() < end:
        heard.add(job.sentence)
        time.sleep(0.02)
    assert (job.state, job.error) == ("done", "")
    assert any("minute" in sentence for sentence in heard)
    laid = remembered(job.result)
    assert laid is not None
    assert (laid.how, map_colourway(studio, session, full=True)) == ("full", laid)
    assert forecast_colourway(studio, session).bases[0].laid is laid
    assert grams(laid)["Kelp"] == pytest.approx(grams(quick)["Kelp"], rel=0.3)  # powder that dissolves slowly is what the quick one leaves out
    assert quick.ranges == {}
    assert {"half_width_mm", "coverage"} <= set(laid.ranges)
    moments = moments_of(laid)
    assert [one.time_s for one in moments] == sorted(one.time_s for one in moments)
    assert moments[-1].time_s == pytest.approx((3 + 4 + 4) * 60, abs=1)
    assert [one.step for one in moments] == sorted(one.step or 0 for one in moments)
    assert "step 7: Wait 4 min" in moments[-1].says
    _is_a_loop(studio, laid)


def _is_a_loop(studio: Studio, laid: MappedColourway) -> None:
    """Read back by another program's rules: frames, and that it repeats for ever."""
    from PIL import Image

    for form, name in (("webp", "WEBP"), ("gif", "GIF"), ("png", "PNG")):
        made = Image.open(BytesIO(film_session(studio, laid.key, form=form)))
        assert made.format == name
        assert getattr(made, "n_frames", 1) >= 6
        assert made.info["loop"] == 0
    with pytest.raises(BadInput, match="written as"):
        film_session(studio, laid.key, form="mp4")
    with pytest.raises(NotFound, match="no such moment"):
        draw_laid(studio, laid.key, size="thumb", frame=999)


def test_a_full_forecast_that_is_given_up_leaves_nothing(studio: Studio) -> None:
    said: list[float] = []

    def give_up(done: float, sentence: str) -> None:
        said.append(done)
        if len(said) > 3:
            raise Stopped

    session = of(*WET, step("sprinkle", dye="Kelp", amount="0.041 g"), SHORT)
    with pytest.raises(Stopped):
        map_colourway(studio, session, full=True, progress=give_up)
    assert map_colourway(studio, session).how == "quick"
    assert forecast_fully(studio, of(step("fill", volume="1 l"), step("add dye", dye="Kelp", depth="1 %"))) is None
    assert remembered("nothing") is None
