"""What a photo says of its own errors, and how many colours it says there are. How often that holds on photographs: docs/proof/photo_colour.md."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.measure.clusters import colour_clusters
from skeinwright.core.measure.colour import corrected_by
from skeinwright.core.measure.reference import lab_of
from skeinwright.core.measure.stated import SAME_PHOTO_DE00, crest_spread, other_spread, same_photo_spread


def test_a_difference_in_one_photo_is_known_better_the_nearer_it_is_and_never_worse_than_two_colours() -> None:
    spreads = [same_photo_spread(apart, 6.0) for apart in (0.0, 2.0, 5.0, 10.0, 20.0, 40.0, 90.0)]
    assert spreads == sorted(spreads)
    assert spreads[0] == SAME_PHOTO_DE00
    assert spreads[-1] == pytest.approx(np.hypot(6.0, 6.0)), "as two photos"
    assert same_photo_spread(90.0, 0.5) == SAME_PHOTO_DE00
    assert same_photo_spread(10.0, 6.0) == pytest.approx(np.sqrt(1.5**2 + 1.9**2))
    assert 2.0 < crest_spread(2.0) < other_spread(2.0)
    assert other_spread(6.0) == pytest.approx(np.sqrt(8.4**2 + 2.0**2))


def test_the_stated_ninety_per_cent_holds_a_new_colour_nine_times_in_ten() -> None:
    """Of n + 1 draws from one bag the last is as likely to have any rank, so it is within the k-th smallest of the others with k/(n + 1): 23/25 for 24.

    Held against errors that are drawn, not computed: patches whose sensor adds noise of its own to every channel.
    """
    rng = np.random.default_rng(4)
    held = []
    for _ in range(60):
        known = np.exp(rng.uniform(np.log(0.03), np.log(0.9), (25, 3)))
        seen = known * np.exp(rng.normal(0, 0.05, known.shape))
        made = corrected_by(seen[:24], known[:24])
        assert made.high_de00 is not None
        held.append(float(ciede2000(made.lab(seen[24])[0], lab_of(known[24]))) <= made.high_de00)
    assert np.mean(held) >= 0.85, "0.92 meant; of 60 draws three in a hundred fall under this"


def _cloud(rng: np.random.Generator, lab: tuple[float, float, float], count: int = 4000, shade: float = 0.012, noise: float = 0.004) -> np.ndarray:
    """Pixels of one colour: drawn out along its shading ray, and noise all round, as wide as on the photographs of the proof."""
    centre = np.array(lab)
    along = rng.uniform(-1, 1, count) * 1.7 * shade
    return centre + along[:, None] * centre / centre[0] + rng.normal(0, noise, (count, 3))


@pytest.mark.parametrize("seed", range(4))
def test_one_colour_is_one_however_it_is_shaded(seed: int) -> None:
    rng = np.random.default_rng(seed)
    for shade, noise in ((0.012, 0.004), (0.03, 0.004), (0.0, 0.004), (0.012, 0.007)):
        found = colour_clusters(_cloud(rng, (0.5, 0.05, -0.1), shade=shade, noise=noise).astype(np.float32), rng)
        assert len(found) == 1
        assert found[0].centre == pytest.approx([0.5, 0.05, -0.1], abs=0.002)


@pytest.mark.parametrize("seed", range(4))
def test_two_hues_are_two_colours_and_a_shade_is_none(seed: int) -> None:
    """Three hundredths apart in Oklab, which an eye sees at once: two where the hue differs, one where it is the same colour in a little less light."""
    rng = np.random.default_rng(seed)
    one = _cloud(rng, (0.5, 0.05, -0.1))
    hue = np.concatenate([one, _cloud(rng, (0.5, 0.08, -0.1), 2000)])
    shade = np.concatenate([one, _cloud(rng, (0.485, 0.0485, -0.097), 2000)])
    weights = sorted(cluster.weight for cluster in colour_clusters(hue.astype(np.float32), rng))
    assert weights == pytest.approx([2000, 4000], rel=0.02)
    assert len(colour_clusters(shade.astype(np.float32), rng)) == 1
