"""Laws of recipes, whatever the target: no negative dose, order and units change nothing, more room never makes the best worse."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from invented_dyes import BASE, invented, ladder
from skeinwright.core.colour.blend import presented
from skeinwright.core.colour.dye_set import dye_set
from skeinwright.core.colour.ladder import fit_dye
from skeinwright.core.colour.match import Wanted, find_matches
from skeinwright.core.colour.spaces import lab_to_lch, spectrum_to_lab, spectrum_to_xyz
from skeinwright.core.colour.wet import wet_r
from skeinwright.core.shelf.swatch import Lab

quick = settings(max_examples=25, deadline=None)
RNG = np.random.default_rng(5)
MODELS = {name: fit_dye(ladder(name, invented(RNG), (0.1, 0.5, 2)).swatches, BASE) for name in ("Ember", "Furze", "Kelp", "Quince", "Rosehip", "Sloe")}
DYES = dye_set(MODELS, BASE)

target = st.builds(Lab, st.floats(15, 95), st.floats(-60, 60), st.floats(-60, 60))
depths = st.lists(st.one_of(st.just(0.0), st.floats(1e-4, 0.03)), min_size=6, max_size=6).map(np.array)


@given(target)
@quick
def test_no_dose_is_negative_or_beyond_its_limit(lab: Lab) -> None:
    for match in find_matches(DYES, Wanted(lab=lab, deepest=0.02)).matches:
        assert all(0 < depth <= 0.02 * (1 + 1e-9) for depth in match.doses.values())


@given(target)
@settings(max_examples=12, deadline=None)
def test_more_room_never_worsens_the_best(lab: Lab) -> None:
    best = [find_matches(DYES, Wanted(lab=lab, deepest=deepest)).matches[0].de00 for deepest in (0.005, 0.01, 0.02, 0.04)]
    assert all(later <= earlier + 0.02 for earlier, later in pairwise(best))


@given(target)
@quick
def test_the_order_of_the_dyes_changes_nothing(lab: Lab) -> None:
    turned = dye_set(MODELS, BASE, names=tuple(reversed(DYES.names)))
    here, there = (find_matches(dyes, Wanted(lab=lab, max_dyes=3)).matches[0] for dyes in (DYES, turned))
    assert abs(here.de00 - there.de00) < 0.01


@given(depths)
@quick
def test_what_was_mixed_is_reached_again(row: np.ndarray) -> None:
    L, a, b = (float(value) for value in DYES.labs(row))
    if (row > 0).sum() <= 3:
        assert find_matches(DYES, Wanted(lab=Lab(L, a, b), max_dyes=3)).matches[0].de00 < 0.05


@given(st.floats(0.2, 5.0))
@quick
def test_the_unit_of_depth_changes_nothing(times: float) -> None:
    """Dyes `times` as strong, at depths as much smaller, give the same colours: a recipe scales with them."""
    swatches = ladder("Kelp", invented(np.random.default_rng(9)), (0.1, 0.5, 2)).swatches
    plain = fit_dye(swatches, BASE)
    scaled = fit_dye([replace(swatch, depth=swatch.depth / times) for swatch in swatches], BASE)
    inside = np.array([0.001, 0.003, 0.015])
    assert np.abs(plain.ks_at(inside) / scaled.ks_at(inside / times) - 1).max() < 1e-3


@given(depths)
@quick
def test_wet_yarn_is_darker_and_keeps_its_hue(row: np.ndarray) -> None:
    spectrum = DYES.spectra(row)
    dry, wet = lab_to_lch(spectrum_to_lab(spectrum)), lab_to_lch(spectrum_to_lab(wet_r(spectrum)))
    assert wet[0] < dry[0]
    if dry[1] > 15 and wet[0] > 5:
        assert abs((wet[2] - dry[2] + 180) % 360 - 180) < 15


@given(depths, st.floats(0.8, 1.0))
@quick
def test_texture_keeps_chromaticity_and_hair_pales(row: np.ndarray, scale: float) -> None:
    spectrum = DYES.spectra(row)
    card, skein = spectrum_to_xyz(spectrum), spectrum_to_xyz(presented(spectrum, scale))
    assert np.abs(card / card.sum() - skein / skein.sum()).max() < 1e-12
    assert np.all(presented(spectrum, 1.0, 0.1) >= spectrum - 1e-12)
