"""A seeded tenth of `python3 run.py prove colour`: 30 of its 300 mixtures of dyes that have another form than the prior of the fit."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.ladder import fit_dye
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.prior import made_up_dyes, prior
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import Array
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

TENTH = (0, 1)
DEPTHS = (0.001, 0.005, 0.02)


def _ladder(labs: Iterable[Array], reading: Reading) -> list[Swatch]:
    return [Swatch(depth=depth, lab=Lab(*(float(value) for value in lab)), reading=reading) for depth, lab in zip(DEPTHS, labs, strict=True)]


@pytest.mark.parametrize(
    ("rungs", "noise", "mean"),
    [((0.1, 0.5, 2.0), 0.0, 0.9), ((0.1, 0.5, 2.0), 1.0, 1.7), ((1.0,), 0.0, 2.2), ((0.1, 0.25, 0.5, 1.0, 2.0), 1.0, 1.7)],
)
def test_a_tenth_of_the_proof(proof: ModuleType, rungs: tuple[float, ...], noise: float, mean: float) -> None:
    """The goals are those of the whole proof; thirty mixtures stray by about a fifth, so a quarter is allowed."""
    row = proof.campaign(rungs, noise, TENTH)
    assert row.mean < 1.25 * mean
    assert row.held >= 0.8


def test_three_rungs_halve_the_error_of_one(proof: ModuleType) -> None:
    three, one = (proof.campaign(rungs, 0.0, (0, 1, 2, 3)).mean for rungs in ((0.1, 0.5, 2.0), (1.0,)))
    assert three < 0.5 * one


def test_the_proof_s_table_is_the_one_that_is_kept(proof: ModuleType) -> None:
    text = (Path(__file__).parents[2] / "docs" / "proof" / "colour.md").read_text(encoding="utf-8")
    assert "MISSED" not in text
    assert text.count("met |") == len(proof.GOALS)


def test_a_noise_free_ladder_of_a_made_up_dye_gives_its_rungs_back() -> None:
    """Exact Labs that count as read within 0.5: of a hundred dyes, 95 have no rung off by 0.3 or more, and none by 0.5."""
    base, rng, worst = recover(Lab(93, 0, 8)).reflectance, np.random.default_rng(11), []
    for ks in 15 * made_up_dyes(100, rng):
        labs = [spectrum_to_lab(mix(base, (ks * (100 * depth) ** 0.92)[None])) for depth in DEPTHS]
        worst.append(max(fit_dye(_ladder(labs, Reading.INSTRUMENT), base).residual_de00))
    assert np.quantile(worst, 0.95) < 0.3
    assert max(worst) < 0.5


def test_mixtures_lie_in_their_95_per_cent_ellipsoids_85_to_98_times_of_a_hundred(proof: ModuleType) -> None:
    """Ellipsoids of Lab from the Laplace draws (covariance times 1.3) and 0.7 in each axis, for dyes of three rungs read with an error of 1."""
    rng, inside = np.random.default_rng(3), []
    for seed in range(4):
        hidden = proof.HIDDEN.hidden_set(seed)
        labs, bare = hidden.read((0.1, 0.5, 2.0), 1.0)
        yarns = [recover(Lab(*(float(value) for value in lab))).reflectance for lab in bare]
        models = [fit_dye(_ladder(rows, Reading.TYPED), yarns[hidden.ladder_yarn]) for rows in labs]
        for mixture in hidden.mixtures:
            layers = np.array([models[index].draw(np.full(400, pct / 100), rng) for index, pct in mixture.doses_pct.items()])
            drawn = spectrum_to_lab(mix(yarns[mixture.yarn], layers)) + 0.7 * rng.standard_normal((400, 3))
            off = mixture.lab - drawn.mean(axis=0)
            inside.append(float(off @ np.linalg.solve(np.cov(drawn.T), off)) < 7.815)  # chi-squared of 3, 95 %
    assert 0.85 <= float(np.mean(inside)) <= 0.99


def test_the_prior_is_the_same_everywhere_and_small_in_number() -> None:
    known = prior()
    share = np.cumsum(known.sd**2) / np.sum(known.sd**2)
    assert share[9] > 0.99
    assert np.abs(known.directions.T @ known.directions - np.eye(31)).max() < 1e-9


def test_random_labs_give_a_reflectance_and_no_negative_ks() -> None:
    base, rng = recover(Lab(93, 0, 8)).reflectance, np.random.default_rng(6)
    for _ in range(60):
        L, C, h = rng.uniform(15, 85), rng.uniform(0, 60), rng.uniform(0, 2 * np.pi)
        model = fit_dye([Swatch(depth=0.01, lab=Lab(L, C * float(np.cos(h)), C * float(np.sin(h))), reading=Reading.TYPED)], base)
        spectrum = mix(base, model.ks(0.01)[None])
        assert np.all(model.ks(0.01) >= 0)
        assert 0 < spectrum.min() <= spectrum.max() < 1
        assert float(ciede2000(spectrum_to_lab(spectrum), spectrum_to_lab(spectrum))) == 0
