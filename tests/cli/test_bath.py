"""`skeinwright bath` keeps the contract: keys, defaults and refusals. The chemistry itself is tested in `tests/reference`."""

from __future__ import annotations

from typing import Any

import pytest

VINEGAR = ("bath", "--water", "4 L", "--vinegar", "15 ml", "--vinegar-strength", "5 %")


def test_vinegar_in_the_water_of_the_contract(ask: Any) -> None:
    """5.147 by PHREEQC (acetate defined with the same pK): 15 ml of 5 % vinegar in 4 l, alkalinity 120 mg/L, 25 C, closed."""
    answer = ask(*VINEGAR, "--alkalinity", "120", "--temp", "25", "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert found["ph"] == pytest.approx(5.147, abs=0.02)
    assert found["ph_low"] < found["ph"] < found["ph_high"]
    assert {"inputs", "warnings", "assumed"} <= set(found)


def test_what_is_not_said_is_assumed_and_said(ask: Any) -> None:
    given = ask(*VINEGAR, "--alkalinity", "120", "--temp", "25", "--json").json
    silent = ask(*VINEGAR, "--json").json
    assert silent["ph"] == given["ph"]
    assert any("120 mg/L" in sentence for sentence in silent["assumed"])
    assert any("25 C" in sentence for sentence in silent["assumed"])
    assert silent["ph_high"] - silent["ph_low"] > given["ph_high"] - given["ph_low"]


@pytest.mark.parametrize(("acid", "key"), [("vinegar", "acid_ml"), ("citric", "acid_g"), ("ammonium-sulphate", "acid_g")])
def test_the_acid_for_a_ph_brings_the_bath_there(ask: Any, acid: str, key: str) -> None:
    target = "6" if acid == "ammonium-sulphate" else "4.5"
    arguments = ("bath", "--water", "4 L", "--alkalinity", "20")
    found = ask(*arguments, "--target-ph", target, "--acid", acid, "--json").json
    option, unit = {"vinegar": ("--vinegar", "ml"), "citric": ("--citric", "g"), "ammonium-sulphate": ("--ammonium-sulphate", "g")}[acid]
    back = ask(*arguments, option, f"{found[key]} {unit}", "--json").json
    assert back["ph"] == pytest.approx(float(target), abs=0.01)


def test_plain_lines(ask: Any) -> None:
    answer = ask(*VINEGAR)
    assert answer.code == 0
    assert "pH " in answer.out
    assert "90 %" in answer.out
    assert "Assumed: " in answer.out


def test_the_spoons_are_the_ones_that_are_named(ask: Any) -> None:
    us, au = (ask("bath", "--water", "4 L", "--vinegar", "1 tbsp", "--spoons", spoons, "--json").json["ph"] for spoons in ("us", "au"))
    assert au < us


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("--water", "4"),
        ("--water", "4 L", "--vinegar", "5 L"),
        ("--water", "4 L", "--target-ph", "4.5"),
        ("--water", "4 L", "--acid", "vinegar"),
        ("--water", "4 L", "--target-ph", "4.5", "--acid", "battery"),
        ("--water", "4 L", "--target-ph", "11", "--acid", "vinegar"),
        ("--water", "4 L", "--citric", "1:100"),
        ("--water", "4 L", "--wool", "100"),
    ],
)
def test_bad_input_is_one_sentence(ask: Any, arguments: tuple[str, ...]) -> None:
    answer = ask("bath", *arguments)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 1
