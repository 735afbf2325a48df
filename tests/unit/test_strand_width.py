"""The thickness of a strand in a photo, against strands that were drawn at a known thickness, blurred and made noisy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.strand_width import strand_width


def photo(width_px: float, *, angle_deg: float = 0.0, bead: float = 0.0, strand: float = 0.85, ground: float = 0.25, seed: int = 1) -> np.ndarray:
    """A straight strip of exactly that width through the middle of 640 x 480 pixels; `bead`: its width swings by this share, as a two-ply's does."""
    y, x = np.mgrid[0:480, 0:640].astype(float)
    a = np.radians(angle_deg)
    along = (x - 320) * np.cos(a) + (y - 240) * np.sin(a)
    off = np.abs(-(x - 320) * np.sin(a) + (y - 240) * np.cos(a))
    half = 0.5 * width_px * (1.0 + bead * np.sin(2 * np.pi * along / 55.0))
    cover = np.clip(half - off + 0.5, 0.0, 1.0)
    clean = gaussian_filter(ground + (strand - ground) * cover, 1.5)
    return (clean + np.random.default_rng(seed).normal(0.0, 0.02, clean.shape)).astype(np.float32)


@pytest.mark.parametrize("width", [14.0, 30.0, 52.0])
@pytest.mark.parametrize(("strand", "ground"), [(0.85, 0.25), (0.2, 0.8)])
def test_a_drawn_strand_comes_back(width: float, strand: float, ground: float) -> None:
    found = strand_width(photo(width, strand=strand, ground=ground), (120.0, 240.0), (520.0, 240.0))
    assert found.width_px == pytest.approx(width, abs=0.8)


@pytest.mark.parametrize("angle", [-6.0, 4.0, 9.0])
def test_a_line_that_is_not_quite_along_it_makes_it_no_thicker(angle: float) -> None:
    found = strand_width(photo(30.0, angle_deg=angle), (120.0, 240.0), (520.0, 240.0))
    assert found.width_px == pytest.approx(30.0, abs=0.9)


def test_a_beaded_strand_gives_its_mean_and_its_unevenness() -> None:
    """A width that swings as a sine by 30 % has a standard deviation of 0.3/sqrt 2 of it."""
    found = strand_width(photo(30.0, bead=0.3), (120.0, 240.0), (520.0, 240.0))
    assert found.width_px == pytest.approx(30.0, rel=0.04)
    assert found.sd_px == pytest.approx(30.0 * 0.3 / np.sqrt(2.0), rel=0.2)


def test_the_interval_holds_the_truth_nine_times_in_ten() -> None:
    """40 photos of one strand with points on a ruler of 200 px set 2 px off at random (as the spread says it assumes)."""
    rng = np.random.default_rng(7)
    held = 0
    for seed in range(40):
        found = strand_width(photo(26.0, seed=seed), (120.0, 240.0), (520.0, 240.0))
        ruler_px = float(np.hypot(200.0 + rng.normal(0, 2) - rng.normal(0, 2), rng.normal(0, 2) - rng.normal(0, 2)))
        _, low, high = found.mm(ruler_px, 10.0)
        held += low <= 26.0 * 10.0 / 200.0 <= high
    assert held >= 33


def test_what_is_no_strand_is_refused() -> None:
    with pytest.raises(BadInput, match="stands out"):
        strand_width(photo(30.0, strand=0.27, ground=0.25), (120.0, 240.0), (520.0, 240.0))
    with pytest.raises(BadInput, match="stands out"):
        strand_width(photo(30.0), (120.0, 80.0), (520.0, 80.0))
    with pytest.raises(BadInput, match="too short"):
        strand_width(photo(30.0), (300.0, 240.0), (320.0, 240.0))
