"""`skeinwright amounts` keeps the contract: the numbers worked by hand, the keys of its JSON, its refusals."""

from __future__ import annotations

from typing import Any

import pytest

HAND = ("amounts", "--fibre", "300 g", "--depth", "3 %", "--strength", "80 %", "--solution", "1 %")


def test_the_example_worked_by_hand(ask: Any) -> None:
    """300 g x 0.03 = 9 g of full strength; / 0.80 = 11.25 g as bought; a 1 % solution has 1 g in 100 ml: 1125 ml."""
    answer = ask(*HAND, "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert found["dye_g"] == 11.25
    assert found["solution_ml"] == 1125
    assert {"inputs", "warnings", "assumed"} <= set(found)


def test_without_a_solution_its_volume_is_null(ask: Any) -> None:
    found = ask("amounts", "--fibre", "300 g", "--depth", "3 %", "--json").json
    assert found["solution_ml"] is None
    assert found["dye_g"] == 9
    assert found["assumed"]


def test_parts_share_the_depth(ask: Any) -> None:
    """3 : 1 : 1/2 of 300 g x 1.5 % = 4.5 g are 3, 1 and 0.5 g."""
    found = ask("amounts", "--fibre", "300 g", "--depth", "1,5 %", "--parts", "3 Kelp : 1 Ember : 1/2 Rosehip", "--json").json
    assert found["dyes"] == {"Kelp": 3, "Ember": 1, "Rosehip": 0.5}


def test_skeins_count_as_fibre(ask: Any) -> None:
    assert ask("amounts", "--fibre", "2 skeins of 115 g", "--depth", "1 %", "--json").json["dye_g"] == 2.3


def test_plain_lines_carry_units_and_what_was_understood(ask: Any) -> None:
    lines = ask(*HAND).out.splitlines()
    said = {line[:21].strip(): line[21:].strip() for line in lines}
    assert said["Powder to weigh"] == "11.25 g"
    assert said["Fibre"] == "300 g"
    assert "Solution to measure" in said


@pytest.mark.parametrize(
    ("arguments", "where"),
    [
        (("--fibre", "300", "--depth", "3 %"), "--fibre"),
        (("--fibre", "300 g", "--depth", "3"), "--depth"),
        (("--fibre", "1,500 g", "--depth", "3 %"), "--fibre"),
        (("--fibre", "0 g", "--depth", "3 %"), "--fibre"),
        (("--fibre", "-5 g", "--depth", "3 %"), "--fibre"),
        (("--fibre", "300 g", "--depth", "3 %", "--strength", "none"), "--strength"),
        (("--fibre", "300 g", "--depth", "3 %", "--solution", "1:100"), "--solution"),
        (("--fibre", "300 g", "--depth", "3 %", "--parts", "Kelp : : Ember"), "--parts"),
        (("--fibre", "300 g", "--depth", "3 %", "--spoons", "soup"), "--spoons"),
    ],
)
def test_bad_input_is_one_sentence_that_names_the_place(ask: Any, arguments: tuple[str, ...], where: str) -> None:
    for wanted in ((), ("--json",)):
        answer = ask("amounts", *arguments, *wanted)
        assert (answer.code, answer.out) == (2, "")
        assert answer.err.startswith(f"{where}: ")
        assert len(answer.err.splitlines()) == 1
