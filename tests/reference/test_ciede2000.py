"""CIEDE2000 against the 34 pairs of Sharma, Wu & Dalal 2005 (Color Res. Appl. 30:21), and CMC against colour-science."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000, cielab, cmc

DATA = Path(__file__).parent / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


PAIRS = _rows("sharma2005_ciede2000_34pairs.csv")
LAB1 = np.array([[float(row[key]) for key in ("L1", "a1", "b1")] for row in PAIRS])
LAB2 = np.array([[float(row[key]) for key in ("L2", "a2", "b2")] for row in PAIRS])


def test_there_are_thirty_four_pairs() -> None:
    assert len(PAIRS) == 34


def test_sharmas_pairs_to_a_ten_thousandth() -> None:
    published = np.array([float(row["dE00"]) for row in PAIRS])
    assert np.abs(ciede2000(LAB1, LAB2) - published).max() < 1e-4


def test_sharmas_pairs_the_other_way_round() -> None:
    published = np.array([float(row["dE00"]) for row in PAIRS])
    assert np.abs(ciede2000(LAB2, LAB1) - published).max() < 1e-4


@pytest.mark.filterwarnings("ignore")
def test_ten_thousand_random_pairs_against_colour_science() -> None:
    import colour

    rng = np.random.default_rng(5)
    lab1, lab2 = (np.stack([rng.uniform(0, 100, 10_000), rng.uniform(-80, 80, 10_000), rng.uniform(-80, 80, 10_000)], axis=-1) for _ in range(2))
    lab2[:5000] = lab1[:5000] + rng.normal(0, 1, (5000, 3))
    assert np.abs(ciede2000(lab1, lab2) - colour.delta_E(lab1, lab2, method="CIE 2000")).max() < 1e-9
    assert np.abs(ciede2000(lab1, lab2, k_l=2) - colour.delta_E(lab1, lab2, method="CIE 2000", textiles=True)).max() < 1e-9
    assert np.abs(cmc(lab1, lab2) - colour.delta_E(lab1, lab2, method="CMC")).max() < 1e-9
    assert np.abs(cielab(lab1, lab2) - colour.delta_E(lab1, lab2, method="CIE 1976")).max() < 1e-9


def test_cmc_on_sharmas_pairs() -> None:
    """A consistency check: the numbers are colour-science's (formula from memory), not the standard's annex."""
    for row in _rows("cmc_on_sharma_pairs_computed.csv"):
        index = int(row["pair"]) - 1
        assert float(cmc(LAB1[index], LAB2[index])) == pytest.approx(float(row["dE_cmc_2_1"]), abs=6e-5)
        assert float(cmc(LAB1[index], LAB2[index], l=1)) == pytest.approx(float(row["dE_cmc_1_1"]), abs=6e-5)


def test_cmc_depends_on_which_is_the_standard() -> None:
    assert abs(float(cmc(LAB1[24], LAB2[24])) - float(cmc(LAB2[24], LAB1[24]))) > 1e-3
