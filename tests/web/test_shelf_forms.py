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


@pytest.mark.parametrize(("kind", "early"), [("vessel", "width_mm"), ("water", "alkalinity_mg_l"), ("acid", "strength"), ("base", "superwash")])
def test_what_most_rests_on_is_asked_at_once(client: TestClient, kind: str, early: str) -> None:
    before_more = client.get(f"/shelf/{kind}/new").text.split('<details class="more"')[0]
    assert f'name="{early}"' in before_more


def test_an_empty_field_shows_how_it_is_written_and_no_amount_that_could_be_taken_for_usual(client: TestClient) -> None:
    page = client.get("/shelf/base/new").text
    assert 'name="fibres" value="" type="text" autocomplete="off" placeholder="75 % wool, 25 % nylon"' in page
    assert 'placeholder="100 g"' in page
    for field in ("round_mm", "plies", "undyed"):
        assert "placeholder" not in page.split(f'name="{field}"')[1].split(">")[0]


def test_fibre_is_read_as_a_label_prints_it(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    post("/shelf/base/new", {**BASE, "fibres": "75/25 wool nylon"})
    assert dict(get_from_shelf(filled, "base", "Moor Double").thing.fibres) == {"wool": 0.75, "nylon": 0.25}
    page = post("/shelf/base/new", {**BASE, "name": "Another", "fibres": ""}).text
    assert "Fibre must be given, for example &#39;75 % wool, 25 % nylon&#39;." in page


def test_what_was_archived_is_offered_only_where_something_was(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    assert "What was archived" not in client.get("/shelf/dyes").text
    page = post("/shelf/dye/2/archive", {"archived": "yes"}).text
    assert "What was archived" in page
    assert "What was archived" not in client.get("/shelf/bases").text
    archived = client.get("/shelf/dyes?archived=yes").text
    assert "Archived on the shelf" in archived
    assert 'href="/shelf/bases?archived=yes"' in archived


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


def test_a_pot_is_told_what_it_stands_on_from_a_list(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    """The list has the heat of the shelf, and a water bath where there is none; what stands there and is no longer on the shelf is kept."""
    page = client.get("/shelf/vessel/new").text
    assert [one.strip() for one in re.findall(r"<option[^>]*>([^<]*)</option>", re.search(r'<select id="f-stands_on".*?</select>', page, re.DOTALL)[0])] == [  # type: ignore[index]
        "–",
        *(kept.thing.name for kept in list_shelf(filled, "heat")),
        "water bath",
    ]
    jar = {"name": "Jar", "shape": "round", "length_mm": "8 cm", "height_mm": "18 cm"}
    post("/shelf/vessel/new", {**jar, "stands_on": "water bath"})
    kept = get_from_shelf(filled, "vessel", "Jar")
    assert kept.thing.stands_on == "water bath"
    assert "on water bath" in client.get("/shelf/pots-and-burners").text
    post(f"/shelf/vessel/{kept.id}", {**jar, "stands_on": "An old ring", "revision": str(kept.revision)})
    assert re.search(r'<option value="An old ring" selected>', client.get(f"/shelf/vessel/{kept.id}").text)


def test_undo_of_an_addition_leads_to_the_drawer_and_can_be_taken_back_in_turn(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/dye/new", {"name": "Bladder Wrack"})
    for there, said in (
        (False, "Took back: Added dye Bladder Wrack."),
        (True, "Did again: Added dye Bladder Wrack."),
        (False, "Took back: Added dye Bladder Wrack."),
    ):
        number = page.text.split('name="changes" value="')[1].split('"')[0]
        page = post("/undo", {"changes": number, "back": "/shelf/dye/1/swatches"})
        assert (page.status_code, page.url.path) == (200, "/shelf/dye/1/swatches" if there else "/shelf/dyes")
        assert said in page.text
        assert bool(list_shelf(studio, "dye")) is there
