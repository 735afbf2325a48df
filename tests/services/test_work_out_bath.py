"""`work_out_bath`: text in, pH or acid out, with its spread, what was assumed, and what is refused."""

from __future__ import annotations

import json

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.foundations.quantities import Habits
from skeinwright.services.work_out_bath import BathRequest, work_out_bath


def test_keys_of_the_json_object() -> None:
    plain = work_out_bath(BathRequest(water="4 L", vinegar="15 ml", vinegar_strength="5 %", alkalinity="120")).to_plain()
    assert set(plain) == {"ph", "ph_low", "ph_high", "ph_closed", "ph_open", "inputs", "warnings", "assumed"}
    assert plain["ph"] == pytest.approx(5.147, abs=0.02), "PHREEQC 5.147"
    assert plain["ph_low"] < plain["ph"] == plain["ph_closed"] < plain["ph_open"] < plain["ph_high"]
    assert json.loads(json.dumps(plain)) == plain


def test_plain_tap_water_is_no_surer_than_tap_water_is() -> None:
    """Tap water lies between pH 6.5 and 8.5 (EPA's secondary standard for drinking water, from memory), whatever its alkalinity: no figure to 0.03 is known."""
    found = work_out_bath(BathRequest(water="4 L", alkalinity="120"))
    assert found.ph.low < 7.05
    assert found.ph.high > 8.4
    assert found.ph.low > 6.5


def test_with_yarn_both_waters_are_those_after_uptake_and_slips_are_told() -> None:
    found = work_out_bath(BathRequest(water="4 L", vinegar="15 ml", wool="3 kg"))
    assert found.uptake is not None
    assert found.to_plain()["ph_open"] > found.uptake.after.ph.value
    assert any("with the yarn in rises towards" in said for said in found.warnings)
    assert any("less than 3000 g of yarn soak up" in said for said in found.warnings)
    with pytest.raises(BadInput, match="Did you mean 900"):
        work_out_bath(BathRequest(water="4 L", alkalinity="9000"))
    assert any("look again at the figure" in said for said in work_out_bath(BathRequest(water="4 L", alkalinity="900")).warnings)


def test_unknown_water_is_assumed_said_and_widens_the_interval() -> None:
    known = work_out_bath(BathRequest(water="4 L", vinegar="3 tbsp", alkalinity="120"))
    unknown = work_out_bath(BathRequest(water="4 L", vinegar="3 tbsp"))
    assert unknown.ph.value == known.ph.value
    assert unknown.ph.high - unknown.ph.low > 3 * (known.ph.high - known.ph.low)
    assert (known.ph.origin, unknown.ph.origin) == (Origin.COMPUTED, Origin.ASSUMED)
    assert any("120 mg/L" in sentence for sentence in unknown.assumed)


def test_closed_and_open_are_both_said_where_they_differ() -> None:
    """15 ml in 4 l, 120 mg/L: 5.15 and 5.26; 60 ml: 4.12 and 4.13, which nobody needs told."""
    near = work_out_bath(BathRequest(water="4 L", vinegar="60 ml", alkalinity="120"))
    apart = work_out_bath(BathRequest(water="4 L", vinegar="15 ml", alkalinity="120"))
    opened = work_out_bath(BathRequest(water="4 L", vinegar="15 ml", alkalinity="120", open=True))
    assert near.warnings == ()
    assert any("5.3" in warning for warning in apart.warnings)
    assert any("5.1" in warning for warning in opened.warnings)
    assert opened.ph.value == pytest.approx(5.26, abs=0.02)


@pytest.mark.parametrize(("acid", "key", "target"), [("vinegar", "acid_ml", "4.5"), ("citric", "acid_g", "4.5"), ("ammonium-sulphate", "acid_g", "7")])
def test_target(acid: str, key: str, target: str) -> None:
    plain = work_out_bath(BathRequest(water="4 L", alkalinity="120", target_ph=target, acid=acid)).to_plain()
    assert plain[key] > 0
    assert plain["ph"] == pytest.approx(float(target), abs=1e-3)
    said = {acid.replace("-", "_"): f"{plain[key]} {'ml' if acid == 'vinegar' else 'g'}"}
    back = work_out_bath(BathRequest(water="4 L", alkalinity="120", **said))  # type: ignore[arg-type]
    assert back.ph.value == pytest.approx(float(target), abs=1e-3)
    assert any("(90 %)" in warning for warning in work_out_bath(BathRequest(water="4 L", target_ph=target, acid=acid)).warnings)


def test_what_is_already_in_the_bath_counts() -> None:
    alone = work_out_bath(BathRequest(water="4 L", alkalinity="120", target_ph="4.5", acid="vinegar")).to_plain()
    helped = work_out_bath(BathRequest(water="4 L", alkalinity="120", citric="0.5 g", target_ph="4.5", acid="vinegar")).to_plain()
    assert 0 < helped["acid_ml"] < alone["acid_ml"]


def test_stronger_vinegar_takes_less() -> None:
    """Ten for five: the acid is the same, half the millilitres."""

    def needed(strength: str) -> float:
        found = work_out_bath(BathRequest(water="4 L", alkalinity="120", target_ph="4.5", acid="vinegar", vinegar_strength=strength))
        return float(found.to_plain()["acid_ml"])

    five, ten = needed("5 %"), needed("10 %")
    assert ten == pytest.approx(five / 2, rel=1e-4)


def test_a_spoon_of_citric_is_weighed_by_guess_and_said_so() -> None:
    spoon = work_out_bath(BathRequest(water="4 L", citric="1 tsp", alkalinity="120"))
    scale = work_out_bath(BathRequest(water="4 L", citric="4.19 g", alkalinity="120"))
    assert spoon.ph.value == pytest.approx(scale.ph.value, abs=0.01)
    assert spoon.ph.high - spoon.ph.low > 1.3 * (scale.ph.high - scale.ph.low)
    assert any("30 %" in warning for warning in spoon.warnings)


def test_whose_spoon() -> None:
    us, au = (work_out_bath(BathRequest(water="4 L", vinegar="2 tbsp", habits=Habits(spoons=spoons))).ph.value for spoons in ("us", "au"))
    assert au < us


def test_units_of_hardness_and_fahrenheit() -> None:
    """7 German degrees are 7 x 17.848 = 124.9 mg/L; 140 F is 60 C."""
    found = work_out_bath(BathRequest(water="4 L", citric="1 g", alkalinity="7 dH", temp="140 F"))
    same = work_out_bath(BathRequest(water="4 L", citric="1 g", alkalinity="124.94", temp="60"))
    assert found.ph.value == pytest.approx(same.ph.value, abs=1e-3)


def test_beyond_the_table_of_constants_is_said() -> None:
    assert any("77 C" in warning for warning in work_out_bath(BathRequest(water="4 L", citric="1 g", temp="90 C")).warnings)


def test_strong_acid_is_cautioned() -> None:
    assert any("goggles" in warning for warning in work_out_bath(BathRequest(water="4 L", vinegar="5 ml", vinegar_strength="56 %")).warnings)
    assert any("hazardous waste" in warning for warning in work_out_bath(BathRequest(water="1 L", citric="64 g", alkalinity="0")).warnings)


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("nylon", {"wool": "100 g", "nylon": "1.5"}),
        ("wool", {"superwash": True}),
        ("water", {"water": "0 l"}),
        ("water", {"water": "4"}),
        ("vinegar", {"vinegar": "5 l"}),
        ("vinegar strength", {"vinegar": "15 ml", "vinegar_strength": "0.5 %"}),
        ("temperature", {"temp": "120"}),
        ("alkalinity", {"alkalinity": "-5"}),
        ("target pH", {"target_ph": "4.5", "acid": "ammonium-sulphate"}),
        ("target pH", {"target_ph": "9", "acid": "citric"}),
        ("target pH", {"target_ph": "2.2", "acid": "vinegar"}),
        ("acid", {"target_ph": "4.5"}),
        ("acid", {"target_ph": "4.5", "acid": "sulphuric"}),
        ("acid", {"acid": "citric"}),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(where: str, said: dict[str, object]) -> None:
    with pytest.raises(BadInput) as refused:
        work_out_bath(BathRequest(**({"water": "4 l"} | said)))  # type: ignore[arg-type]
    assert refused.value.where == where
    assert refused.value.sentence
