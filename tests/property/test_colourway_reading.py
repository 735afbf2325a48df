"""Steps and colourway files: whatever is typed is answered, and what was read is written back unchanged."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.reading import (
    colourway_document,
    minutes_of,
    needed_slots,
    read_colourway_document,
    read_step,
    read_steps,
    sentence,
    sentence_parts,
)
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import ManyBadInputs

TYPED = st.one_of(
    st.just(""),
    st.text(max_size=15),
    st.sampled_from(["10 min", "88 C", "44 ml", "5 %", "Kelp", "3 Kelp : 1 Ember", "all", "0-20 cm", "vinegar 5 %", "1 C/min", "to pH 4", "30:1"]),
)


@st.composite
def steps(draw: st.DrawFn) -> Step:
    word = draw(st.sampled_from(list(WORDS.values())))
    return Step(word.do, {slot.key: draw(TYPED) for slot in word.slots})


@settings(deadline=None, max_examples=300)
@given(steps())
def test_any_step_is_read_or_answered_and_always_has_a_sentence(step: Step) -> None:
    assert "".join(text for text, _ in sentence_parts(step)) == sentence(step) != ""
    slots = {slot.key for slot in WORDS[step.do].slots}
    assert all(key is None or key in slots for _, key in sentence_parts(step))
    try:
        read = read_step(step)
    except ManyBadInputs as many:
        told = {problem.where for problem in many.problems if problem.sentence}
        assert told <= slots
    else:
        assert needed_slots(WORDS[step.do]) <= set(read.values)
        assert "…" not in sentence(step) or "…" in "".join(step.said.values())


TIMES = st.integers(1, 600).map(lambda n: f"{n} min")
TIMED = st.one_of(
    st.builds(lambda t: Step("soak", {"time": t}), TIMES),
    st.builds(lambda t: Step("wait", {"time": t}), TIMES),
    st.builds(lambda t, c: Step("hold", {"time": t, "to": f"{c} C"}), TIMES, st.integers(20, 95)),
    st.builds(lambda c: Step("heat", {"to": f"{c} C"}), st.integers(20, 95)),
    st.sampled_from([Step("turn"), Step("rinse"), Step("cool"), Step("lid on")]),
)


@settings(deadline=None, max_examples=100)
@given(st.lists(TIMED, max_size=10))
def test_each_step_starts_when_the_one_before_ends(written: list[Step]) -> None:
    spans = minutes_of(read_steps(written))
    clock = 0.0
    for span in spans:
        assert span is not None
        assert span[0] == clock
        assert span[1] >= 0
        clock = span[0] + span[1]


@settings(deadline=None, max_examples=100)
@given(st.lists(TIMED, max_size=8), st.sampled_from(["200 g", "2 skeins of 115 g"]), st.integers(1, 99), st.booleans(), st.integers(1, 12))
def test_a_colourway_reads_back_from_its_document(written: list[Step], fibre: str, wool: int, superwash: bool, plies: int) -> None:
    document = {
        "name": "Tidewrack",
        "fibre": fibre,
        "base": {"fibres": f"{wool} % wool, {100 - wool} % nylon", "skein": "100 g", "length": "400 m", "superwash": superwash, "plies": plies},
        "step": [{"do": step.do, **step.said} for step in written],
    }
    colourway = read_colourway_document(document)
    assert read_colourway_document(colourway_document(colourway)) == colourway


JSON = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-9, 9), st.floats(allow_nan=True), st.text(max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from(["name", "do", "depth", "lab", "mass", "time", "wool", "skein", "size", "x"]), inner, max_size=3),
    ),
    max_leaves=8,
)
KEYS = st.sampled_from(["name", "notes", "fibre", "base", "bases", "water", "vessel", "dye", "step", "over", "other"])


@settings(deadline=None, max_examples=300)
@given(st.dictionaries(KEYS, JSON, max_size=5))
def test_no_document_crashes_the_reader(document: dict[str, Any]) -> None:
    try:
        colourway = read_colourway_document(document)
    except ManyBadInputs as many:
        assert many.problems  # noqa: PT017 - either outcome is right, and both are checked
    else:
        assert colourway.name
