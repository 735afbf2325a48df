"""Steps in words become events in numbers; figures, guidance and the quick forecast on small panels."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from skeinwright.core.colourway.colourway import Colourway, SkeinGeometry, Step
from skeinwright.core.colourway.document import read_colourway_document
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base, Blend, Dye, Solution, Vessel
from skeinwright.core.spread import events as ev
from skeinwright.core.spread.figures import figures, figures_of, half_width_mm, specks
from skeinwright.core.spread.grains import mean_grain_mg, sprinkle
from skeinwright.core.spread.grid import Grid, panel
from skeinwright.core.spread.groups import groups
from skeinwright.core.spread.guidance import at_moment, guidance, powder_dose, still_depth_cm
from skeinwright.core.spread.parameters import DyeParameters, Parameters, PowderParameters
from skeinwright.core.spread.quick import quick
from skeinwright.core.spread.session import session_of
from skeinwright.core.spread.skein import grid_error, grid_of, ground_from, moved_to, skein_map_of, stamped
from skeinwright.core.spread.stepper import full
from spread_cases import case

FILE = Path(__file__).parents[1] / "reference" / "data" / "three_rounds.toml"
BASE = Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, round_mm=1500, superwash=True)
PAN = Vessel(name="Wide pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100, lid=False)
SHELF = (
    Dye(name="Kelp", dye_class="milling"),
    Dye(name="Ember", dye_class="levelling", strength=0.5),
    Solution(name="Kelp 1 %", parts=(("Kelp", 1.0),), strength=0.01),
    Blend(name="Shingle", parts=(("Kelp", 0.2), ("citric", 0.8)), grain_mm=0.1),
)


def _of(*steps: Step, water: str = "1 l") -> ev.Session:
    colourway = Colourway(name="Test", steps=steps, fibre="100 g", own_base=BASE, own_vessel=PAN, water_volume=water)
    return session_of(colourway, shelf=SHELF)


VINEGAR = Step("add acid", {"acid": "vinegar 5 %", "amount": "30 ml"})
LAY = Step("lay in", {"width": "14 cm"})
WAIT = Step("wait", {"time": "5 min"})


def test_the_pan_and_the_yarn() -> None:
    session = _of(VINEGAR, LAY, Step("sprinkle", {"dye": "kelp", "amount": "0.1 g"}), WAIT)
    assert session.laid.area_cm2 == pytest.approx(150 * 7)
    assert session.laid.half_mg_cm2 == pytest.approx(1000 * 100 / 1050 / 2)
    assert session.free_ml == pytest.approx(1030 - 300)
    assert session.names == ("Kelp",)
    assert session.acid_mmol == pytest.approx(30 * 0.833 - 120 / 50043 * 1030 * 1, rel=0.02)


def test_every_way_of_laying_dye_on() -> None:
    session = _of(
        VINEGAR,
        LAY,
        Step("heat", {"to": "80 C", "rate": "2 C/min"}),
        Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g", "over": "20-60 cm", "grain": "0.2 mm"}),
        Step("sprinkle", {"blend": "3 Kelp : 1 Ember", "amount": "0.4 g", "over": "white"}),
        Step("sprinkle", {"blend": "Shingle", "amount": "0.5 g"}),
        Step("pour", {"solution": "Kelp 1 %", "amount": "50 ml"}),
        Step("add thickener", {"what": "gum", "amount": "1 g"}),
        Step("paint", {"dye": "Ember", "amount": "0.2 g", "over": "0-40 cm"}),
        Step("add dye", {"dye": "Ember", "depth": "0.1 %"}),
        Step("add water", {"volume": "200 ml"}),
        Step("pour off", {"volume": "100 ml"}),
        Step("turn"),
        Step("lid on"),
        Step("hold", {"to": "88 C", "time": "10 min"}),
        Step("note", {"text": "look"}),
        Step("rinse"),
        Step("sprinkle", {"dye": "Kelp", "amount": "9 g"}),
    )
    kinds = [type(event).__name__ for event in session.events]
    assert kinds == [
        "Heat",
        "Sprinkle",
        "Sprinkle",
        "Sprinkle",
        "Pour",
        "Pour",
        "Bath",
        "AddWater",
        "PourOff",
        "Turn",
        "Lid",
        "Heat",
        "Wait",
        "Rinse",
        "Sprinkle",
    ]
    first, second, third, poured, painted, again = (event for event in session.events if isinstance(event, ev.Sprinkle | ev.Pour))
    assert first.bands == ((20.0, 60.0),)
    assert first.grain_mm == 0.2
    assert second.dyes_mg == pytest.approx((300.0, 50.0))
    assert second.white
    assert third.dyes_mg == pytest.approx((100.0, 0.0))
    assert third.acid_mmol > 0
    assert third.grain_mm == 0.1
    assert poured.dyes_mg == pytest.approx((500.0, 0.0))
    assert poured.volume_ml == pytest.approx(50.0)
    assert painted.thick < 1
    assert painted.dyes_mg == pytest.approx((0.0, 100.0))
    assert again.dyes_mg == pytest.approx((9000.0, 0.0))
    assert session.steps == (3, 4, 5, 6, 7, 9, 10, 11, 12, 13, 14, 15, 15, 17, 18)


def test_a_dye_at_half_strength_counts_half() -> None:
    session = _of(LAY, Step("sprinkle", {"dye": "Ember", "amount": "0.2 g"}), WAIT)
    assert session.events[0].dyes_mg == pytest.approx((100.0,))  # type: ignore[union-attr]


def test_what_cannot_be_forecast_is_said_and_what_cannot_be_is_refused() -> None:
    session = _of(LAY, Step("add soda", {"what": "soda", "amount": "1 g"}), Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"}), WAIT)
    assert any("add soda" in note for note in session.notes)
    with pytest.raises(BadInput, match="No step lays any dye"):
        _of(LAY, WAIT)
    with pytest.raises(BadInput, match="no blend Nothing"):
        _of(LAY, Step("sprinkle", {"blend": "Nothing", "amount": "1 g"}))
    with pytest.raises(BadInput, match="says nothing of its strength"):
        _of(LAY, Step("pour", {"dye": "Kelp", "amount": "50 ml"}))


def test_more_acid_strikes_sooner() -> None:
    sprinkled = Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"})
    plain, sour = _of(LAY, sprinkled, WAIT), _of(VINEGAR, LAY, sprinkled, WAIT)
    a, b = (full(one, panel(48, 0.05), 1).ledger.on_fibre[0] for one in (plain, sour))
    assert b > a


def test_grains_weigh_what_was_sprinkled() -> None:
    rng, powder = np.random.default_rng(1), PowderParameters()
    grains = sprinkle(400.0, powder, rng, 20.0, 10.0)
    assert grains.mass_mg.sum() == pytest.approx(400, rel=1e-12)
    assert grains.mass_mg.size == pytest.approx(400 / mean_grain_mg(powder), rel=0.05)
    free = 4 / 3 * np.pi * powder.density_mg_cm3 * grains.radius_cm**3
    assert free.mean() == pytest.approx(mean_grain_mg(powder), rel=0.05)
    assert grains.radius_cm.max() <= 0.012 * 1.6**2 * (1 + 1e-12)
    assert sprinkle(0.0, powder, rng, 1.0, 1.0).mass_mg.size == 0


def test_figures_count_known_specks() -> None:
    grid, face = Grid(200, 200, 0.02, 0.02), np.zeros((200, 200))
    y, x = np.indices(face.shape)
    for cy, cx in ((30, 40), (100, 120), (160, 60), (60, 170)):
        face[np.hypot(y - cy, x - cx) <= 10] = 0.01
    found = figures_of(np.stack([face, 0 * face]), grid, 50.0)
    assert found.counted
    assert found.speckle_mm == pytest.approx(2 * 10 * 0.02 * 10, rel=0.05)
    assert found.per_cm2 == pytest.approx(4 / 16)
    assert found.per_gram == pytest.approx(4 / 16 / 0.1)
    assert found.coverage == pytest.approx(4 * np.pi * 100 / 40000, rel=0.05)
    assert found.front_back == 0
    assert specks(np.zeros((10, 10)), Grid(10, 10, 0.1, 0.1))[0] == 0
    assert half_width_mm(np.ones((10, 10)), Grid(10, 10, 0.1, 0.1)) == 0


def test_crowded_specks_are_not_counted() -> None:
    rng = np.random.default_rng(1)
    face = rng.random((100, 100)) > 0.6
    found = figures_of(np.stack([face, face]).astype(float), Grid(100, 100, 0.02, 0.02), 50.0)
    assert not found.counted
    assert found.speckle_mm is None


def test_the_quick_forecast_is_like_the_full_one() -> None:
    """The same grains: alike cell by cell; front and back within a fifth."""
    grid = panel(96, 0.04)
    for depth, phi in ((0.15, 0.3), (0.4, 0.1), (1.0, 0.3)):
        session = case(depth, phi, load_mg_cm2=0.1)
        a, b = quick(session, grid, 2), full(session, grid, 2)
        assert a.quick
        assert np.corrcoef(a.dye[0, 0].ravel(), b.dye[0, 0].ravel())[0, 1] > 0.98
        assert figures(a).front_back == pytest.approx(figures(b).front_back, rel=0.35)
        assert figures(a).half_width_mm == pytest.approx(figures(b).half_width_mm, rel=0.15)


def test_a_whole_skein_and_a_map_of_it() -> None:
    session = _of(VINEGAR, LAY, Step("heat", {"to": "85 C", "rate": "5 C/min"}), Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g", "over": "0-50 cm"}), WAIT)
    grid = grid_of(session, 0.5)
    assert grid.round_the_loop
    assert grid.length_cm == pytest.approx(150)
    assert grid.area_cm2 == pytest.approx(session.laid.area_cm2)
    result = full(session, grid, 1)
    assert result.ledger.added_mg[0] == pytest.approx(100, rel=1e-9)
    skein = skein_map_of(result, SkeinGeometry(skein_g=100, length_mm=400_000, round_mm=1500), "Quay Sock")
    assert skein.names == ("Kelp",)
    assert skein.mean()["Kelp"] == pytest.approx(0.001 * result.ledger.on_fibre[0], rel=1e-4)
    third = skein.dye[0, :, :, : skein.cells // 3].mean()
    assert third > 10 * skein.dye[0, :, :, skein.cells // 2 : -skein.cells // 8].mean()
    ground = ground_from(skein, ("Ember", "Kelp"), Grid(40, 100, 1.5, 0.1, True))
    assert ground[1].mean() == pytest.approx(skein.dye.mean(), rel=1e-5)
    over = full(session, grid, 2, ground=ground_from(skein, ("Kelp",), grid))
    assert over.ledger.error < 5e-6
    assert over.ledger.added_mg[0] == pytest.approx(100 + result.ledger.fibre_mg[0], rel=1e-4)


def test_the_skeins_cells_against_a_panel() -> None:
    session = read_session()
    found = grid_error(session, 1, patch_cm=2.0)
    assert found.relative_l2 < 0.12
    assert found.coarse.half_width_mm == pytest.approx(found.fine.half_width_mm, rel=0.1)
    assert f"{100 * found.relative_l2:.0f} %" in found.sentence


def read_session() -> ev.Session:
    return session_of(read_colourway_document(tomllib.loads(FILE.read_text())))


def test_stamped_detail_keeps_each_cells_dye() -> None:
    session = case(0.4, 0.2, load_mg_cm2=0.1, time_s=200)
    fine = full(session, panel(100, 0.02), 1)
    coarse = Grid(20, 20, 0.1, 0.1)
    dye = fine.dye.reshape(1, 2, 20, 5, 20, 5).mean(axis=(3, 5))
    out = stamped(dye, coarse, fine, slice(0, 20), slice(0, 20), np.random.default_rng(2))
    assert out.shape == (1, 2, 100, 100)
    assert out.reshape(1, 2, 20, 5, 20, 5).mean(axis=(3, 5)) == pytest.approx(dye, rel=1e-5, abs=1e-12)
    assert out[0, 0].std() > 1.02 * np.repeat(np.repeat(dye[0, 0], 5, 0), 5, 1).std()


def test_a_panel_lies_where_the_band_is() -> None:
    session = _of(LAY, Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g", "over": "60-80 cm"}), WAIT)
    moved = moved_to(session, panel(100, 0.05)).events[0]
    assert moved.bands == ((pytest.approx(-7.5), pytest.approx(12.5)),)  # type: ignore[union-attr]


def test_guidance_says_what_the_water_does() -> None:
    deep, shallow = case(0.8, 0.1), case(0.15, 0.3)
    assert any("deep enough to stir itself" in one and "pour off to 1.5 mm" in one for one in guidance(deep))
    assert any("stands still" in one for one in guidance(shallow))
    assert any("Little acid" in one for one in guidance(case(0.15, 0.0)))
    assert any("will not be clear" in one for one in at_moment(case(1.0, 0.03), 60.0, 1.0, 120.0))
    assert 0.15 < still_depth_cm(85) < 0.25
    assert still_depth_cm(20) == float("inf")


def test_powder_for_a_wish() -> None:
    powder = PowderParameters()
    some = powder_dose(powder, 60.0, 1.2, coverage=0.08)
    assert some.coverage == pytest.approx(0.08)
    assert some.grams_per_100_g == pytest.approx(some.per_cm2 * mean_grain_mg(powder) / 1000 / 0.12 * 100)
    stitches = powder_dose(powder, 60.0, 1.2, per_stitch=0.5, stitch_mm=12.0, tex=250.0)
    assert stitches.per_stitch == pytest.approx(0.5)
    assert stitches.per_gram == pytest.approx(0.5 / (12 * 250 / 1e6))
    assert any("12 %" in one for one in powder_dose(powder, 60.0, 1.5, coverage=0.3).sentences)
    with pytest.raises(ValueError, match="coverage"):
        powder_dose(powder, 60.0, 1.2)


def test_groups_by_hand() -> None:
    """lambda^2 = D/(k g); Da = k g t."""
    found = groups(DyeParameters(), 85.0, 0.15, 0.25, 1.0, 100.0, Parameters())
    dye = DyeParameters()
    assert found.da == pytest.approx(dye.strike_per_s(85.0) * 100)
    assert found.lambda_y_cm**2 == pytest.approx(0.6 * dye.diffusion_cm2_s(85.0) / dye.strike_per_s(85.0))
    assert found.an == pytest.approx(0.9 * 4 / 0.6)


def test_salt_a_wetter_and_a_leftover_come_into_the_session() -> None:
    """Salt shares out the dye anew (core/bath's law), a wetter changes nothing, a leftover brings its share of dye; a leveller is told as not counted."""
    from skeinwright.core.shelf.items import Leftover

    def session(*more: dict[str, str], rest: tuple[Leftover, ...] = ()) -> ev.Session:
        document = {
            "name": "x", "fibre": {"mass": "100 g"}, "dye": [{"name": "Kelp", "class": "levelling"}],
            "step": [
                {"do": "fill", "volume": "1 l"}, {"do": "add acid", "acid": "vinegar 5 %", "amount": "20 ml"}, *more, {"do": "lay in"},
                {"do": "sprinkle", "dye": "Kelp", "amount": "1 g"}, {"do": "heat", "to": "85 C"},
            ],
        }  # fmt: skip
        return session_of(read_colourway_document(document), shelf=rest)

    plain = session()
    wetted = session({"do": "add wetter", "amount": "1 tsp", "what": "wash"})
    assert (wetted.dyes, wetted.events, wetted.notes) == (plain.dyes, plain.events, plain.notes)
    salted = session({"do": "add salt", "amount": "10 g"})
    assert salted.notes == plain.notes
    assert salted.dyes[0].equilibrium_85 != plain.dyes[0].equilibrium_85
    assert any("not counted" in note for note in session({"do": "add leveller", "amount": "1 g"}).notes)
    rest = Leftover(name="Green rest", volume_ml=2000, dyes_g=(("Ember", 0.4),))
    topped = session({"do": "top up", "leftover": "Green rest", "amount": "500 ml"}, rest=(rest,))
    assert topped.names == ("Ember", "Kelp")
    assert next(event for event in topped.events if isinstance(event, ev.Bath)).dyes_mg == pytest.approx((100.0, 0.0))
    assert topped.free_ml == pytest.approx(plain.free_ml + 500)
