"""One m a base, from swatches seen wet and dry."""

from __future__ import annotations

import numpy as np
import pytest

from invented_dyes import BASE, invented
from skeinwright.core.colour.blend import blend, striation
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.wet import SOAKED, fit_wetness, m_at, wet_r
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import Lab


def _pairs(m: float, count: int) -> list[tuple[Lab, Lab]]:
    rng, pairs = np.random.default_rng(3), []
    for _ in range(count):
        dry = mix(BASE, invented(rng).at(0.004)[None])
        labs = [Lab(*(float(value) for value in spectrum_to_lab(spectrum))) for spectrum in (dry, wet_r(dry, m))]
        pairs.append((labs[0], labs[1]))
    return pairs


@pytest.mark.parametrize("m", [2.0, 2.8, 4.0])
def test_m_is_found(m: float) -> None:
    found = fit_wetness(_pairs(m, 6))
    assert found.m == pytest.approx(m, rel=0.08)
    assert found.left_de00 is not None
    assert found.left_de00 < 0.8
    assert found.log_sd < 0.1


def test_more_pairs_know_more_and_two_are_too_few() -> None:
    assert fit_wetness(_pairs(3.0, 8)).log_sd < fit_wetness(_pairs(3.0, 3)).log_sd
    with pytest.raises(BadInput, match="3 swatches"):
        fit_wetness(_pairs(3.0, 2))


def test_m_grows_with_the_water_until_it_is_soaked() -> None:
    assert [m_at(water) for water in (0.0, 0.2, 0.4, 1.0)] == pytest.approx([1.0, 1.9, SOAKED, SOAKED])


def test_a_striated_yarn_has_one_colour_from_afar_and_a_spread_close_up() -> None:
    dye = invented(np.random.default_rng(1))
    parts = np.array([mix(BASE, dye.at(depth)[None]) for depth in (0.001, 0.006)])
    mixed = blend(parts, np.array([0.75, 0.25]))
    assert np.all(mixed >= parts.min(axis=0) - 1e-12)
    assert np.all(mixed <= parts.max(axis=0) + 1e-12)
    lightness = spectrum_to_lab(parts)[:, 0]
    assert striation(parts, np.array([0.75, 0.25])) == pytest.approx(abs(lightness[0] - lightness[1]) * np.sqrt(0.75 * 0.25))
