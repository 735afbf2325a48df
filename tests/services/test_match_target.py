"""Recipes, fades, corrections, reach, triangles and ends of jars, as the pages and the command line ask for them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.compare_colours import compare_colours
from skeinwright.services.correct_recipe import CorrectRequest, correct_recipe
from skeinwright.services.fit_dyes import fit_dyes
from skeinwright.services.forecast_dyes import DyesRequest, forecast_dyes
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.make_fade import FadeRequest, make_fade
from skeinwright.services.match_target import MatchRequest, match_target
from skeinwright.services.mixing_triangle import corner_depths, mixing_triangle, said_depths
from skeinwright.services.reach_of_shelf import reach_of_shelf
from skeinwright.services.read_dye_table import read_dye_table
from skeinwright.services.studio import Studio
from skeinwright.services.use_up import use_up

TABLE = """dye,depth_pct,L,a,b,base
,0,91,0,9,Quay Sock
Kelp,0.1,76,-14,9,Quay Sock
Kelp,0.5,55,-22,8,Quay Sock
Kelp,2,33,-19,5,Quay Sock
Ember,0.1,78,22,22,Quay Sock
Ember,0.5,60,45,36,Quay Sock
Ember,2,44,54,40,Quay Sock
Sloe,0.1,72,-4,-14,Quay Sock
Sloe,0.5,48,2,-30,Quay Sock
Sloe,2,26,6,-32,Quay Sock
"""


@pytest.fixture
def facts() -> DyeFacts:
    return read_dye_table(TABLE)


def test_a_match_is_what_the_forecast_of_its_doses_says(facts: DyeFacts) -> None:
    found = match_target(facts, MatchRequest(target="45, 12, 10"))
    plain = found.to_plain()
    assert plain["reachable"]
    assert len(plain["matches"]) <= 20
    assert (plain["illuminant"], plain["observer"]) == ("D65", 10)
    best = plain["matches"][0]
    assert set(best["inconstancy"]) == {"A", "FL11", "LED-B3"}
    assert best["metamerism"] is None
    again = forecast_dyes(DyesRequest(doses=[f"{name}={pct} %" for name, pct in best["doses"].items()], table=TABLE)).to_plain()
    assert again["lab"] == pytest.approx(best["lab"], abs=0.02)
    assert again["spread_de00"] == pytest.approx(best["spread_de00"], rel=0.05)
    assert [match["de00"] for match in plain["matches"]] == sorted(match["de00"] for match in plain["matches"])
    json.dumps(plain, allow_nan=False)


def test_amounts_are_rounded_and_forecast_again(facts: DyeFacts) -> None:
    best = match_target(facts, MatchRequest(target="45, 12, 10", fibre="10 g")).to_plain()["matches"][0]
    for one in best["amounts"]:
        assert one["unit"] == "g"
        assert one["amount"] / 0.01 == pytest.approx(round(one["amount"] / 0.01))
        assert best["doses"][one["dye"]] == pytest.approx(100 * one["amount"] / 10)
    exact = match_target(facts, MatchRequest(target="45, 12, 10")).to_plain()["matches"][0]
    assert best["de00"] > exact["de00"]


def test_a_hex_target_is_met_under_its_own_observer(facts: DyeFacts) -> None:
    plain = match_target(facts, MatchRequest(target_hex="#7a5048")).to_plain()
    assert (plain["illuminant"], plain["observer"]) == ("D65", 2)
    assert plain["matches"][0]["de00"] < 0.5


def test_a_measured_target_has_metamerism(facts: DyeFacts) -> None:
    spectrum = [(nm, 0.1 + 0.0008 * (nm - 400)) for nm in range(400, 701, 10)]
    best = match_target(facts, MatchRequest(target_spectrum=spectrum)).to_plain()["matches"][0]
    assert set(best["metamerism"]) == {"A", "FL11", "LED-B3"}


def test_an_overdye_stands_on_its_ground(facts: DyeFacts) -> None:
    from skeinwright.core.forecast.ground import ground_of
    from skeinwright.core.shelf.swatch import Lab

    plain = match_target(facts, MatchRequest(target="80, 0, 10", ground=ground_of(Lab(60, 10, 10), "an old skein"))).to_plain()
    assert not plain["reachable"]
    assert any("deeper" in sentence for sentence in plain["warnings"])


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (MatchRequest(), "target once"),
        (MatchRequest(target="45,1,1", target_hex="#123456"), "target once"),
        (MatchRequest(target="45,1,1", max_dyes=5), "1 to 4"),
        (MatchRequest(target="45,1,1", must=("Rosehip",)), "Rosehip"),
        (MatchRequest(target="45,1,1", must=("Kelp", "Sloe"), max_dyes=1), "may have 1"),
        (MatchRequest(target="45,1,1", without=("Kelp", "Ember", "Sloe")), "No dye is left"),
        (MatchRequest(target="45,1,1", deepest="40 %"), "20 %"),
    ],
)
def test_what_cannot_be_matched(facts: DyeFacts, request_: MatchRequest, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        match_target(facts, request_)


def test_a_base_that_is_given_lies_under_swatches_that_name_none() -> None:
    table = "dye,depth_pct,L,a,b\nKelp,0.5,46,-18,6\n"
    facts = read_dye_table(table, base_lab="80, 3, 20")
    assert facts.undyed[""].L == 80
    assert facts.assumed


def test_a_measured_ladder_on_a_measured_base_is_known_in_every_band() -> None:
    """Spectra with a dip that no Lab shows: a base with a notch at 450 nm, and a dye at three depths; half way between the rungs each band is met."""
    import numpy as np

    from skeinwright.core.colour.mixing import mix

    nm = np.arange(400, 701, 10)
    base = 0.85 - 0.2 * np.exp(-(nm - 400) / 60) - 0.1 * np.exp(-(((nm - 450) / 12) ** 2))
    dye = 12 * np.exp(-(((nm - 520) / 45) ** 2)) + 0.05
    head = "dye,depth_pct," + ",".join(f"R{one}" for one in nm)
    lines = [head, ",0," + ",".join(f"{value:.5f}" for value in base)]
    lines += [f"Kelp,{pct}," + ",".join(f"{value:.5f}" for value in mix(base, pct * dye[None])) for pct in (0.1, 0.5, 2)]
    facts = read_dye_table("\n".join(lines))
    ground, _ = facts.ground()
    assert np.abs(ground.spectrum - base).max() < 1e-4
    truth = mix(base, 0.25 * dye[None])
    assert np.abs(facts.dye_set(ground).spectra(np.array([0.0025])) - truth).max() < 0.01


def test_differences() -> None:
    """Sharma's first pair is 2.0425; CMC(2:1) of pair 25 is 1.4205 by two codings, the other way round it differs."""
    assert compare_colours("50, 2.6772, -79.7751", "50, 0, -82.7485").difference == pytest.approx(2.0425, abs=1e-4)
    there = compare_colours("60.2574, -34.0099, 36.2677", "60.4626, -34.1751, 39.4387", "cmc")
    back = compare_colours("60.4626, -34.1751, 39.4387", "60.2574, -34.0099, 36.2677", "cmc")
    assert there.difference == pytest.approx(1.4205, abs=1e-4)
    assert there.difference != pytest.approx(back.difference, abs=1e-3)
    with pytest.raises(BadInput, match="cannot be compared"):
        compare_colours("50,0,0", "#808080")
    with pytest.raises(BadInput, match="method"):
        compare_colours("50,0,0", "50,1,0", "cie76")


def test_a_fade_between_two_recipes(facts: DyeFacts) -> None:
    plain = make_fade(facts, FadeRequest(start=["Kelp=0.5 %"], end=["Ember=1 %", "Sloe=0.1 %"], skeins=5)).to_plain()
    assert plain["skeins"][0]["doses"] == {"Kelp": 0.5}
    assert plain["skeins"][-1]["doses"] == {"Ember": 1.0, "Sloe": 0.1}
    assert max(plain["steps_de00"]) < 1.3 * min(plain["steps_de00"])
    with pytest.raises(BadInput, match="2 to 50"):
        make_fade(facts, FadeRequest(start=["Kelp=0.5 %"], end=["Ember=1 %"], skeins=1))


def test_a_correction(facts: DyeFacts) -> None:
    target = forecast_dyes(DyesRequest(doses=["Kelp=0.5 %", "Ember=0.3 %"], table=TABLE)).lab
    paler = forecast_dyes(DyesRequest(doses=["Kelp=0.42 %", "Ember=0.25 %"], table=TABLE)).lab
    said = [", ".join(str(value) for value in lab.values) for lab in (target, paler)]
    plain = correct_recipe(facts, CorrectRequest(doses=["Kelp=0.5 %", "Ember=0.3 %"], target=said[0], measured=said[1])).to_plain()
    assert all(0.75 < value < 1 for value in plain["strengths"].values())
    assert plain["recipe"]["Kelp"] > 0.5
    assert plain["top_up_de00"] < 0.5 < plain["trial_de00"]


def test_what_a_correction_leaves_is_that_of_the_amounts_as_rounded(facts: DyeFacts) -> None:
    target = forecast_dyes(DyesRequest(doses=["Kelp=0.5 %", "Ember=0.3 %"], table=TABLE)).lab
    paler = forecast_dyes(DyesRequest(doses=["Kelp=0.42 %", "Ember=0.25 %"], table=TABLE)).lab
    said = [", ".join(str(value) for value in lab.values) for lab in (target, paler)]
    for uptake in ({}, {"Kelp": 0.8}):
        found = correct_recipe(facts, CorrectRequest(doses=["Kelp=0.5 %", "Ember=0.3 %"], target=said[0], measured=said[1], uptake=uptake))
        made = found.correction
        assert found.left_after(made.recipe) == pytest.approx(made.recipe_de00, abs=0.02)
        assert found.left_after_adding(made.top_up) == pytest.approx(made.top_up_de00, abs=0.02)
        assert found.left_after_adding({}) == pytest.approx(made.trial_de00, abs=0.3)
        coarse = {name: 0.001 * round(depth / 0.001) for name, depth in made.recipe.items()}  # 0.01 g on 10 g
        assert found.left_after(coarse) > made.recipe_de00 + 0.3


def test_what_the_shelf_reaches_and_a_triangle(facts: DyeFacts) -> None:
    ground, _ = facts.ground()
    chips = reach_of_shelf(facts, ground)
    assert len(chips) > 10
    rows = mixing_triangle(facts, ("Kelp", "Ember", "Sloe"), (0.005, 0.005, 0.004), ground, steps=4)
    assert [len(row) for row in rows] == [1, 2, 3, 4, 5]
    assert rows[0][0].doses == {"Kelp": 0.005}
    assert rows[4][0].doses == {"Ember": 0.005}
    assert rows[4][4].doses == {"Sloe": 0.004}
    with pytest.raises(BadInput, match="three different"):
        mixing_triangle(facts, ("Kelp", "Kelp", "Sloe"), (0.005, 0.005, 0.004), ground)


@pytest.mark.parametrize(
    ("typed", "depths", "said"),
    [
        ("1 %", (0.01, 0.01, 0.01), "1 % of the fibre"),
        ("1 %, 0.5 %, 2 %", (0.01, 0.005, 0.02), "1 %, 0.5 % and 2 % of the fibre at the corners"),
        ("1 % 0,5 % ; 2%", (0.01, 0.005, 0.02), "1 %, 0.5 % and 2 % of the fibre at the corners"),
    ],
)
def test_the_depths_of_a_triangle_as_people_write_them(typed: str, depths: tuple[float, ...], said: str) -> None:
    assert corner_depths(typed) == pytest.approx(depths)
    assert said_depths(depths) == said


@pytest.mark.parametrize(
    ("typed", "says"), [("1 %, 2 %", "2 depths were read"), ("30 %", "between 0 and 20 %"), ("0 %, 1 %, 1 %", "between 0 and 20 %"), ("some", "number")]
)
def test_depths_that_are_none_are_refused(typed: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        corner_depths(typed)


def test_recipes_are_ranked_as_they_can_be_dosed(facts: DyeFacts) -> None:
    """On little fibre a step of the balance moves the colour: the order, and the three to choose from, are those of what is weighed, not of what was solved."""
    for fibre in ("100 g", "12 g"):
        found = match_target(facts, MatchRequest(target="45, 12, 10", fibre=fibre))
        de00 = [recipe.match.de00 for recipe in found.recipes]
        assert [round(one, 2) for one in de00] == sorted(round(one, 2) for one in de00)
        assert found.nearest.match.de00 <= de00[0] + 0.1 + 1e-9
        rows = {tuple(sorted((dose.dye, dose.amount) for dose in recipe.amounts)) for recipe in found.recipes}
        assert len(rows) == len(found.recipes)  # two that round to the same are one recipe


def test_within_reach_but_not_to_be_weighed_is_said(facts: DyeFacts) -> None:
    found = match_target(facts, MatchRequest(target="45, 12, 10", fibre="2 g"))
    assert found.reachable
    assert found.nearest.match.de00 > 1
    assert any("what can be weighed for this much fibre comes only within" in said for said in found.warnings)
    assert not any("do not reach the target" in said for said in found.warnings)


def test_the_fit_of_a_table() -> None:
    plain = fit_dyes(TABLE).to_plain()
    assert set(plain["dyes"]) == {"Kelp", "Ember", "Sloe"}
    for one in plain["dyes"].values():
        assert len(one["residual_de00"]) == len(one["leave_one_out_de00"]) == 3
        assert one["depth_pct"] == [0.1, 0.5, 2.0]
    wrong = fit_dyes(TABLE.replace("Kelp,2,33,-19,5", "Kelp,2,33,40,-30").replace("Kelp,0.5", "Kelp,1,45,-21,7,Quay Sock\nKelp,0.5"))
    assert any("Kelp: the 2 % swatch does not fit: typed wrong?" in sentence for sentence in wrong.warnings)


def test_the_shelf_s_own_dyes_prices_and_ends_of_jars(studio: Studio) -> None:
    add_to_shelf(studio, "base", {"name": "Quay Sock", "fibres": "100 % wool", "skein_g": "100 g", "length_mm": "400 m", "undyed": "91, 0, 9"})
    for name, price, left in (("Kelp", "20", "2 g"), ("Ember", "8", "0.5 g")):
        kept, _ = add_to_shelf(studio, "dye", {"name": name, "jar_g": "50 g", "price_minor": price, "on_hand_g": left})
        for line in TABLE.splitlines()[1:]:
            dye, depth, L, a, b, base = line.split(",")
            if dye == name:
                add_swatch(studio, kept.id, {"depth": f"{depth} %", "colour": f"{L}, {a}, {b}", "base": base})
    add_to_shelf(studio, "dye", {"name": "Rosehip", "on_hand_g": "1 g"})
    add_to_shelf(studio, "solution", {"name": "Ember 1 %", "parts": "Ember", "strength": "1 %"})
    facts = gather_dyes(studio)
    found = match_target(facts, MatchRequest(target="50, 5, 15", fibre="100 g"))
    assert found.cheapest is not None
    assert {dose.dye: dose.unit for dose in found.nearest.amounts} == {"Kelp": "g", "Ember": "ml"}
    ground, _ = facts.ground()
    used = use_up(studio, ground, fibre_g=(100.0,))
    assert used.left_g == {"Ember": 0.5, "Kelp": 2.0}
    assert used.pots[0].takes_g == pytest.approx({"Ember": 0.5, "Kelp": 2.0})
    assert any("Rosehip has no swatch" in note for note in used.notes)


def test_a_recipe_for_more_water_is_kept_with_it_and_comes_out_as_shown(studio: Studio) -> None:
    """Its own pot, followed step by step in 60:1, lays on what the match promised; the doses of 30:1 put into that pot come out paler."""
    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.services.find_base_ground import find_base_ground
    from skeinwright.services.find_recipe import find_recipe
    from skeinwright.services.keep_recipe import KeepRecipe, keep_recipe
    from skeinwright.services.set_up_studio import set_up_studio

    set_up_studio(studio, demo=True)
    facts, base = gather_dyes(studio), find_base_ground(studio, "Fen Single")
    asked = MatchRequest(target="45, 30, 10", ground=base.ground, yarn=base.base, without=("Foxglove", "Peat"), max_dyes=2)
    came: dict[tuple[str, str], tuple[float, float]] = {}
    for said, water in (("60:1", "60:1"), ("", "60:1")):
        found = match_target(facts, replace(asked, liquor=said))
        best = found.recipes[0]
        assert ("doses are raised" in found.bath) == bool(said)
        assert found.bath in found.assumed
        kept, _ = keep_recipe(studio, KeepRecipe(name="Brick", doses=best.match.doses, fibre="50 g", base="Fen Single", liquor=water))
        assert kept.thing.steps[1].get("volume") == "60:1"
        lab = find_recipe(studio, kept.id).lab
        came[said, water] = float(ciede2000(best.match.lab.values, lab.values)), lab.L - best.match.lab.L
    assert came["60:1", "60:1"][0] < 0.5
    assert came["", "60:1"][0] > 2 * came["60:1", "60:1"][0]
    assert came["", "60:1"][1] > 0.5


def test_what_is_kept_in_more_water_comes_out_as_the_fade_the_map_the_triangle_and_the_ends_of_jars_showed_it(studio: Studio) -> None:
    """Each is written as a bath of 60:1 and followed step by step by its own pot, which knows nothing of the quotient that was used here."""
    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.services.find_base_ground import find_base_ground
    from skeinwright.services.find_recipe import find_recipe
    from skeinwright.services.keep_fade import KeepFade, keep_fade
    from skeinwright.services.keep_recipe import KeepRecipe, keep_recipe
    from skeinwright.services.set_up_studio import set_up_studio

    set_up_studio(studio, demo=True)
    facts, base = gather_dyes(studio), find_base_ground(studio, "Fen Single")
    names, water = ("Ember", "Rosehip", "Sloe"), {"liquor": "60:1", "yarn": base.base}
    ends = {"start": ["Rosehip=2 %"], "end": ["Ember=0.3 %", "Sloe=0.1 %"]}
    fade = make_fade(facts, FadeRequest(**ends, skeins=3, ground=base.ground, liquor="60:1", yarn=base.base))
    assert fade.skeins[0].doses == pytest.approx({"Rosehip": 0.02}, rel=1e-4)  # the ends stay as they were given
    assert fade.skeins[-1].doses == pytest.approx({"Ember": 0.003, "Sloe": 0.001}, rel=1e-4)
    assert max(fade.steps_de00) < 1.15 * min(fade.steps_de00)
    assert "less of the dye goes on" in fade.bath
    usual = make_fade(facts, FadeRequest(**ends, skeins=3, ground=base.ground))
    kept, _ = keep_fade(studio, KeepFade(name="Shore", skeins=[skein.doses for skein in fade.skeins], fibre="50 g", base="Fen Single", liquor="60:1"))
    shown = [(skein.forecast.lab, find_recipe(studio, name).lab) for skein, name in zip(fade.skeins, kept.thing.colourways, strict=True)]
    assert usual.skeins[0].forecast.lab.L < fade.skeins[0].forecast.lab.L - 0.5  # type: ignore[union-attr]

    map_chip = max(reach_of_shelf(facts, base.ground, names=names, levels=(0.02,), **water), key=lambda chip: len(chip.doses))  # type: ignore[arg-type]
    mixed = mixing_triangle(facts, names, (0.01, 0.02, 0.005), base.ground, steps=3, **water)[2][1]  # type: ignore[arg-type]
    assert mixed.doses == pytest.approx({"Ember": 0.01 / 3, "Rosehip": 0.02 / 3, "Sloe": 0.005 / 3})
    (pot, *_) = use_up(studio, base.ground, fibre_g=(1000.0,), nearly_gone_g=20.0, **water).pots  # type: ignore[arg-type]
    for place, chip in enumerate((map_chip, mixed, pot.chip)):
        own, _ = keep_recipe(studio, KeepRecipe(name=f"Chip {place}", doses=chip.doses, fibre="50 g", base="Fen Single", liquor="60:1"))
        shown.append((chip.lab, find_recipe(studio, own.id).lab))
    for told, came in shown:
        assert told is not None
        assert float(ciede2000(told.values, came.values)) < 0.6


def test_a_dye_of_no_known_class_is_less_sure_in_another_water(studio: Studio) -> None:
    """Its dose and its colour stay; what half-milling would do is added to what its uptake varies by."""
    from skeinwright.services.find_base_ground import find_base_ground
    from skeinwright.services.forecast_recipe import forecast_recipe
    from skeinwright.services.set_up_studio import set_up_studio

    set_up_studio(studio, demo=True)
    facts, base = gather_dyes(studio), find_base_ground(studio, "Fen Single")
    usual, thin = (forecast_recipe(facts, {"Foxglove": 0.002}, base.ground, fibre_g=100.0, liquor=liquor, yarn=base.base).forecast for liquor in ("", "150:1"))
    assert thin.lab is not None
    assert usual.lab is not None
    assert thin.lab.values == pytest.approx(usual.lab.values)
    assert thin.spread_de00 is not None
    assert usual.spread_de00 is not None
    assert thin.spread_de00 > 1.5 * usual.spread_de00
