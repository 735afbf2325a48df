"""Cautions at the step where they belong, and what is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lot_studio import step
from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.safety.cautions import CAUTIONS, cautions_of
from skeinwright.core.safety.for_step import Conflict, Jars, Load, StepSafety, for_steps
from skeinwright.core.safety.refused_words import refused_words
from skeinwright.core.shelf.items import Acid, Blend, Dye, Solution

DOCS = Path(__file__).parents[2] / "docs"


def walk(*steps: Step, jars: Jars | None = None, loads: tuple[Load, ...] = ()) -> tuple[tuple[StepSafety, ...], tuple[Conflict, ...]]:
    return for_steps(steps, jars or Jars(), loads)


def refused(*steps: Step, jars: Jars | None = None) -> list[str]:
    return [conflict.sentence for conflict in walk(*steps, jars=jars)[1] if conflict.level == "refused"]


VINEGAR = step("add acid", acid="vinegar 5 %", amount="30 ml")
CITRIC = step("add acid", acid="citric", amount="2 g")
AMMONIUM = step("add acid", acid="ammonium sulphate", amount="2 g")
SPRINKLE = step("sprinkle", dye="Kelp", amount="0.2 g")
HOT = step("heat", to="88 C")


@pytest.mark.parametrize(
    ("steps", "word"),
    [
        ((VINEGAR, HOT, SPRINKLE), "vapour"),
        ((HOT, VINEGAR, SPRINKLE), "vapour"),
        ((VINEGAR, step("steam", time="20 min"), SPRINKLE), "vapour"),
        ((AMMONIUM, step("add soda", amount="1 g")), "ammonia"),
        ((step("add soda", amount="1 g"), AMMONIUM), "ammonia"),
        ((VINEGAR, step("remove colour", what="remover", amount="1 g")), "sulphur dioxide"),
        ((step("remove colour", what="remover", amount="1 g"), CITRIC), "sulphur dioxide"),
        ((step("soak", what="Household bleach", amount="5 ml"), VINEGAR), "chlorine"),
        ((AMMONIUM, step("soak", what="bleach", amount="5 ml")), "chlorine"),
        ((step("add acid", acid="sulphuric", amount="2 ml"),), "not offered"),
    ],
)
def test_what_must_not_be_done_is_refused(steps: tuple[Step, ...], word: str) -> None:
    assert any(word in sentence for sentence in refused(*steps))


@pytest.mark.parametrize(
    "steps",
    [
        (SPRINKLE, VINEGAR, HOT),
        (VINEGAR, HOT, step("cool"), SPRINKLE),
        (VINEGAR, HOT, step("rinse"), SPRINKLE),
        (VINEGAR, step("heat", to="40 C"), SPRINKLE),
        (AMMONIUM, step("rinse"), step("add soda", amount="1 g")),
        (VINEGAR, step("rinse"), step("remove colour", what="remover", amount="1 g")),
        (CITRIC, step("add soda", amount="1 g")),
        (step("note", text="never bleach"), VINEGAR),
    ],
)
def test_what_may_be_done_is_not_refused(steps: tuple[Step, ...]) -> None:
    assert refused(*steps) == []


def test_powder_over_a_simmering_pan_is_warned_of_with_citric() -> None:
    safeties, conflicts = walk(CITRIC, HOT, SPRINKLE)
    assert [(conflict.level, conflict.step) for conflict in conflicts] == [("warned", 2)]
    assert "powder heat" in safeties[2].cautions
    assert "powder heat" not in walk(CITRIC, SPRINKLE)[0][1].cautions


def test_bleach_is_refused_at_whichever_comes_second() -> None:
    bleach = step("soak", what="bleach", amount="5 ml")
    for steps, second in (((bleach, HOT, VINEGAR), 2), ((VINEGAR, bleach), 1)):
        assert [conflict.step for conflict in walk(*steps)[1] if "chlorine" in conflict.sentence] == [second]
    assert walk(bleach, HOT)[1] == ()


def test_ten_minutes_off_the_heat_do_not_cool_a_pan() -> None:
    # 88 C less 10 min x 0.5 C/min is 83 C
    assert refused(VINEGAR, HOT, step("cool", time="10 min"), SPRINKLE)
    assert refused(VINEGAR, HOT, step("cool", to="60 C"), SPRINKLE)
    assert refused(VINEGAR, HOT, step("cool", time="a while"), SPRINKLE)
    assert not refused(VINEGAR, HOT, step("cool", time="2 h"), SPRINKLE)


def test_yarn_that_is_rinsed_hot_says_so() -> None:
    assert "scald" in walk(HOT, step("hold", time="30 min"), step("rinse"))[0][2].cautions
    assert "scald" not in walk(HOT, step("cool", to="40 C"), step("rinse"))[0][2].cautions


def test_a_temperature_that_cannot_be_read_counts_as_hot() -> None:
    assert refused(VINEGAR, step("heat", to="rather warm"), SPRINKLE)


@pytest.mark.parametrize("do", [word.do for word in WORDS.values() if word.powder])
def test_every_powder_word_has_the_powder_cautions(do: str) -> None:
    (safety,) = walk(step(do, dye="Kelp", amount="0.2 g"))[0]
    assert {"powder", "powder draught"} <= set(safety.cautions)


def test_every_hot_word_on_a_hot_pan_says_something_about_heat() -> None:
    for word in WORDS.values():
        if word.hot and word.do != "hold":
            found = {key for safety in walk(HOT, step(word.do, to="90 C"))[0] for key in safety.cautions}
            assert found & {"scald", "lid", "stay"}, word.do


def test_solutions_open_no_powder_and_powder_does() -> None:
    assert "powder" not in walk(step("add dye", solution="Kelp 1 %", depth="1 %"))[0][0].cautions
    assert "powder" in walk(step("add dye", dye="Kelp", depth="1 %"))[0][0].cautions
    jars = Jars(solutions={"Kelp 1 %": Solution(name="Kelp 1 %", parts=(("Kelp", 1.0),), strength=0.01)})
    assert "powder" not in walk(step("add dye", recipe="kelp 1 % 0.5 %"), jars=jars)[0][0].cautions
    assert "powder" in walk(step("add dye", recipe="Kelp 1 % 0.5 %, Ember 0.1 %"), jars=jars)[0][0].cautions
    assert "powder" in walk(step("add dye", recipe="what is this"), jars=jars)[0][0].cautions


def test_jars_are_shut_before_the_heat() -> None:
    safeties, _ = walk(SPRINKLE, step("wait", time="5 min"), HOT, HOT)
    assert [("powder after" in safety.cautions) for safety in safeties] == [False, False, True, False]


def test_metal_complex_dyes_are_flagged_through_solution_blend_and_recipe() -> None:
    jars = Jars(
        dyes={"Ember": Dye(name="Ember", dye_class="1:2 premetallised"), "Kelp": Dye(name="Kelp")},
        solutions={"E1": Solution(name="E1", parts=(("Ember", 1.0),), strength=0.01)},
        blends={"Squall": Blend(name="Squall", parts=(("Ember", 0.5), ("citric acid", 0.5)))},
    )
    for one in (step("add dye", solution="E1"), step("sprinkle", blend="Squall"), step("add dye", recipe="Kelp 1 %, Ember 1 %"), step("paint", dye="Ember")):
        assert "metal complex" in walk(one, jars=jars)[0][0].cautions
    assert "metal complex" not in walk(step("add dye", recipe="Kelp 1 %"), jars=jars)[0][0].cautions
    assert "citric dust" in walk(step("sprinkle", blend="Squall"), jars=jars)[0][0].cautions
    strong = step("add acid", acid="citric", amount="to pH 2.2")
    assert refused(step("add dye", dye="Ember", depth="1 %"), strong, jars=jars)
    assert refused(strong, step("add dye", solution="E1", depth="1 %"), jars=jars)
    assert not refused(step("add dye", dye="Kelp", depth="1 %"), strong, jars=jars)
    assert not refused(step("add dye", dye="Ember", depth="1 %"), step("add acid", acid="citric", amount="to pH 4"), jars=jars)


def test_aluminium_and_heavy_lifts_belong_to_their_vessel_alone() -> None:
    loads = (Load("Old pan", "aluminium", 200), Load("Big pot", "stainless steel", 2000))
    safeties, conflicts = walk(step("lay in"), CITRIC, step("rinse"), loads=loads)
    assert safeties[1].cautions_in == (("Old pan", "citric aluminium"),)
    assert safeties[2].cautions_in == (("Big pot", "lift"),)
    assert [conflict.level for conflict in conflicts] == ["warned"]


def test_strong_acid_from_the_shelf_and_from_words() -> None:
    jars = Jars(acids={"Strong": Acid(name="Strong", acid="vinegar", strength=0.56)})
    assert "acid strong" in walk(step("add acid", acid=" strong", amount="3 ml"), jars=jars)[0][0].cautions
    assert "acid strong" in walk(step("add acid", acid="vinegar 56 %", amount="3 ml"))[0][0].cautions
    assert "acid strong" not in walk(VINEGAR)[0][0].cautions


def test_every_caution_names_its_kind_place_and_a_source_that_exists() -> None:
    known = set(re.findall(r"@\w+\{([^,]+),", (DOCS / "sources.bib").read_text(encoding="utf-8")))
    for caution in CAUTIONS.values():
        assert caution.kind in ("law", "standard", "advice", "practice")
        assert caution.kind != "law" or caution.place, f"{caution.key}: a law holds somewhere"
        assert caution.kind != "law" or caution.note, f"{caution.key}: a law says whether it was verified"
        assert caution.source == "common practice" or caution.source in known, caution.key
        assert not re.search(r"\bsafe\b", caution.sentence), f"{caution.key} must not call anything safe"


def test_every_key_that_is_used_exists() -> None:
    everything = [step(word.do, acid="vinegar 60 %", dye="Kelp", what="x", amount="1 g", to="90 C") for word in WORDS.values()]
    safeties, _ = walk(*everything, *everything, loads=(Load("A", "aluminium", 5000),))
    keys = {key for safety in safeties for key in safety.cautions} | {key for safety in safeties for _, key in safety.cautions_in}
    assert keys <= set(CAUTIONS)
    assert len(cautions_of(tuple(keys))) == len(keys)


def test_the_page_on_safety_lists_every_caution() -> None:
    page = (DOCS / "explanation" / "safety.md").read_text(encoding="utf-8")
    assert [caution.key for caution in CAUTIONS.values() if caution.sentence not in page] == []


def test_words_that_a_label_does_not_carry() -> None:
    assert refused_words("Lovely NON TOXIC, food safe, hypo-allergenic and colorfast yarn") == ("non-toxic", "food-safe", "hypoallergenic", "colourfast")
    assert refused_words("Colourfast to washing", tests_on_file=("colourfast",)) == ()
    assert refused_words("Warm teal, rust flecks") == ()
