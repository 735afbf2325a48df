"""Every example of the page on quantities is read and must give what the page says; every unit is named there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, parse, parse_dose, parse_fibre, parse_parts, parse_water
from skeinwright.core.foundations.units import ACCEPTED, units_of

PAGE = (Path(__file__).parents[2] / "docs" / "reference" / "quantities.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| `(.+?)` \| (.+?) \| (.+?) \|$", PAGE, re.MULTILINE)
REFUSED = PAGE[PAGE.index("## Refused") : PAGE.index("## All units")]
READ = [row for row in ROWS if f"`{row[0]}` | {row[1]} |" not in REFUSED]


def test_the_page_has_its_examples() -> None:
    assert len(READ) > 60
    assert len(ROWS) - len(READ) > 12


@pytest.mark.parametrize(("typed", "how", "means"), READ)
def test_an_example_means_what_the_page_says(typed: str, how: str, means: str) -> None:
    number = float(means.split(" ")[0])
    if how == "fibre":
        value = parse_fibre(typed).total_g
    elif ":" in how:
        reader, kind = how.split(": ")
        quantity = {"dose": parse_dose, "water": parse_water}[reader](typed)
        assert quantity.kind == kind
        value = quantity.value
    else:
        value = parse(how, typed).value
    assert value == pytest.approx(number, rel=1e-7)


@pytest.mark.parametrize(("typed", "how", "answer"), [row for row in ROWS if row not in READ])
def test_what_the_page_calls_refused_is_refused_in_these_words(typed: str, how: str, answer: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse(how, typed)
    assert caught.value.sentence == answer


def test_every_unit_is_on_the_page() -> None:
    units = PAGE[PAGE.index("## All units") :]
    missing = [unit.name for kind in ACCEPTED if kind != "volume_per_skein" for unit in units_of(kind, HABITS) if unit.name not in units]
    assert not missing


def test_the_parts_on_the_page_read() -> None:
    assert len(parse_parts("3 Kelp : 1 Ember : 1/2 Rosehip")) == 3
    assert "`3 Kelp : 1 Ember : 1/2 Rosehip`" in PAGE
