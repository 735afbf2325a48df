"""`work_out_amounts`: text in, figures out, with what was understood and what is refused."""

from __future__ import annotations

import json

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.work_out_amounts import AmountsRequest, work_out_amounts


def test_keys_of_the_json_object() -> None:
    plain = work_out_amounts(AmountsRequest(fibre="300 g", depth="3 %", strength="80 %", solution="1 %")).to_plain()
    inputs = {"fibre": "300 g", "depth": "3 %", "strength": "80 %", "solution": "1 %"}
    assert plain == {"dye_g": 11.25, "solution_ml": 1125.0, "inputs": inputs, "warnings": [], "assumed": []}
    assert json.loads(json.dumps(plain)) == plain


def test_without_a_solution_it_is_null_and_without_a_strength_that_is_said() -> None:
    plain = work_out_amounts(AmountsRequest(fibre="100 g", depth="2 %")).to_plain()
    assert plain["solution_ml"] is None
    assert "dyes" not in plain
    assert "100 %" in plain["assumed"][0]


def test_parts_come_by_name_and_add_up() -> None:
    plain = work_out_amounts(AmountsRequest(fibre="2 skeins of 115 g", depth="1,5 %", parts="3 Kelp : 1 Ember")).to_plain()
    assert plain["dye_g"] == pytest.approx(3.45)
    assert list(plain["dyes"]) == ["Kelp", "Ember"]
    assert sum(plain["dyes"].values()) == pytest.approx(3.45)
    assert plain["inputs"]["fibre"] == "2 skeins of 115 g = 230 g"


def test_so_little_powder_is_warned_of_unless_a_solution_measures_it() -> None:
    dry = work_out_amounts(AmountsRequest(fibre="100 g", depth="0.05 %"))
    wet = work_out_amounts(AmountsRequest(fibre="100 g", depth="0.05 %", solution="0.1 %"))
    assert any("scale" in warning for warning in dry.warnings)
    assert wet.warnings == ()
    assert wet.solution_ml == pytest.approx(50)


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("depth", {"depth": "30 %"}),
        ("depth", {"depth": "0.001 %"}),
        ("depth", {"depth": "3"}),
        ("depth", {"depth": "1,500 %"}),
        ("depth", {"depth": ""}),
        ("fibre", {"fibre": "300"}),
        ("fibre", {"fibre": "0 g"}),
        ("solution", {"solution": "1:100"}),
        ("solution", {"solution": "50 %"}),
        ("solution", {"solution": "0 %"}),
        ("strength", {"strength": "8 %"}),
        ("strength", {"strength": "0 %"}),
        ("parts", {"parts": "0 Kelp"}),
    ],
)
def test_what_cannot_be_right_is_refused_with_its_place(where: str, said: dict[str, str]) -> None:
    with pytest.raises(BadInput) as refused:
        work_out_amounts(AmountsRequest(**({"fibre": "300 g", "depth": "3 %"} | said)))  # type: ignore[arg-type]
    assert refused.value.where == where
