"""The end of the bath: what is left is estimated, kept on the shelf in two taps, or neutralised within the dyer's own limit."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import pytest

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.shelf.items import Leftover
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.change_settings import change_settings
from skeinwright.services.draft_lot import StartLot
from skeinwright.services.estimate_liquor import estimate_liquor
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.start_lot import start_lot
from skeinwright.services.studio import Studio
from skeinwright.web.colourway_form import a_bath

BATH = Colourway(name="Low water", fibre="100 g", vessel="Big pot", water="Tap", bases=("Quay Sock",), steps=a_bath({"dye": "Kelp", "acid": "Vinegar"}))


@pytest.fixture
def code(filled: Studio) -> str:
    save_colourway(filled, BATH)
    return start_lot(filled, StartLot(colourway="Low water")).code


def test_what_is_on_the_yarn_and_in_the_bottle_is_what_went_in(filled: Studio, code: str) -> None:
    (left,) = estimate_liquor(filled, code)
    assert left.volume_ml is not None
    assert 1000 < left.volume_ml.value < 3000  # 3 l at first, less steam and 150 ml in the yarn
    kelp = left.dyes_g["Kelp"]
    assert 0 <= kelp.low <= kelp.value <= kelp.high < 1.0  # 1 g went in


def test_less_acid_leaves_more_dye(filled: Studio, code: str) -> None:
    plain = dataclasses.replace(BATH, name="No acid", steps=tuple(step for step in BATH.steps if step.do != "add acid"))
    save_colourway(filled, plain)
    (sour,), (left,) = estimate_liquor(filled, code), estimate_liquor(filled, start_lot(filled, StartLot(colourway="No acid")).code)
    assert left.dyes_g["Kelp"].value > sour.dyes_g["Kelp"].value + 0.05


def test_the_pot_over_time_has_its_chart_in_words_and_what_it_rests_on(filled: Studio, code: str, client: Any) -> None:
    assert f'href="/lots/{code}/pot"' in client.get(f"/lots/{code}").text
    page = client.get(f"/lots/{code}/pot").text
    assert "By the plan, as nothing is written down yet." in page
    assert 'class="pot-chart"' in page
    assert re.search(r"Kelp: half of what goes on is on by minute \d+", page)
    assert "Assumed of the pot: " in page
    assert 'href="/tests"' in page
    assert "#the-bath" not in page, "the bath as mixed stands beside a colourway only"
    assert client.get("/lots/2020-01-01-A/pot").status_code == 404


def test_two_taps_from_the_sheet_keep_it(filled: Studio, code: str, client: Any, post: Any) -> None:
    assert f'href="/lots/{code}/liquor"' in client.get(f"/lots/{code}").text
    page = client.get(f"/lots/{code}/liquor").text
    assert f"Rest of {code}" in page
    answer = post(f"/lots/{code}/liquor", {"vessel": "Big pot", "name": f"Rest of {code}"})
    assert answer.status_code == 200
    things = [kept.thing for kept in list_shelf(filled, "leftover")]
    thing = next(one for one in things if isinstance(one, Leftover) and one.from_lot == code)
    (left,) = estimate_liquor(filled, code)
    assert left.volume_ml is not None
    assert thing.volume_ml == pytest.approx(left.volume_ml.value, abs=5)
    assert "not measured" in thing.notes
    again = post(f"/lots/{code}/liquor", {"vessel": "Big pot", "name": f"Rest of {code}"})
    assert again.status_code == 422
    assert len([kept for kept in list_shelf(filled, "leftover") if getattr(kept.thing, "from_lot", "") == code]) == 1


def test_the_drain_dose_follows_the_dyers_own_limit(filled: Studio, code: str, client: Any) -> None:
    change_settings(filled, {"drain_low_ph": "6.5", "drain_source": "Letter of the works, 2026"})
    page = client.get(f"/lots/{code}/liquor").text
    assert re.search(r"Baking soda: [\d.]+ g", page)
    for words in ("Letter of the works, 2026", "<strong>Law.</strong>", "<strong>Practice.</strong>", "not verified"):
        assert words in page


def test_a_pot_that_nothing_is_known_of_says_so(filled: Studio, post: Any, client: Any) -> None:
    save_colourway(filled, dataclasses.replace(BATH, name="Dry", steps=BATH.steps[:1]))
    code = start_lot(filled, StartLot(colourway="Dry")).code
    assert "It cannot be told." in client.get(f"/lots/{code}/liquor").text
    assert post(f"/lots/{code}/liquor", {"vessel": "Big pot"}).status_code == 422


def test_it_says_what_depth_for_how_much_yarn(filled: Studio, code: str, client: Any, post: Any) -> None:
    """By hand: grams over the yarn's weight."""
    (left,) = estimate_liquor(filled, code)
    grams = left.dyes_g["Kelp"].value
    page = client.get(f"/lots/{code}/liquor?fibre=50 g").text
    assert f"{float(f'{100 * grams / 50:.2g}'):g} %" in page
    wrong = client.get(f"/lots/{code}/liquor?fibre=some").text
    assert 'id="fibre-1-wrong"' in wrong
    assert 'value="some"' in wrong
    for kind in ("Law.", "Standard.", "Advice.", "Practice."):
        assert kind in page
    shelf = add_to_shelf(filled, "leftover", {"name": "Blue rest", "volume_ml": "2 l", "dyes_g": "Kelp 0.2 g"})[0]
    assert "0.4 %" in client.get(f"/shelf/leftover/{shelf.id}?fibre=50 g").text
    assert "200 g of yarn to a pale 0.1 %" in client.get(f"/shelf/leftover/{shelf.id}").text


def test_nothing_is_told_below_a_milligram(filled: Studio, code: str, client: Any) -> None:
    page = client.get(f"/lots/{code}/liquor").text
    assert not re.search(r"\de-\d", page)
    assert not re.search(r">0\.0000\d* [g%]", page)
