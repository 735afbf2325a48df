"""Whatever stands on the shelf can be written out in words and read back unchanged."""

from __future__ import annotations

from datetime import date
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.foundations.errors import ManyBadInputs
from skeinwright.core.foundations.quantities import shares_of
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.items import KINDS
from skeinwright.core.shelf.reading import fields, read_item, say_item
from skeinwright.core.shelf.swatch import Lab

LETTERS = "abcdefghijklmnopqrstuvwxyz ABCDEFé'()-./%&"
NAMES = st.text(alphabet=LETTERS, min_size=1, max_size=30).map(lambda s: " ".join(s.split())).filter(lambda s: s and s[0].isalpha() and s[-1].isalpha())
PARTS = st.dictionaries(NAMES, st.integers(1, 40), min_size=1, max_size=4).filter(lambda d: len({n.casefold() for n in d}) == len(d)).map(shares_of)
AMOUNTS = st.lists(st.tuples(NAMES, st.floats(1e-4, 1e3)), max_size=3, unique_by=lambda p: p[0].casefold()).map(tuple)


def measured(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers with no more decimals than anybody could mean."""
    return st.floats(low, high).map(lambda value: round(value, 9))


LABS = st.builds(Lab, measured(0, 100), measured(-99, 99), measured(-99, 99), st.sampled_from(["D65", "A", "FL11", "LED-B3"]), st.sampled_from([2, 10]))
TEXTS = st.text(alphabet=LETTERS + "0123456789,:;", max_size=30).map(str.strip)


def values(name: str, how: Ask) -> st.SearchStrategy[Any]:
    if name == "name":
        return NAMES
    if name == "strength":
        return st.floats(1e-4, 1.0)
    return {
        "text": TEXTS,
        "link": TEXTS.filter(lambda s: ":" not in s),
        "long text": TEXTS,
        "choice": st.sampled_from(how.choices or ("",)),
        "yes no": st.sampled_from([True, False]),
        "date": st.dates(date(1990, 1, 1), date(2060, 1, 1)),
        "mass": st.floats(1e-3, 1e5),
        "volume": st.floats(1e-3, 1e5),
        "length": st.floats(5e5, 1e6) if name == "length_mm" else st.floats(1e-3, 4e5),
        "fraction": st.floats(1e-4, 2.0),
        "alkalinity": measured(0, 500),
        "ph": measured(0, 14),
        "power": st.floats(1, 5000),
        "money": st.integers(0, 10**7),
        "count": st.integers(1, 1000),
        "twist": st.sampled_from(["soft", "medium", "high", "300 turns per metre"]),
        "lab": LABS,
        "parts": PARTS,
        "amounts": AMOUNTS,
    }[how.kind]


@st.composite
def items(draw: st.DrawFn) -> Any:
    kind = draw(st.sampled_from(list(KINDS)))
    chosen: dict[str, Any] = {}
    for name, how in fields(kind):
        if how.kind != "swatches" and (how.need or draw(st.booleans())):
            chosen[name] = draw(values(name, how))
    if kind == "vessel":
        chosen["width_mm"] = draw(st.floats(10, 900)) if chosen["shape"] == "rectangle" else None
    return KINDS[kind](**chosen)


@settings(deadline=None, max_examples=250)
@given(items())
def test_an_item_reads_back_from_its_words(item: Any) -> None:
    back = read_item(item.kind, say_item(item))
    for name, how in fields(item.kind):
        one, other = getattr(item, name), getattr(back, name)
        if name == "fibres":  # thirds in per cent may lose the last bit
            assert [n for n, _ in one] == [n for n, _ in other]
            assert all(abs(a - b) < 1e-12 for (_, a), (_, b) in zip(one, other, strict=True))
        elif how.kind == "link":
            assert other.strip() == one.strip()
        else:
            assert one == other, name


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(list(KINDS)), st.data())
def test_any_text_in_any_field_is_answered_with_sentences(kind: str, data: st.DataObject) -> None:
    said = {
        name: data.draw(st.one_of(st.just(""), st.text(max_size=12), st.sampled_from(["1", "5 %", "3 g", "2 cm", "Kelp", "yes"]))) for name, _ in fields(kind)
    }
    try:
        item = read_item(kind, said)
    except ManyBadInputs as many:
        told = {problem.where for problem in many.problems if problem.sentence}
        assert told <= set(said)
    else:
        assert item.name
