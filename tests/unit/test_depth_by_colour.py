"""Shares of depth read from colours, against colours worked out from spectra by the photo proofs' own code, which knows nothing of the reading."""

from __future__ import annotations

import numpy as np
import pytest

from photo_proofs import synthetic
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.learn.depth_by_colour import depth_share, liquor_share, ratio_of_depths
from skeinwright.core.shelf.swatch import Lab


def lab(spectrum: np.ndarray) -> Lab:
    return Lab(*(float(one) for one in synthetic.lab_of(spectrum)), "D65", 2)


def dye(seed: int) -> np.ndarray:
    return synthetic.random_dye(np.random.default_rng(seed), 2.0)


@pytest.mark.parametrize("seed", range(1, 7))
def test_a_share_of_dye_is_read_back(seed: int) -> None:
    """Kubelka and Munk's sum with 31 bands makes the pieces; three numbers of each are read. Within a factor of 1.25, as the tests assume."""
    undyed, finished = lab(synthetic.WOOL), lab(synthetic.absorb(synthetic.WOOL, dye(seed)))
    assert depth_share(finished, finished, undyed) == pytest.approx(1.0)
    assert depth_share(undyed, finished, undyed) == pytest.approx(0.0, abs=0.01)
    for share in (0.15, 0.4, 0.75):
        assert 1 / 1.25 < depth_share(lab(synthetic.absorb(synthetic.WOOL, share * dye(seed))), finished, undyed) / share < 1.25


@pytest.mark.parametrize("seed", range(1, 7))
def test_a_share_of_liquor_is_read_back(seed: int) -> None:
    """Beer and Lambert band by band over white paper, light passing twice; the half-strength glass straightens what broad bands bend."""
    bands = 0.6 * dye(seed)

    def glass(strength: float) -> Lab:
        return lab(synthetic.PAPER * np.exp(-2 * strength * bands))

    for share in (0.1, 0.3, 0.7):
        plain = liquor_share(glass(share), glass(1), glass(0))
        straight = liquor_share(glass(share), glass(1), glass(0), glass(0.5))
        assert straight == pytest.approx(share, abs=0.05)
        assert abs(straight - share) < abs(plain - share) + 0.02
    assert liquor_share(glass(0), glass(1), glass(0), glass(0.5)) == 0


def test_one_yarn_over_another() -> None:
    wool, nylon = synthetic.WOOL, np.full(31, 0.85)
    found = ratio_of_depths(lab(synthetic.absorb(nylon, 3 * 0.5 * dye(3))), lab(nylon), lab(synthetic.absorb(wool, 0.5 * dye(3))), lab(wool))
    assert found == pytest.approx(3.0, rel=0.25)


def test_nothing_to_read_is_said() -> None:
    undyed = lab(synthetic.WOOL)
    with pytest.raises(BadInput, match="no dye in it"):
        depth_share(undyed, undyed, undyed)
    with pytest.raises(BadInput, match="half strength"):
        liquor_share(*(lab(synthetic.PAPER * np.exp(-2 * c * dye(1))) for c in (0.5, 1.0, 0.0)), half=lab(synthetic.PAPER * np.exp(-2 * dye(1))))
