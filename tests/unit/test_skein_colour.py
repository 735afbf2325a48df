"""The colour of a map's cells: the same as working every cell out, but quicker."""

from __future__ import annotations

import numpy as np
import pytest

from invented_dyes import BASE, invented, ladder
from skeins import SOCK
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import linear_rgb_to_xyz, spectrum_to_xyz, xyz_to_lab, xyz_to_linear_rgb
from skeinwright.core.forecast import skein_colour
from skeinwright.core.forecast.dyeing import fit_dyes
from skeinwright.core.forecast.skein_colour import cell_colours, colour_lookup, mean_linear, sharpest_place
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.ideal import begin, kettle, paint
from skeinwright.core.spread.skein_map import SkeinMap, blank_map, uniform_map

NAMES = ("Kelp", "Ember", "Rosehip")


@pytest.fixture(scope="module")
def models() -> dict[str, object]:
    rng = np.random.default_rng(4)
    return dict(fit_dyes([ladder(name, invented(rng), (0.2, 1.0, 3.0)) for name in NAMES]))


def clouded() -> SkeinMap:
    dyeing = begin(blank_map(NAMES, SOCK, rows=48, cell_mm=5.0))
    dyeing = kettle(kettle(dyeing, {"Kelp": 0.004}), {"Ember": 0.003})
    return paint(dyeing, {"Rosehip": 0.002}, [(200.0, 700.0)]).skein


def test_one_cell_is_the_mixing_rule(models: dict[str, object]) -> None:
    doses = {"Kelp": 0.004, "Ember": 0.001, "Rosehip": 0.0}
    spectrum = mix(BASE, np.array([models[name].ks(depth) for name, depth in doses.items()]))  # type: ignore[attr-defined]
    expected = np.clip(xyz_to_linear_rgb(spectrum_to_xyz(spectrum, "D65", 2)), 0.0, 1.0)
    colours = cell_colours(uniform_map(doses, SOCK, rows=4, cell_mm=50.0), colour_lookup(NAMES, models, BASE))  # type: ignore[arg-type]
    assert np.allclose(colours, expected, atol=2e-6)
    assert mean_linear(colours) == pytest.approx(tuple(expected), abs=2e-6)


def test_depths_in_one_go_are_the_depths_one_by_one(models: dict[str, object]) -> None:
    depths = np.array([0.0, 1e-5, 0.002, 0.01, 0.08])
    found = models["Kelp"].ks_at(depths)
    assert np.allclose(found, [models["Kelp"].ks(float(depth)) for depth in depths])  # type: ignore[attr-defined]
    assert not found[0].any()


def test_grouping_cells_costs_no_visible_colour(models: dict[str, object]) -> None:
    """Against every cell worked out by itself: at most 4096 colours, the mean difference below 0.3 and 99 % below 1 (CIEDE2000)."""
    skein = clouded()
    asked: list[int] = []
    look_up = colour_lookup(NAMES, models, BASE)  # type: ignore[arg-type]

    def counted(amounts: np.ndarray) -> np.ndarray:
        asked.append(len(amounts))
        return look_up(amounts)

    quick = cell_colours(skein, counted).reshape(-1, 3)
    assert asked[0] <= skein_colour.MOST_GROUPS
    some = np.random.default_rng(1).choice(len(quick), 4000, replace=False)
    exact = look_up(skein.dye.reshape(3, -1).T[some].astype(float))
    white = spectrum_to_xyz(np.ones(31), "D65", 2)
    off = ciede2000(*(xyz_to_lab(linear_rgb_to_xyz(c), white) for c in (quick[some].astype(float), exact)))
    assert off.mean() < 0.3
    assert np.quantile(off, 0.99) < 1.0


def test_undyed_yarn_has_the_bases_colour() -> None:
    colours = cell_colours(blank_map((), SOCK, rows=4, cell_mm=50.0), colour_lookup((), {}, BASE))
    assert np.allclose(colours, np.clip(xyz_to_linear_rgb(spectrum_to_xyz(BASE, "D65", 2)), 0, 1), atol=1e-6)


def test_a_dye_without_a_swatch_has_no_colour(models: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="no swatch"):
        colour_lookup(("Sloe",), models, BASE)  # type: ignore[arg-type]


def test_the_sharpest_place_is_at_an_edge(models: dict[str, object]) -> None:
    skein = paint(begin(blank_map(("Kelp",), SOCK, rows=16)), {"Kelp": 0.01}, [(600.0, 900.0)]).skein
    place = sharpest_place(cell_colours(skein, colour_lookup(("Kelp",), models, BASE))) * 1500.0  # type: ignore[arg-type]
    assert min(abs(place - 600.0), abs(place - 900.0)) < 15.0
