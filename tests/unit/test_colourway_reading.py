"""Steps as values and sentences, their times, and the file of a colourway."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

import pytest

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.reading import (
    AcidSaid,
    Mix,
    Place,
    colourway_document,
    minutes_of,
    needed_slots,
    parse_acid,
    parse_place,
    read_colourway_document,
    read_step,
    read_steps,
    sentence,
    sentence_parts,
    swatch_files,
    timing_assumptions,
)
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

HEAD = """
name = "Tidewrack"
[fibre]
mass = "200 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
round = "1.5 m"
plies = 4
twist = "high"
undyed = [92, 0, 8]
[water]
volume = "1.9 L"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "50 x 30 x 10 cm"
lid = false
[[dye]]
name = "Kelp"
class = "not known"
swatches = "swatches.csv"
"""
SPECKLE = (
    HEAD
    + """
[[step]]
do = "soak"
time = "30 min"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "44 ml"
[[step]]
do = "lay in"
width = "12 cm"
[[step]]
do = "heat"
to = "88 C"
[[step]]
do = "sprinkle"
dye = "Kelp"
amount = "0.15 g"
over = "all"
grain = "0.12 mm"
[[step]]
do = "wait"
time = "10 min"
[[step]]
do = "turn"
[[step]]
do = "hold"
to = "92 C"
time = "10 min"
"""
)
BATH = (
    HEAD
    + """
[[step]]
do = "fill"
volume = "30:1"
[[step]]
do = "add dye"
dye = "Kelp"
depth = "0.8 %"
[[step]]
do = "lay in"
[[step]]
do = "add acid"
acid = "citric"
amount = "to pH 4.5"
[[step]]
do = "heat"
to = "88 C"
rate = "1 C/min"
[[step]]
do = "hold"
time = "30 min"
[[step]]
do = "cool"
[[step]]
do = "rinse"
"""
)


def step(do: str, **said: str) -> Step:
    return Step(do, said)


def problems_of(make: Any, *args: Any, **kwargs: Any) -> dict[str | None, BadInput]:
    with pytest.raises(ManyBadInputs) as caught:
        make(*args, **kwargs)
    return {problem.where: problem for problem in caught.value.problems}


def test_values_of_a_step() -> None:
    acid = read_step(step("add acid", acid="vinegar 5 %", amount="44 ml"))
    assert acid.acid == AcidSaid("vinegar 5 %", "vinegar", 0.05)
    amount = acid.quantity("amount")
    assert amount is not None
    assert (amount.kind, amount.value) == ("volume", 44.0)
    sprinkle = read_step(step("sprinkle", blend="3 Kelp : 1 Ember", amount="0.15 g", over="20-60 cm", grain="0.12 mm"))
    assert sprinkle.mix == Mix(parts=(("Kelp", 0.75), ("Ember", 0.25)))
    assert sprinkle.place == Place("band", ((200.0, 600.0),))
    recipe = read_step(step("add dye", recipe="3 Kelp : 1 Ember", depth="1.5 %")).recipe
    assert recipe is not None
    assert recipe.parts == (("Kelp", 0.75), ("Ember", 0.25))
    each = read_step(step("add dye", recipe="Kelp 0.5 %, Ember 0.2 %")).recipe
    assert each is not None
    assert [(name, dose.value) for name, dose in each.doses] == [("Kelp", 0.005), ("Ember", 0.002)]
    water = read_step(step("fill", volume="to cover by 2 cm")).quantity("volume")
    assert water is not None
    assert (water.kind, water.value) == ("cover", 20.0)
    assert read_step(step("pour", solution="Kelp 1 %", amount="50 ml")).place == Place("all")


@pytest.mark.parametrize("do", list(WORDS))
def test_every_word_can_be_written_with_its_examples(do: str) -> None:
    examples = {
        "dye": "Kelp",
        "blend": "Tideline",
        "what": "salt",
        "vessel": "Long pan",
        "leftover": "Green end",
        "amount": "10 g",
        "time": "5 min",
        "to": "60 C",
        "width": "12 cm",
        "recipe": "Kelp 1 %",
    }
    slots = {slot.key: slot.default or examples.get(slot.key, "") for slot in WORDS[do].slots if slot.key in needed_slots(WORDS[do])}
    if do in ("add dye", "pour", "paint", "dip", "sprinkle"):
        slots["dye"] = "Kelp"
    if do == "add dye":
        slots["depth"] = "1 %"
    read = read_step(Step(do, slots))
    assert read.word.do == do
    assert "…" not in sentence(read.step)
    assert minutes_of([read])[0] is not None


@pytest.mark.parametrize(
    ("written", "where", "said"),
    [
        (step("add acid", acid="vinegar 5 %", amount="44"), "amount", "no unit"),
        (step("add acid", acid="vinegar 5 %"), "amount", "needs it, for example '30 ml'"),
        (step("add dye", dye="Kelp", amount="to pH 4"), "amount", "Only acid"),
        (step("add dye", dye="Kelp"), "depth", "How much"),
        (step("add dye", dye="Kelp", depth="1 %", amount="1 g"), "amount", "not both"),
        (step("add dye", recipe="3 Kelp : 1 Ember"), "recipe", "need a depth"),
        (step("add dye", depth="1 %"), "recipe", "one of recipe, dye or solution"),
        (step("sprinkle", dye="Kelp", blend="Tideline", amount="1 g"), "blend", "dye and blend are given"),
        (step("paint", dye="Kelp", amount="30 ml"), "over", "needs it"),
        (step("tie off", over="60-20 cm"), "over", "smaller to its larger"),
        (step("tie off", over="somewhere"), "over", "all, white, or a band"),
        (step("heat", to="88"), "to", "in C or in F"),
        (step("heat", too="88 C", to="88 C"), "too", "'to'"),
        (step("turn", time="1 min"), "time", "has no values"),
        (step("sprinkl"), "do", "'sprinkle'"),
        (step("add salt"), "amount", "needs it"),
    ],
)
def test_refused_steps(written: Step, where: str, said: str) -> None:
    found = problems_of(read_step, written)
    assert list(found) == [where]
    assert said in found[where].sentence


def test_problems_of_all_steps_are_numbered() -> None:
    found = problems_of(read_steps, [step("turn"), step("heat", to="88"), step("add acid", acid="vinegar 5 %", amount="44")])
    assert list(found) == ["step 2 (heat): to", "step 3 (add acid): amount"]


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (step("add acid", acid="vinegar 5 %", amount="44 ml"), "Add 44 ml of vinegar 5 %"),
        (step("add dye", dye="Kelp", depth="0.8 %"), "Add 0.8 % of Kelp"),
        (step("add dye", recipe="Kelp 0.5 %, Ember 0.2 %"), "Add Kelp 0.5 %, Ember 0.2 %"),
        (step("add salt", amount="5 g"), "Add 5 g of salt"),
        (step("lay in", width="12 cm"), "Lay the yarn in 12 cm wide"),
        (step("sprinkle", dye="Kelp", amount="0.15 g"), "Sprinkle 0.15 g of Kelp over all"),
        (step("sprinkle", amount="0.15 g"), "Sprinkle 0.15 g of … over all"),
        (step("hold", to="92 C", time="10 min"), "Hold at 92 C for 10 min"),
        (step("hold", time="10 min"), "Hold for 10 min"),
        (step("heat"), "Heat to …"),
        (step("hang"), "Hang to dry"),
    ],
)
def test_sentences(written: Step, said: str) -> None:
    assert sentence(written) == said


def test_sentence_parts_name_their_slots() -> None:
    assert sentence_parts(step("heat", to="88 C", rate="1 C/min")) == (("Heat to ", None), ("88 C", "to"), (" at ", None), ("1 C/min", "rate"))


def test_places_and_acids() -> None:
    assert parse_place("0-20 cm, 60 cm to 0.8 m") == Place("band", ((0.0, 200.0), (600.0, 800.0)))
    assert parse_place("White") == Place("white")
    assert parse_acid("citric acid") == AcidSaid("citric acid", "citric", None)
    assert parse_acid("ammonium sulfate").acid == "ammonium sulphate"
    assert parse_acid("Kitchen vinegar") == AcidSaid("Kitchen vinegar", None, None)
    with pytest.raises(BadInput, match="no unit") as caught:
        parse_acid("vinegar 5")
    assert caught.value.position == 9


def test_times() -> None:
    steps = read_steps(
        [step("soak", time="30 min"), step("heat", to="80 C", rate="2 C/min"), step("hold", time="20 min"), step("cool", to="50 C"), step("rinse", times="2")]
    )
    # 30; (80 - 20)/2 = 30; 20; (80 - 50)/0.5 = 60; 2 x 5
    assert minutes_of(steps) == ((0.0, 30.0), (30.0, 30.0), (60.0, 20.0), (80.0, 60.0), (140.0, 10.0))
    assumed = timing_assumptions(steps)
    assert [line.split(":")[0] for line in assumed] == ["step 2", "step 4", "step 5"]
    assert "20 C" in assumed[0]


def test_times_after_a_step_that_cannot_be_read_are_not_known() -> None:
    first, last = read_steps([step("soak", time="30 min"), step("turn")])
    assert minutes_of([first, None, last]) == ((0.0, 30.0), None, None)


@pytest.mark.parametrize("text", [SPECKLE, BATH])
def test_both_examples_read_and_read_back(text: str) -> None:
    colourway = read_colourway_document(tomllib.loads(text))
    assert len(colourway.steps) == 8
    assert read_colourway_document(colourway_document(colourway)) == colourway


def test_what_the_example_means() -> None:
    colourway = read_colourway_document(tomllib.loads(SPECKLE))
    assert (colourway.name, colourway.fibre, colourway.water_volume) == ("Tidewrack", "200 g", "1.9 L")
    base, vessel, water = colourway.own_base, colourway.own_vessel, colourway.own_water
    assert base is not None
    assert vessel is not None
    assert water is not None
    assert (base.fibres, base.superwash, base.plies, base.undyed) == ((("wool", 0.75), ("nylon", 0.25)), True, 4, Lab(92, 0, 8))
    assert (vessel.length_mm, vessel.width_mm, vessel.height_mm, vessel.lid) == (500.0, 300.0, 100.0, False)
    assert water.alkalinity_mg_l == 80.0
    assert [dye.name for dye in colourway.own_dyes] == ["Kelp"]


def test_names_of_the_studio_instead_of_tables() -> None:
    document = {
        "name": "Tidewrack",
        "fibre": "2 skeins of 115 g",
        "base": "Quay Sock",
        "water": "Tap",
        "vessel": "Long pan",
        "over": "2026-11-24-B",
        "notes": "a\nb",
    }
    colourway = read_colourway_document(document)
    assert colourway == Colourway(
        name="Tidewrack", fibre="2 skeins of 115 g", bases=("Quay Sock",), water="Tap", vessel="Long pan", over="2026-11-24-B", notes="a\nb"
    )
    assert read_colourway_document(colourway_document(colourway)) == colourway
    several = replace(colourway, bases=("Quay Sock", "Harbour DK"))
    assert read_colourway_document(colourway_document(several)) == several


def test_tables_for_blend_and_recipe() -> None:
    document = {
        "name": "T",
        "step": [{"do": "sprinkle", "blend": {"Kelp": 3, "Ember": 1}, "amount": "0.15 g"}, {"do": "add dye", "recipe": {"Kelp": "0.5 %", "Ember": "0.2 %"}}],
    }
    steps = read_colourway_document(document).steps
    assert [s.said.get("blend") or s.said.get("recipe") for s in steps] == ["3 Kelp : 1 Ember", "Kelp 0.5 %, Ember 0.2 %"]


def test_swatches_come_in_or_are_written_in_full() -> None:
    document = tomllib.loads(SPECKLE)
    assert swatch_files(document) == {"Kelp": "swatches.csv"}
    ladder = (Swatch(depth=0.01, lab=Lab(40.5, -8, 3, "D65", 2), reading=Reading.HEX, said="#3a5f7b", repeats=2),)
    colourway = read_colourway_document(document, swatches={"Kelp": ladder})
    assert colourway.own_dyes[0].swatches == ladder
    assert read_colourway_document(colourway_document(colourway)) == colourway
    assert colourway_document(colourway, swatch_file="s.csv")["dye"] == [{"name": "Kelp", "swatches": "s.csv"}]


def test_all_problems_of_a_file_are_told_with_their_places() -> None:
    document = tomllib.loads(SPECKLE)
    document["watr"] = 3
    document["base"] |= {"wool": 0.5, "length": 400}
    document["vessel"]["size"] = "50 x 30 cm"
    document["fibre"] = {"mass": 200}
    document["step"][1]["amount"] = 44
    document["step"][4]["grian"] = "0.12 mm"
    document["step"].append({"time": "3 min"})
    document["dye"].append({"name": "Ember", "jar": "50"})
    found = problems_of(read_colourway_document, document)
    assert set(found) == {"watr", "base", "vessel: size", "fibre: mass", "step 2 (add acid): amount", "step 5 (sprinkle): grian", "step 9: do", "dye 2: jar"}
    assert "'water'" in found["watr"].sentence
    assert "0.75" in found["base"].sentence
    assert "'grain'" in found["step 5 (sprinkle): grian"].sentence
    assert found["step 2 (add acid): amount"].position == 2


@pytest.mark.parametrize(
    "change",
    [
        {"step": "soak"},
        {"step": [3]},
        {"step": [{"do": 3}]},
        {"dye": "Kelp"},
        {"dye": [3]},
        {"name": ["x"]},
        {"name": ""},
        {"fibre": []},
        {"base": 1.5, "bases": "x"},
        {"water": {"alkalinity": {}}},
        {"base": {"wool": 1.0}},
        {"step": [{"do": "wait", "time": ["1 min"]}]},
        {"dye": [{"name": "Kelp", "swatches": [{"depth": 1}]}]},
        {"step": [{"do": "sprinkle", "amount": "1 g", "blend": {"Kelp": "a", "Ember": 1}}]},
    ],
)
def test_shapes_that_are_wrong_are_answered_with_sentences(change: dict[str, Any]) -> None:
    found = problems_of(read_colourway_document, {"name": "T"} | change)
    assert all(problem.sentence for problem in found.values())
