"""What the page gives for placing bands and for the rules of its pictures: one step that is placed, none, and scales in millimetres."""

from __future__ import annotations

import json
import re
from html import unescape
from types import MappingProxyType

import pytest
from starlette.testclient import TestClient

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio
from skeinwright.web.bands_view import puts_of


def page_of(client: TestClient, studio: Studio, *steps: Step, query: str = "") -> str:
    kept, _ = save_colourway(studio, Colourway(name=f"Placed {len(steps)}", fibre="100 g", bases=("Quay Sock",), steps=steps))
    return client.get(f"/colourways/{kept.id}{query}").text


def test_a_colourway_without_places_has_no_bands(client: TestClient, filled: Studio) -> None:
    page = page_of(client, filled, Step("add dye", MappingProxyType({"dye": "Kelp", "depth": "0.5 %"})))
    assert 'id="bands"' not in page
    assert 'id="bands-at"' in page


def test_each_step_that_is_placed_is_offered(client: TestClient, filled: Studio) -> None:
    """The part is hidden until a script shows it: without one the steps' own fields are all there is. The drawn loop is closed, and its middle line inside."""
    steps = (
        Step("tie off", MappingProxyType({"over": "70-80 cm"})),
        Step("wait", MappingProxyType({"time": "5 min"})),
        Step("paint", MappingProxyType({"dye": "Kelp", "amount": "0.2 g", "over": "20-60 cm"})),
    )
    assert [(put.number, put.do, put.field) for put in puts_of(steps)] == [(1, "tie off", "s.0.over"), (3, "paint", "s.2.over")]
    page = page_of(client, filled, *steps)
    part = re.search(r'<details class="bands[^>]*>', page)
    assert part
    assert " hidden" in part[0]
    for name in ("s.0.over", "s.2.over"):
        assert f'data-field="{name}"' in page
        assert f'name="{name}"' in page
    line = re.search(r'class="bands-line" d="M([^Z]+)Z"', page)
    assert line
    points = [tuple(float(one) for one in pair.split()) for pair in line[1].split("L")]
    assert points[0] == pytest.approx((450.0, points[0][1]), abs=1.0), "the tie is in the middle of the upper limb"
    assert points[0][1] == min(y for _, y in points)
    assert all(0 < x < 900 and 0 < y < 600 for x, y in points)
    assert points[1][0] > points[0][0], "clockwise"


def test_rules_are_in_millimetres(client: TestClient, filled: Studio) -> None:
    """A skein of 1.5 m once round is 75 cm long laid open, on nine tenths of the picture: 833 mm across."""
    page = page_of(client, filled, Step("add dye", MappingProxyType({"dye": "Kelp", "depth": "0.5 %"})), query="?view=laid+open")
    found = re.search(r'data-rules="([^"]*)"', page)
    assert found
    rules = json.loads(unescape(found[1]))
    assert rules["Quay Sock"] == pytest.approx(750.0 / 0.9, rel=0.001)
