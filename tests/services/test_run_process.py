"""`run_process`: a colourway's file in, the contract's JSON object out."""

from __future__ import annotations

import json

import pytest

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.services.run_process import ProcessRequest, run_process

HEAD = """
name = "Tidewrack"
[fibre]
mass = "100 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
[water]
volume = "3 L"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "30 x 25 x 12 cm"
[[dye]]
name = "Kelp"
class = "half-milling"
swatches = "swatches.csv"
[[dye]]
name = "Ember"
"""
BATH = (
    HEAD
    + """
[[step]]
do = "add dye"
dye = "Kelp"
depth = "0.8 %"
[[step]]
do = "add dye"
dye = "Ember"
depth = "0.2 %"
[[step]]
do = "lay in"
[[step]]
do = "add acid"
acid = "vinegar 5 %"
amount = "45 ml"
[[step]]
do = "heat"
to = "88 C"
rate = "1 C/min"
[[step]]
do = "hold"
time = "30 min"
[[step]]
do = "rinse"
"""
)


def ran(text: str, **said: int) -> dict[str, object]:
    return run_process(ProcessRequest(data=text.encode(), **said)).to_plain()  # type: ignore[arg-type]


def test_the_contract() -> None:
    found = ran(BATH)
    assert {"time_s", "temp_c", "ph", "water_l", "uptake", "summary", "inputs", "warnings", "assumed", "bands", "status", "sentences", "measured"} == set(found)
    n = len(found["time_s"])  # type: ignore[arg-type]
    assert all(len(found[key]) == n for key in ("temp_c", "ph", "water_l"))  # type: ignore[arg-type]
    assert set(found["uptake"]) == {"Kelp", "Ember"}  # type: ignore[call-overload]
    summary: dict[str, object] = found["summary"]  # type: ignore[assignment]
    assert {"exhaustion", "t50_s", "final_ph", "energy_kwh"} <= set(summary)
    assert summary["exhaustion"] == round(summary["exhaustion"], 2)  # type: ignore[call-overload]
    assert found["status"] == "ok"
    assert json.loads(json.dumps(found)) == found


def test_the_same_seed_gives_the_same_bands_and_the_line_needs_none() -> None:
    one, two, other, line = ran(BATH), ran(BATH), ran(BATH, seed=2), ran(BATH, draws=0)
    assert one == two
    assert one["bands"] != other["bands"]
    assert one["uptake"] == line["uptake"]


def test_heat_and_acid_are_where_the_steps_put_them() -> None:
    found = ran(BATH)
    temps: list[float] = found["temp_c"]  # type: ignore[assignment]
    ph: list[float] = found["ph"]  # type: ignore[assignment]
    assert temps[0] == 20
    assert max(temps) == 88
    assert ph[0] > 6.5
    assert 3.5 < ph[-1] < 5.5
    water: list[float] = found["water_l"]  # type: ignore[assignment]
    assert max(water) == pytest.approx(3.045, abs=1e-3), "3 l and 45 ml of vinegar"
    assert water[-1] < 2.7


def test_what_is_assumed_and_what_is_not_counted_is_said() -> None:
    found = ran(BATH)
    assert any("Ember: its class is not known" in one for one in found["assumed"])  # type: ignore[attr-defined]
    assert any("Kelp: half-milling" in one for one in found["assumed"])  # type: ignore[attr-defined]
    sprinkled = '[[step]]\ndo = "sprinkle"\ndye = "Kelp"\namount = "0.2 g"\n'
    laid_on = ran(HEAD + '[[step]]\ndo = "lay in"\n' + sprinkled + '[[step]]\ndo = "hold"\nto = "85 C"\ntime = "20 min"\n')
    assert any("as if it went into the liquor whole" in one for one in laid_on["warnings"])  # type: ignore[attr-defined]
    steamed = ran(HEAD + '[[step]]\ndo = "lay in"\n[[step]]\ndo = "hold"\ntime = "5 min"\n[[step]]\ndo = "steam"\ntime = "20 min"\n')
    assert steamed["status"] == "not forecast after this step"


def test_the_fibres_of_the_base_share_the_dye() -> None:
    found = ran(BATH)
    on: dict[str, dict[str, float]] = found["summary"]["on_fibre_g_kg"]  # type: ignore[index]
    (dyes,) = on.values()
    share: float = found["summary"]["by_dye"]["Kelp"]["exhaustion"]  # type: ignore[index]
    assert dyes["Kelp"] == pytest.approx(8.0 * share, abs=0.05), "8 g/kg were given"


@pytest.mark.parametrize(
    "text",
    [
        'name = "X"\nbase = "Nobody\'s Sock"\n[[step]]\ndo = "fill"\nvolume = "3 l"\n[[step]]\ndo = "hold"\ntime = "5 min"\n',
        'name = "X"\n[[step]]\ndo = "hold"\ntime = "5 min"\n',
        "name = ",
        'name = "X"\n[[step]]\ndo = "boil hard"\n',
    ],
)
def test_what_cannot_be_run_is_told_in_sentences(text: str) -> None:
    with pytest.raises((BadInput, ManyBadInputs)):
        ran(text)
