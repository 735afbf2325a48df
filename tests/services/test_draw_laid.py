"""A map's cells are coloured once wet and once dried, whatever is drawn of it; memory is bounded, and pictures do not depend on it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import pytest

import skeinwright.core.forecast.skein_colour as skein_colour
import skeinwright.services.draw_laid as module
from skeinwright.core.picture.of_map import MAP_VIEWS
from skeinwright.services.draw_laid import laid_pixels
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.map_colourway import MappedColourway, map_colourway
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio

SIZE = (150, 100)


@pytest.fixture
def coloured(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[object]]:
    """What was coloured; nothing is remembered before or afterwards."""
    calls: list[object] = []
    kept = skein_colour.cell_colours

    def counted(*given: object) -> object:
        calls.append(given[0])
        return kept(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(skein_colour, "cell_colours", counted)
    module._coloured.clear()
    yield calls
    module._coloured.clear()


@pytest.fixture
def laid(studio: Studio) -> MappedColourway:
    """A painted colourway of the invented studio, by the quick forecast."""
    set_up_studio(studio, demo=True)
    return map_colourway(studio, get_colourway(studio, "Slipway").thing)


def test_six_views_colour_a_map_twice(laid: MappedColourway, coloured: list[object], monkeypatch: pytest.MonkeyPatch) -> None:
    for view in MAP_VIEWS:
        laid_pixels(laid, view=view, size=SIZE, seed=1)
    assert len(coloured) == 2
    fresh = dataclasses.replace(laid, key="")
    for view in ("laid open", "twisted"):
        assert laid_pixels(fresh, view=view, size=SIZE, seed=1).tobytes() == laid_pixels(laid, view=view, size=SIZE, seed=1).tobytes()
    assert len(coloured) == 4, "without a key nothing is remembered"
    _they_do_not_pile_up(laid, coloured, monkeypatch)


def _they_do_not_pile_up(laid: MappedColourway, coloured: list[object], monkeypatch: pytest.MonkeyPatch) -> None:
    one = next(iter(module._coloured.values())).colours.nbytes
    coloured.clear()
    monkeypatch.setattr(module, "MOST_COLOURED_BYTES", int(2.5 * one))
    for number in range(5):
        laid_pixels(dataclasses.replace(laid, key=f"map {number}"), view="laid open", size=SIZE, seed=1)
    assert [key[0] for key in module._coloured] == ["map 3", "map 4"]
    assert sum(found.colours.nbytes for found in module._coloured.values()) <= 2.5 * one
    laid_pixels(dataclasses.replace(laid, key="map 4"), view="in the pan", size=SIZE, seed=1)
    assert len(coloured) == 5, "the newest is still there"
