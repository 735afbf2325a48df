"""Which colours lie on a ground, on yarn drawn here by plain rules: light times colour, round strands, soft edges. What is there is known exactly."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from skeinwright.core.measure.oklab import from_oklab, oklab
from skeinwright.core.measure.palette import Colours, colours_of
from skeinwright.core.measure.ray import ray_distance

PX = 8.0
GROUND = np.array([0.86, 0.0, 0.03])


def drawn(*spots: tuple[np.ndarray, float, int], seed: int = 3, deepest: float = 0.3) -> Colours:
    """Yarn of 80 x 50 mm: spots as (Oklab, diameter mm, how many), strands 1.7 mm apart whose valleys get `deepest` of the light."""
    rng = np.random.default_rng(seed)
    rows, columns = int(50 * PX), int(80 * PX)
    y, x = np.mgrid[0:rows, 0:columns].astype(float) / PX
    picture = np.broadcast_to(from_oklab(GROUND), (rows, columns, 3)).astype(float).copy()
    for lab, diameter, count in spots:
        for _ in range(count):
            off = np.hypot(x - rng.uniform(3, 77), y - rng.uniform(3, 47)) - diameter / 2
            cover = (0.5 - 0.5 * np.tanh(off / 0.2))[..., None]
            picture = np.exp(np.log(np.maximum(picture, 1e-4)) * (1 - cover) + np.log(np.maximum(from_oklab(lab), 1e-4)) * cover)
    phase = (y / 1.7) % 1.0
    light = deepest + (1 - deepest) * np.sqrt(1 - (2 * phase - 1) ** 2)
    seen = picture * light[..., None] + 0.003 * rng.normal(size=picture.shape)
    mask = np.zeros((rows, columns), dtype=bool)
    mask[8:-8, 8:-8] = True
    return colours_of(cv2.GaussianBlur(seen.astype(np.float32), (0, 0), 0.8), mask, PX, np.random.default_rng(1))


def nearest(found: Colours, lab: np.ndarray) -> float:
    """The Oklab distance of the nearest colour found."""
    return min((float(np.linalg.norm(oklab(one) - lab)) for one in found.others), default=np.inf)


@pytest.mark.parametrize("deepest", [0.15, 0.3, 0.6])
def test_plain_yarn_has_no_other_colour_however_deep_its_valleys(deepest: float) -> None:
    assert drawn(deepest=deepest).others == ()


def test_two_dark_colours_of_one_hue_that_differ_little_are_two() -> None:
    """0.10 apart and nearly on one shading ray: light alone (0.85 cubed) could turn the one into the other."""
    one, other = np.array([0.52, -0.02, -0.12]), np.array([0.43, -0.02, -0.09])
    assert ray_distance(other[None].astype(np.float32), one.astype(np.float32))[0] < 0.03
    found = drawn((one, 4.0, 22), (other, 4.0, 22))
    assert len(found.others) == 2
    assert nearest(found, one) < 0.03
    assert nearest(found, other) < 0.03


def test_two_hues_that_differ_little_are_two() -> None:
    one, other = np.array([0.55, 0.10, 0.02]), np.array([0.55, 0.10, 0.09])
    found = drawn((one, 4.0, 22), (other, 4.0, 22))
    assert len(found.others) == 2


@pytest.mark.parametrize("diameter", [2.5, 3.5, 5.0])
def test_soft_edges_of_a_strong_colour_are_no_colour(diameter: float) -> None:
    found = drawn((np.array([0.42, 0.10, -0.14]), diameter, 30))
    assert len(found.others) == 1
    assert nearest(found, np.array([0.42, 0.10, -0.14])) < 0.03


def test_the_ground_is_read_on_its_crests() -> None:
    found = drawn((np.array([0.5, 0.12, 0.05]), 3.5, 25))
    assert oklab(found.ground) == pytest.approx(GROUND, abs=0.012)
