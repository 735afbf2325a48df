"""The skein map: kept, relaxed, mirrored, written; the steps with idealised edges; the yarn's path."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeins import SOCK, banded_map
from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.ideal import begin, dip, immerse, kettle, on_white, paint, pour, tie_off, turn_over, withdraw
from skeinwright.core.spread.skein_map import blank_map, from_npz, uniform_map
from skeinwright.core.spread.yarn_path import YarnPath, path_of, stride

SMALL = SkeinGeometry(skein_g=100.0, length_mm=120_000.0, round_mm=800.0)


def test_a_uniform_map_is_its_doses() -> None:
    skein = uniform_map({"Kelp": 0.01, "Ember": 0.002}, SOCK)
    assert skein.mean() == pytest.approx({"Kelp": 0.01, "Ember": 0.002}, rel=1e-6)
    assert skein.round_mm == pytest.approx(1500.0)
    assert skein.strands == 267


def test_a_map_cannot_be_spoilt() -> None:
    skein = uniform_map({"Kelp": 0.01}, SMALL)
    with pytest.raises(ValueError, match="read-only"):
        skein.dye[0, 0, 0, 0] = 1.0


@settings(deadline=None, max_examples=20)
@given(st.floats(0.7, 1.0), st.floats(1.0, 1.4), st.floats(0.0, 0.5))
def test_relaxing_keeps_the_dye_and_rescales_the_skein(length: float, width: float, mixing: float) -> None:
    skein = banded_map((100.0, 300.0), (500.0, 640.0), geometry=SMALL, rows=16)
    dry = skein.relaxed(length, width, mixing)
    assert dry.mean()["Kelp"] == pytest.approx(skein.mean()["Kelp"], rel=1e-6)
    assert dry.round_mm == pytest.approx(length * skein.round_mm)
    assert dry.row_mm == pytest.approx(width * skein.row_mm)
    assert dry.strands == skein.strands
    assert dry.geometry.skein_g == skein.geometry.skein_g
    assert float(dry.dye.max()) <= float(skein.dye.max()) * (1.0 + 1e-6)
    assert dry.relaxed(0.5, 1.0) is dry
    if mixing == 0.0:
        assert np.array_equal(dry.dye, skein.dye)


def test_mixing_shows_the_other_face_and_softens_edges() -> None:
    """A mark on the upper face alone comes out paler there by m/2, and appears below."""
    skein = paint(begin(blank_map(("Kelp",), SMALL, rows=8)), {"Kelp": 0.01}, [(200.0, 600.0)], through=0.0).skein
    dry = skein.relaxed(0.95, 1.1, 0.3)
    inside = skein.cells // 2
    assert dry.dye[0, 0, 4, inside] / skein.dye[0, 0, 4, inside] == pytest.approx(1.0 - 0.3 / 2, rel=1e-3)
    assert dry.dye[0, 1, 4, inside] / skein.dye[0, 0, 4, inside] == pytest.approx(0.3 / 2, rel=1e-3)


def test_there_and_back_through_a_file() -> None:
    skein = banded_map((100.0, 300.0), geometry=SMALL).relaxed(0.95, 1.1)
    data = skein.to_npz()
    assert data == skein.to_npz()
    back = from_npz(data)
    assert np.array_equal(back.dye, skein.dye)
    for name in ("names", "row_mm", "state", "base", "relax_length", "relax_width"):
        assert getattr(back, name) == getattr(skein, name)
    assert back.round_mm == pytest.approx(skein.round_mm)
    with np.load(__import__("io").BytesIO(data)) as found:
        assert {"dye", "names", "row_mm", "ds_mm", "state"} <= set(found.files)
        assert found["dye"].dtype == np.float32


@pytest.mark.parametrize("data", [b"", b"no zip at all", b"PK\x03\x04broken"])
def test_a_file_that_is_no_map(data: bytes) -> None:
    with pytest.raises(BadInput, match="no skein map"):
        from_npz(data)


STEPS = {
    "immerse": lambda d: immerse(d, {"Kelp": 0.004}),
    "paint": lambda d: paint(d, {"Kelp": 0.004}, [(100.0, 250.0)]),
    "pour": lambda d: pour(d, {"Kelp": 0.004}, [(100.0, 250.0), (400.0, 500.0)]),
    "dip": lambda d: dip(d, {"Kelp": 0.004}, [(100.0, 250.0)]),
    "withdraw": lambda d: withdraw(d, {"Kelp": 0.004}),
    "kettle": lambda d: kettle(d, {"Kelp": 0.004}),
    "white": lambda d: on_white(d, {"Kelp": 0.004}),
}


@pytest.mark.parametrize("step", STEPS)
def test_every_step_keeps_its_grams(step: str) -> None:
    """Depth x fibre goes in, and that much is on the fibre, whatever is tied off or was there before."""
    begun = tie_off(immerse(begin(blank_map(("Ember", "Kelp"), SMALL, rows=32)), {"Ember": 0.001}), [(300.0, 360.0)])
    done = STEPS[step](begun).skein
    assert done.mean() == pytest.approx({"Ember": 0.001, "Kelp": 0.004}, rel=1e-5)


def test_a_band_is_where_it_was_painted() -> None:
    skein = banded_map((200.0, 500.0), geometry=SMALL, edge_mm=4.0)
    line = skein.dye[0, 0].mean(axis=0) / skein.dye.max()
    s = (np.arange(skein.cells) + 0.5) * skein.ds_mm
    assert line[(s > 215) & (s < 485)].min() > 0.98
    assert line[(s < 185) | (s > 515)].max() < 0.02
    assert np.sum(line) * skein.ds_mm == pytest.approx(300.0, abs=3.0)


def test_a_band_may_lie_over_the_tie() -> None:
    """700 mm to 900 mm on a loop of 800 mm is the last 100 mm and the first 100 mm."""
    skein = banded_map((700.0, 900.0), geometry=SMALL, edge_mm=4.0)
    line = skein.dye[0, 0].mean(axis=0) / skein.dye.max()
    assert line[:20].min() > 0.98
    assert line[-20:].min() > 0.98
    assert line[len(line) // 2] < 0.01


def test_what_is_tied_off_stays_white() -> None:
    dyeing = immerse(tie_off(begin(blank_map(("Kelp",), SMALL, rows=16)), [(300.0, 400.0)]), {"Kelp": 0.01})
    line = dyeing.skein.dye[0].mean(axis=(0, 1))
    s = (np.arange(dyeing.skein.cells) + 0.5) * dyeing.skein.ds_mm
    assert line[(s > 312) & (s < 388)].max() < 0.06 * line.max()


def test_a_gradient_is_deepest_half_round() -> None:
    line = withdraw(begin(blank_map(("Kelp",), SMALL, rows=4)), {"Kelp": 0.01}).skein.dye[0, 0, 0]
    half = len(line) // 2
    assert np.all(np.diff(line[:half]) > 0.0)
    assert np.allclose(line, line[::-1], rtol=1e-4)


def test_turning_brings_the_underside_up() -> None:
    dyeing = paint(begin(blank_map(("Kelp",), SMALL, rows=4)), {"Kelp": 0.01}, [(100.0, 200.0)], through=0.2)
    turned = turn_over(dyeing).skein
    assert np.array_equal(turned.dye[:, 1], dyeing.skein.dye[:, 0])
    assert np.array_equal(turn_over(turn_over(dyeing)).skein.dye, dyeing.skein.dye)


def test_steps_that_cannot_be() -> None:
    dyeing = begin(blank_map(("Kelp",), SMALL, rows=4))
    with pytest.raises(BadInput, match="80 cm round"):
        paint(dyeing, {"Kelp": 0.01}, [(900.0, 950.0)])
    with pytest.raises(BadInput, match="no dye Ember"):
        immerse(dyeing, {"Ember": 0.01})
    with pytest.raises(BadInput, match="too large"):
        blank_map(tuple("abcdefgh"), SOCK, rows=4000, cell_mm=0.1)


@pytest.mark.parametrize("rows", [1, 2, 7, 64, 128, 133])
def test_the_yarn_visits_every_row(rows: int) -> None:
    """Strand starts alone, with no wander: each row once in `rows` strands."""
    visited = {(j * stride(rows)) % rows for j in range(rows)}
    assert len(visited) == rows


def test_the_yarn_passes_through_the_whole_skein_evenly() -> None:
    """Unwound in full, every quarter of the rows and both faces have their share of the yarn, and the row changes slowly within a strand."""
    path = YarnPath(1500.0, 64)
    running = np.arange(0.0, 266 * 1500.0, 40.0)
    row, face, s = path.at(running)
    quarter = np.histogram(row, bins=4, range=(0, 64))[0] / len(row)
    assert np.abs(quarter - 0.25).max() < 0.03
    assert face.mean() == pytest.approx(0.5, abs=0.08)
    assert (np.minimum(face, 1.0 - face) < 0.05).mean() > 0.5
    assert np.array_equal(s, running % 1500.0)
    same = np.floor(running[1:] / 1500.0) == np.floor(running[:-1] / 1500.0)
    step = np.abs(np.diff(row))
    assert np.minimum(step, 64 - step)[same].max() < 1.0


def test_a_path_is_the_same_for_the_same_seed() -> None:
    skein = banded_map((100.0, 300.0), geometry=SMALL)
    running = np.linspace(0.0, 1e5, 500)
    first, second, other = (path_of(skein, seed=seed).at(running)[0] for seed in (3, 3, 4))
    assert np.array_equal(first, second)
    assert not np.array_equal(first, other)
