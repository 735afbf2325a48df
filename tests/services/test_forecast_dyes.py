"""The command line's forecast: its keys, its defaults, its refusals."""

from __future__ import annotations

import json

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.services.forecast_dyes import DyesForecast, DyesRequest, forecast_dyes

TABLE = """dye,depth_pct,L,a,b,base
,0,91,0,9,Quay Sock
Kelp,0.1,72,-14,7,Quay Sock
Kelp,0.5,46,-18,6,Quay Sock
Kelp,2,25,-14,5,Quay Sock
Ember,1,52,45,30,Quay Sock
"""


def _forecast(*doses: str, table: str = TABLE, base_lab: str = "", base: str = "") -> DyesForecast:
    return forecast_dyes(DyesRequest(table=table, doses=doses, base_lab=base_lab, base=base))


def test_the_keys_of_the_answer() -> None:
    plain = _forecast("Kelp=0.5 %", "Ember=0.2 %").to_plain()
    assert {"lab", "illuminant", "observer", "srgb", "clipped", "spread_de00", "inputs", "warnings", "assumed"} <= set(plain)
    assert (plain["illuminant"], plain["observer"]) == ("D65", 10)
    assert len(plain["lab"]) == 3
    assert all(isinstance(value, int) and 0 <= value <= 255 for value in plain["srgb"])
    assert plain["inputs"]["dose_fractions"] == {"Kelp": 0.005, "Ember": 0.002}
    json.dumps(plain, allow_nan=False)


def test_a_rung_is_forecast_as_it_was_read() -> None:
    forecast = _forecast("kelp=0,5 %")
    assert float(ciede2000(np.array(forecast.lab.values), np.array([46.0, -18.0, 6.0]))) < 1.5
    assert forecast.spread_de00 > 0.5


def test_the_base_row_is_the_base() -> None:
    forecast = _forecast("Kelp=0 %")
    assert np.abs(np.array(forecast.lab.values) - [91, 0, 9]).max() < 0.01
    assert not any("93, 0, 8" in sentence for sentence in _forecast("Kelp=0.5 %").assumed)


def test_without_a_base_93_0_8_is_assumed_and_said() -> None:
    table = "dye,depth_pct,L,a,b\nKelp,0.5,46,-18,6\n"
    assert any("93, 0, 8" in sentence for sentence in _forecast("Kelp=0.5 %", table=table).assumed)
    assert np.abs(np.array(_forecast("Kelp=0 %", table=table).lab.values) - [93, 0, 8]).max() < 0.01


def test_a_typed_base_wins_over_the_row() -> None:
    assert np.abs(np.array(_forecast("Kelp=0 %", base_lab="80, 2, 12").lab.values) - [80, 2, 12]).max() < 0.01


def test_hex_swatches_are_two_degree_and_semicolons_are_read() -> None:
    forecast = _forecast("Kelp=0.5 %", table="dye;depth_pct;hex\nKelp;0,5;#336644\n")
    assert np.abs(np.array(forecast.srgb) - [0x33, 0x66, 0x44]).max() <= 1


def test_several_undyed_bases_must_be_told_apart() -> None:
    table = TABLE + ",0,70,1,14,Quay Oat\n"
    with pytest.raises(BadInput, match="several undyed bases"):
        _forecast("Kelp=0.5 %", table=table)
    assert _forecast("Kelp=0.5 %", table=table, base="quay oat").lab.L < _forecast("Kelp=0.5 %", table=table, base="Quay Sock").lab.L


@pytest.mark.parametrize(
    ("doses", "says"),
    [
        ((), "No dose"),
        (("Kelp 0.5 %",), "not a dose"),
        (("Rosehip=1 %",), "has no swatch"),
        (("Kelp=1 %", "kelp=2 %"), "twice"),
        (("Kelp=2 g",), "not a depth"),
    ],
)
def test_doses_that_cannot_be_read(doses: tuple[str, ...], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        _forecast(*doses)


def test_a_bad_row_is_named_by_its_line() -> None:
    with pytest.raises(ManyBadInputs, match="line 3"):
        _forecast("Kelp=1 %", table="dye,depth_pct,L,a,b\nKelp,0.5,46,-18,6\nKelp,1,460,-18,6\n")


def test_an_empty_table() -> None:
    with pytest.raises(BadInput, match="empty"):
        _forecast("Kelp=1 %", table="\n")
