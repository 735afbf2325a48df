"""`picture` on every step that needs no spreading, read back from the map that it writes: where colour went, in cm from the tie, and how much."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

HEAD = """
name = "Ideal"
[fibre]
mass = "100 g"
[base]
wool = 1.0
skein = "100 g"
length = "400 m"
round = "1.5 m"
plies = 4
twist = "high"
undyed = [92, 0, 8]
[vessel]
shape = "rectangle"
size = "50 x 30 x 10 cm"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
"""


def step(do: str, **said: str) -> str:
    return f'[[step]]\ndo = "{do}"\n' + "".join(f'{key} = "{value}"\n' for key, value in said.items())


@pytest.fixture
def laid(ask, tmp_path: Path):  # type: ignore[no-untyped-def]
    """`laid(step, ...)`: dye along the loop (cells,), mean of rows, for the upper and the under face, over the mean."""
    (tmp_path / "swatches.csv").write_text("dye,depth_pct,L,a,b\nKelp,0.3,70,-25,2\nKelp,2,42,-38,0\n", encoding="utf-8")

    def run(*steps: str) -> NDArray[np.float64]:
        file, map_ = tmp_path / "ideal.toml", tmp_path / "m.npz"
        file.write_text(HEAD + "".join(steps), encoding="utf-8")
        asked = ("picture", str(file), "--view", "open", "--width", "300", "--height", "200", "--out", str(tmp_path / "p.png"), "--map", str(map_), "--json")
        found = ask(*asked)
        assert found.code == 0, found.err
        assert found.json["not_forecast_from_step"] is None
        assert found.json["depth"]["Kelp"] == pytest.approx(0.004, rel=1e-5), "0.4 g on 100 g, wherever it went"
        with np.load(map_) as held:
            dye = np.asarray(held["dye"], dtype=np.float64)[0]
        return dye.mean(axis=1) / dye.mean()

    return run


def at(line: NDArray[np.float64], cm: float) -> float:
    return float(line[round(cm / 150.0 * len(line)) % len(line)])


KELP = {"dye": "Kelp", "amount": "0.4 g"}


def test_painted_and_poured_bands_lie_where_they_are_said(laid) -> None:  # type: ignore[no-untyped-def]
    """A band of 40 cm of 150 holds nearly all; a poured edge is softer than a painted one, and less goes through."""
    painted, poured = (laid(step(do, **KELP, over="20-60 cm")) for do in ("paint", "pour"))
    for line in (painted, poured):
        assert at(line[0], 40) > 100 * at(line[0], 100)
        assert at(line[0], 20) == pytest.approx(0.5 * at(line[0], 40), rel=0.15)
    assert at(painted[0], 17.5) < 0.5 * at(poured[0], 17.5)
    assert at(painted[1], 40) / at(painted[0], 40) > at(poured[1], 40) / at(poured[0], 40)
    wrapped = laid(step("paint", **KELP, over="140-150 cm, 0-30 cm"))
    assert at(wrapped[0], 0) == pytest.approx(at(wrapped[0], 20), rel=0.05)


def test_a_dip_takes_the_bath_where_it_is_dipped(laid) -> None:  # type: ignore[no-untyped-def]
    """The bath's dye is only on the third that went in, and as much below as above."""
    line = laid(step("add dye", dye="Kelp", depth="0.4 %"), step("dip", dye="Kelp", over="90-120 cm", time="10 min"))
    assert at(line[0], 105) > 100 * at(line[0], 40)
    assert at(line[0], 105) == pytest.approx(150 / 30, rel=0.1)
    assert line[1] == pytest.approx(line[0], rel=1e-4)


def test_a_timed_withdrawal_is_a_gradient_from_the_tie(laid) -> None:  # type: ignore[no-untyped-def]
    """Hung by its tie: palest there, deepest half round, the same on both sides, and never turning back on the way."""
    line = laid(step("add dye", dye="Kelp", depth="0.4 %"), step("withdraw", time="20 min"))[0]
    half = [at(line, cm) for cm in range(1, 75, 4)]
    assert half == sorted(half)
    assert at(line, 75) > 5 * at(line, 2)
    assert at(line, 30) == pytest.approx(at(line, 120), rel=0.02)


def test_ties_keep_their_place_white(laid) -> None:  # type: ignore[no-untyped-def]
    line = laid(step("tie off", over="70-80 cm"), step("add dye", dye="Kelp", depth="0.4 %"))
    assert at(line[0], 75) < 0.1 * at(line[0], 30)
    assert at(line[0], 30) == pytest.approx(at(line[0], 120), rel=0.01)


def test_kettle_points_are_clouds(laid) -> None:  # type: ignore[no-untyped-def]
    """Poured over all: clouds, so that the deepest place of the loop holds more than twice what the palest does, and no place nothing."""
    line = laid(step("pour", **KELP, over="all"))[0]
    assert line.max() > 2.0 * line.min() > 0.0
