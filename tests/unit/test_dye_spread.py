"""How sure one dye's colour is: the truth of dyes of another form than the prior lies within, and no forecast of the same dye is surer."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.forecast.dye_spread import dye_spread
from skeinwright.core.forecast.dyeing import fit_dyes, forecast_dyeing
from skeinwright.core.forecast.ground import ground_of

SEEDS = (0, 1, 2)


@pytest.mark.parametrize(("rungs", "noise"), [((0.5,), 0.0), ((0.25, 2.0), 1.0), ((0.1, 0.5, 2.0), 1.0)])
def test_nine_in_ten_hidden_dyes_are_at_1_per_cent_where_it_says(proof: ModuleType, rungs: tuple[float, ...], noise: float) -> None:
    """27 dyes made by `proofs/hidden_dyes.py`, none with a swatch at 1 %; the truth is that generator's own."""
    hidden, held = proof.HIDDEN, []
    for seed in SEEDS:
        dyes_of = hidden.hidden_set(seed)
        labs, bare = dyes_of.read(rungs, noise)
        name = f"yarn {dyes_of.ladder_yarn}"
        undyed = {name: proof._lab(bare[dyes_of.ladder_yarn])}
        dyes = [proof._dye(str(index), rungs, ladder, proof.READINGS[noise], name) for index, ladder in enumerate(labs)]
        models, base, ground = fit_dyes(dyes, undyed), recover(undyed[name]).reflectance, ground_of(undyed[name], name)
        for dye, true in zip(dyes, dyes_of.dyes, strict=True):
            truth = spectrum_to_lab(hidden.dyed(hidden.yarn(dyes_of.ladder_yarn), true.ks(1.0)[None]))
            meant = spectrum_to_lab(mix(base, models[dye.name].ks(0.01)[None]))
            sure = dye_spread(dye, models[dye.name], base, rng=np.random.default_rng(seed))
            held.append(float(ciede2000(truth, meant)) <= sure)
            told = forecast_dyeing({dye.name: 0.01}, dyes, ground, rng=np.random.default_rng(seed), models=models).spread_de00
            assert told is not None
            assert told > 0.9 * sure  # 200 draws: a tenth is chance
    assert np.mean(held) >= 0.85
