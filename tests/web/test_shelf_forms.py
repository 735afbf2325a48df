"""Adding and changing by form: what was typed is kept, problems stand beside their field, and every change can be taken back."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio

BASE = {"name": "Moor Double", "fibres": "100 % wool", "skein_g": "4 oz", "length_mm": "200 yd"}


def _undo_form(page: str) -> str:
    found = re.search(r'action="/undo".*?name="changes" value="([\d,]+)"', page, re.DOTALL)
    assert found, "the page offers no undo"
    return found[1]


def test_a_base_is_added_as_people_write_it(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/base/new", BASE)
    assert page.url.path == "/shelf/bases"
    base = get_from_shelf(filled, "base", "Moor Double").thing
    assert base.skein_g == pytest.approx(4 * 28.349523125)  # avoirdupois ounce, international yard and pound agreement of 1959
    assert base.length_mm == pytest.approx(200 * 914.4)


def test_bad_input_keeps_what_was_typed_and_stands_beside_its_field(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/base/new", {**BASE, "skein_g": "heavy"})
    assert page.status_code == 422
    assert 'value="heavy"' in page.text
    assert 'value="200 yd"' in page.text
    field = re.search(r'<div class="field[^"]*" data-wrong>.*?</div>', page.text, re.DOTALL)
    assert field
    assert 'name="skein_g"' in field[0]
    assert 'aria-invalid="true"' in field[0]
    assert 'id="f-skein_g-wrong"' in field[0]
    assert re.search(r'aria-describedby="[^"]*f-skein_g-wrong', field[0])
    assert len(list_shelf(filled, "base")) == 1


def test_all_problems_are_told_at_once(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/base/new", {"name": "", "fibres": "", "skein_g": "100 g", "length_mm": "near"})
    assert page.text.count("data-wrong") == 3


def test_a_problem_under_more_opens_it(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/base/new", {**BASE, "plies": "8 ply"}).text
    assert re.search(r'<details class="more" open>', page)


def test_a_name_that_is_taken_is_said_and_nothing_is_lost(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/base/new", {**BASE, "name": "Quay Sock"})
    assert page.status_code == 409
    assert 'value="200 yd"' in page.text


def test_adding_asks_only_what_is_needed_first(client: TestClient) -> None:
    page = client.get("/shelf/base/new").text
    before_more = page.split('<details class="more"')[0]
    assert re.findall(r'name="(\w+)" value=""', before_more) == ["name", "fibres", "skein_g", "length_mm"]


def test_a_change_is_undone_and_done_again(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/dye/1", {"name": "Weed", "revision": str(get_from_shelf(filled, "dye", 1).revision)})
    assert get_from_shelf(filled, "dye", 1).thing.name == "Weed"
    assert [part for part, _ in get_from_shelf(filled, "solution", 1).thing.parts] == ["Weed"]
    back = post("/undo", {"changes": _undo_form(page.text), "back": "/shelf/dyes"})
    assert back.url.path == "/shelf/dyes"
    assert get_from_shelf(filled, "dye", 1).thing.name == "Kelp"
    post("/undo", {"changes": _undo_form(back.text), "back": "/shelf/dyes"})
    assert get_from_shelf(filled, "dye", 1).thing.name == "Weed"


def test_undo_of_what_was_changed_since_says_so(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    first = post("/shelf/dye/1", {"name": "Weed"})
    post("/shelf/dye/1", {"name": "Wrack"})
    page = post("/undo", {"changes": _undo_form(first.text), "back": "/shelf/dyes"})
    assert "has been changed since" in page.text
    assert get_from_shelf(filled, "dye", 1).thing.name == "Wrack"


def test_who_saves_an_older_state_is_told_and_keeps_what_was_typed(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    seen = get_from_shelf(filled, "dye", 2).revision
    post("/shelf/dye/2", {"name": "Rosehip", "on_hand_g": "20 g", "revision": str(seen)})
    page = post("/shelf/dye/2", {"name": "Rosehip", "on_hand_g": "30 g", "revision": str(seen)})
    assert page.status_code == 409
    assert 'value="30 g"' in page.text
    assert get_from_shelf(filled, "dye", 2).thing.on_hand_g == 20


@pytest.mark.parametrize(
    ("kind", "text", "said"),
    [("volume", "3 tbsp", "44.4 ml"), ("mass", "4 oz", "113 g"), ("parts", "3 wool : 1 nylon", "75"), ("alkalinity", "5 dH", "89")],
)
def test_a_typed_number_is_said_back_as_understood(client: TestClient, filled: Studio, kind: str, text: str, said: str) -> None:
    assert said in client.get("/understand", params={"kind": kind, "field": "fibres", "fibres": text}).text


def test_a_typed_number_that_cannot_be_read_is_answered_with_a_sentence(client: TestClient, filled: Studio) -> None:
    answer = client.get("/understand", params={"kind": "mass", "field": "skein_g", "skein_g": "1,500 g"})
    assert answer.status_code == 200
    assert 'class="wrong"' in answer.text


def test_settings_are_kept_and_bad_ones_are_refused(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    kept = post("/settings", {"studio": "Quay Room", "spoons": "metric"})
    assert "Quay Room" in kept.text
    wrong = post("/settings", {"drop_ml": "3 l", "studio": "Quay Room"})
    assert wrong.status_code == 422
    assert 'value="3 l"' in wrong.text
    spoon = client.get("/understand", params={"kind": "volume", "field": "v", "v": "1 tbsp"}).text
    assert "15 ml" in spoon
