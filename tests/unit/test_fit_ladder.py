"""The joint fit: bad rungs are named, several bases are fitted together, fluorescence is flagged, more swatches know more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from invented_dyes import BASE, invented, lab_of, ladder
from skeinwright.core.colour.ladder import fit_dye, leave_one_out
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import hex_to_lab, spectrum_to_lab
from skeinwright.core.colour.tables import WAVELENGTHS_NM, Array
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

NATURAL = recover(Lab(82, 2, 16)).reflectance


def _lab(spectrum: Array) -> Lab:
    L, a, b = (float(value) for value in spectrum_to_lab(spectrum))
    return Lab(L, a, b)


@pytest.mark.parametrize("wrong", [0, 1, 2, 3])
def test_a_rung_typed_wrong_is_named(wrong: int) -> None:
    rungs = (0.1, 0.5, 1, 2)
    named = 0
    for seed in range(6):
        swatches = list(ladder("Kelp", invented(np.random.default_rng(seed)), rungs).swatches)
        lab = swatches[wrong].lab
        swatches[wrong] = replace(swatches[wrong], lab=Lab(min(lab.L + 14, 99), lab.a - 22, lab.b + 12))
        named += any(f"the {rungs[wrong]:g} % swatch does not fit: typed wrong?" in flag for flag in fit_dye(swatches, BASE).flags)
    assert named >= 5


def test_good_ladders_are_left_in_peace() -> None:
    rng = np.random.default_rng(2)
    flagged = sum(bool(fit_dye(ladder("Kelp", invented(rng), (0.1, 0.5, 1, 2), rng, 1.0).swatches, BASE).flags) for _ in range(20))
    assert flagged <= 1


def test_a_hex_at_the_edge_of_the_screen_is_said() -> None:
    def flags(text: str) -> str:
        return " ".join(fit_dye([Swatch(depth=0.01, lab=hex_to_lab(text), reading=Reading.HEX)], BASE).flags)

    assert "edge of what a screen" in flags("#c01f00")
    assert "edge of what a screen" not in flags("#c01f20")


def test_two_swatches_that_disagree_are_named_together() -> None:
    swatches = [Swatch(depth=0.002, lab=Lab(60, 40, 20), reading=Reading.TYPED), Swatch(depth=0.004, lab=Lab(52, -35, 10), reading=Reading.TYPED)]
    assert any("do not fit together" in flag for flag in fit_dye(swatches, BASE).flags)


def test_swatches_on_two_bases_are_fitted_together() -> None:
    """The second base takes up a quarter more of the dye: its strength says so, and forecasts there use it."""
    dye = invented(np.random.default_rng(4))
    bases = {"Quay Sock": (BASE, 1.0), "Quay Oat": (NATURAL, 1.25)}
    swatches, under = [], []
    for name, (base, strength) in bases.items():
        for depth in (0.001, 0.005, 0.02):
            swatches.append(Swatch(depth=depth, lab=_lab(mix(base, strength * dye.at(depth)[None])), reading=Reading.INSTRUMENT, base=name))
            under.append(base)
    model = fit_dye(swatches, np.array(under))
    assert max(model.residual_de00) < 0.7
    assert 1.12 < model.strengths["Quay Oat"] / model.strengths["Quay Sock"] < 1.3
    there = spectrum_to_lab(mix(NATURAL, model.ks(0.003, "Quay Oat")[None]))
    assert np.abs(there - spectrum_to_lab(mix(NATURAL, 1.25 * dye.at(0.003)[None]))).max() < 1.2
    assert fit_dye(swatches[:3], BASE).strengths == {}


def test_a_dye_that_reflects_more_than_the_light_is_flagged_and_widened() -> None:
    dye = invented(np.random.default_rng(8))
    reflectance = mix(BASE, dye.at(0.002)[None])
    glowing = np.where(WAVELENGTHS_NM > 580, np.maximum(reflectance, 1.02), reflectance)
    plain, bright = (
        fit_dye([Swatch(depth=0.002, lab=_lab(r), reading=Reading.INSTRUMENT, spectrum=tuple(zip(WAVELENGTHS_NM.tolist(), r.tolist(), strict=True)))], BASE)
        for r in (reflectance, glowing)
    )
    assert not plain.flags
    assert any("fluoresce" in flag for flag in bright.flags)


def test_each_light_and_observer_is_met_as_it_was_read() -> None:
    dye, depths = invented(np.random.default_rng(3)), (0.001, 0.005, 0.02)
    seen = [mix(BASE, dye.at(depth)[None]) for depth in depths]
    swatches = []
    for depth, spectrum, (light, observer) in zip(depths, seen, (("D65", 2), ("D50", 2), ("D65", 10)), strict=True):
        L, a, b = (float(value) for value in spectrum_to_lab(spectrum, light, observer))
        swatches.append(Swatch(depth=depth, lab=Lab(L, a, b, light, observer), reading=Reading.INSTRUMENT))
    assert max(fit_dye(swatches, BASE).residual_de00) < 0.5


def test_one_more_swatch_narrows_the_spread() -> None:
    dye = invented(np.random.default_rng(5))
    spreads = [np.linalg.norm(fit_dye(ladder("Kelp", dye, rungs).swatches, BASE).spread) for rungs in ((1,), (0.25, 1), (0.1, 0.25, 1, 2))]
    assert spreads[0] > spreads[1] > spreads[2]


def test_averaged_readings_count_for_more() -> None:
    dye = invented(np.random.default_rng(5))
    one = ladder("Kelp", dye, (0.1, 0.5, 2)).swatches
    eight = [replace(swatch, repeats=8) for swatch in one]
    assert np.linalg.norm(fit_dye(eight, BASE).spread) < np.linalg.norm(fit_dye(one, BASE).spread)


def test_each_swatch_foretold_by_the_others() -> None:
    swatches = ladder("Kelp", invented(np.random.default_rng(7)), (0.1, 0.25, 0.5, 1, 2)).swatches
    alone = leave_one_out(swatches, BASE)
    fitted = fit_dye(swatches, BASE).residual_de00
    assert len(alone) == 5
    assert all(out >= inside - 0.05 for out, inside in zip(alone, fitted, strict=True))
    assert max(alone[1:4]) < 1.5
    assert leave_one_out(swatches[:1], BASE) == ()


def test_the_lab_of_a_mixture_on_the_base_is_that_of_the_truth() -> None:
    rng, off = np.random.default_rng(1), []
    for _ in range(10):
        one, other = invented(rng), invented(rng)
        models = [fit_dye(ladder("x", dye, (0.1, 0.5, 2)).swatches, BASE) for dye in (one, other)]
        truth = lab_of([one.at(0.003), other.at(0.004)])
        off.append(np.linalg.norm(spectrum_to_lab(mix(BASE, np.array([models[0].ks(0.003), models[1].ks(0.004)]))) - truth.values))
    assert float(np.mean(off)) < 1.5
