"""Swatches out of typed text and out of tables; the colour room's conversions are stood in for by plain functions."""

from __future__ import annotations

from datetime import date

import pytest

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.core.shelf.swatch_reading import SwatchTable, read_hex, read_swatch, read_swatches, write_swatches


def grey_of(hex_: str) -> Lab:
    """Stands in for the colour room: only says which hex it was given."""
    return Lab(int(hex_[1:3], 16) / 2.55, 0, 0, "D65", 2)


def grey_of_spectrum(spectrum: tuple[tuple[float, float], ...], illuminant: str, observer: int) -> Lab:
    return Lab(100 * sum(r for _, r in spectrum) / len(spectrum), 0, 0, illuminant, observer)


def read(rows: list[dict[str, str]]) -> SwatchTable:
    return read_swatches(rows, hex_to_lab=grey_of, spectrum_to_lab=grey_of_spectrum)


def problems(rows: list[dict[str, str]]) -> dict[str | None, str]:
    with pytest.raises(ManyBadInputs) as caught:
        read(rows)
    return {problem.where: problem.sentence for problem in caught.value.problems}


@pytest.mark.parametrize(
    ("colour", "lab", "how"),
    [
        ("41.2, -8, -20", Lab(41.2, -8, -20), Reading.TYPED),
        ("#FF0000", Lab(100, 0, 0, "D65", 2), Reading.HEX),
        ("ff0000", Lab(100, 0, 0, "D65", 2), Reading.HEX),
        ("#f00", Lab(100, 0, 0, "D65", 2), Reading.HEX),
        ("f00", Lab(100, 0, 0, "D65", 2), Reading.HEX),
    ],
)
def test_typed_swatch(colour: str, lab: Lab, how: Reading) -> None:
    swatch = read_swatch({"depth": "0,5 %", "colour": colour, "base": "Quay Sock"}, hex_to_lab=grey_of)
    assert swatch == Swatch(depth=0.005, lab=lab, reading=how, base="Quay Sock", said=colour)


def test_how_it_was_read_can_be_said() -> None:
    swatch = read_swatch({"depth": "1 %", "colour": "#808080", "reading": "Picked in a photo", "repeats": "3", "read_on": "2026-11-24"}, hex_to_lab=grey_of)
    assert (swatch.reading, swatch.repeats, swatch.read_on) == (Reading.PHOTO, 3, date(2026, 11, 24))


def test_typed_swatch_tells_both_problems() -> None:
    with pytest.raises(ManyBadInputs) as caught:
        read_swatch({"depth": "0.5", "colour": "#12"}, hex_to_lab=grey_of)
    assert [problem.where for problem in caught.value.problems] == ["depth", "colour"]


def test_table() -> None:
    table = read(
        [
            {"dye": "Kelp", "depth_pct": "2", "L": "30", "a": "-5", "b": "-9", "base": "Quay Sock", "illuminant": "", "observer": "", "n": "3"},
            {"dye": "Kelp", "depth_pct": "0,5", "L": "55,5", "a": "-4", "b": "-6", "base": "Quay Sock", "illuminant": "D65", "observer": "2", "n": ""},
            {"dye": "", "depth_pct": "0", "L": "93", "a": "0", "b": "8", "base": "Quay Sock"},
            {"dye": "", "depth_pct": "", "L": ""},
            {"dye": "Ember", "depth_pct": "1 %", "hex": "#ff0000"},
        ]
    )
    assert [(s.depth, s.lab, s.repeats) for s in table.dyes["Kelp"]] == [(0.005, Lab(55.5, -4, -6, "D65", 2), 1), (0.02, Lab(30, -5, -9), 3)]
    assert table.dyes["Ember"][0].reading is Reading.HEX
    assert table.dyes["Ember"][0].said == "#ff0000"
    assert [(s.depth, s.lab) for s in table.undyed] == [(0.0, Lab(93, 0, 8))]


def test_spectra() -> None:
    row = {"dye": "Kelp", "depth_pct": "1"} | {f"R{nm}": "0.25" for nm in range(400, 701, 20)}
    swatch = read([row]).dyes["Kelp"][0]
    assert swatch.spectrum[0] == (400.0, 0.25)
    assert len(swatch.spectrum) == 16
    assert (swatch.lab, swatch.reading) == (Lab(25, 0, 0), Reading.INSTRUMENT)
    assert "Divide" in problems([row | {"R400": "25"}])["line 2: R400"]
    assert "400 to 700" in problems([{k: v for k, v in row.items() if k != "R700"}])["line 2: R400..R700"]


def test_light_of_a_spectrum_and_capitals_of_headings() -> None:
    row = {"DYE": "Kelp", "Depth_pct": "1", "illuminant": "a", "Observer": "2", "l": "1", "A": "1", "B": "1"} | {f"r{nm}": "0.25" for nm in range(400, 701, 20)}
    swatch = read([row]).dyes["Kelp"][0]
    assert swatch.lab == Lab(25, 0, 0, "A", 2)  # an instrument's Lab beside its spectrum is passed over
    assert len(swatch.spectrum) == 16


def test_every_row_that_is_wrong_is_told_with_its_line() -> None:
    found = problems(
        [
            {"dye": "Kelp", "depth_pct": "1", "L": "30", "a": "0", "b": "0", "n": ""},
            {"dye": "Kelp", "depth_pct": "x", "L": "30", "a": "0", "b": "0", "n": ""},
            {"dye": "Kelp", "depth_pct": "1", "L": "130", "a": "0", "b": "0", "n": "0"},
            {"dye": "", "depth_pct": "1", "L": "30", "a": "0", "b": "0", "n": ""},
            {"dye": "Kelp", "depth_pct": "1", "L": "", "a": "", "b": "", "n": ""},
            {"dye": "Kelp", "depth_pct": "21", "L": "30", "a": "0", "b": "0", "n": ""},
        ]
    )
    assert set(found) == {"line 3: depth_pct", "line 4: L, a, b", "line 4: n", "line 5: dye", "line 6", "line 7: depth_pct"}


def test_unknown_column_is_named_with_the_nearest() -> None:
    assert "'depth_pct'" in problems([{"dye": "Kelp", "depth": "1", "L": "30", "a": "0", "b": "0"}])["line 1: depth"]


def test_two_ways_of_giving_the_colour_are_refused() -> None:
    assert "one way" in problems([{"dye": "Kelp", "depth_pct": "1", "L": "30", "a": "0", "b": "0", "hex": "#123456"}])["line 2"]


def test_rows_read_back() -> None:
    ladder = (
        Swatch(depth=0.0015, lab=Lab(71.25, -3, 2.5), reading=Reading.TYPED, base="Quay Sock", repeats=2),
        Swatch(depth=0.03, lab=Lab(28, 1, -1, "D65", 2), reading=Reading.PHOTO, said="#3a5f7b"),
    )
    assert read(write_swatches({"Kelp": ladder})).dyes == {"Kelp": ladder}
    measured = (Swatch(depth=0.01, lab=Lab(25, 0, 0), reading=Reading.INSTRUMENT, spectrum=tuple((float(nm), 0.25) for nm in range(400, 701, 10))),)
    assert read(write_swatches({"Kelp": measured})).dyes == {"Kelp": measured}


@pytest.mark.parametrize("text", ["", "#12", "#gggggg", "red", "#12345678"])
def test_hex_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_hex(text)
