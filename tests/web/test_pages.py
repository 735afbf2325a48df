"""Every page comes up, in an empty studio and in a filled one, and says what it should."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio

DRAWERS = ("dyes", "bases", "acids-and-water", "pots-and-burners")
KINDS = ("dye", "solution", "blend", "auxiliary", "leftover", "base", "acid", "water", "vessel", "heat")
ALWAYS = ("/settings", "/shelf/import", "/shelf/export", *(f"/shelf/{drawer}" for drawer in DRAWERS), *(f"/shelf/{kind}/new" for kind in KINDS))


@pytest.mark.parametrize("path", ALWAYS)
def test_a_page_comes_up_on_an_empty_studio(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert '<main class="sheet"' in answer.text


@pytest.mark.parametrize("path", [*ALWAYS, "/", *(f"/shelf/{kind}/1" for kind in KINDS), "/shelf/dye/1/swatches", "/shelf/dye/1/eye"])
def test_a_page_comes_up_on_a_filled_studio(client: TestClient, filled: Studio, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert "Harbour Room" in answer.text


def test_the_first_start_asks_one_question_and_nothing_else(client: TestClient) -> None:
    page = client.get("/")
    assert page.url.path == "/start"
    assert page.text.count("<form") == 2
    assert '<input type="text"' not in page.text


def test_an_empty_studio_offers_three_starting_points_once_it_was_begun(client: TestClient, studio: Studio) -> None:
    set_up_studio(studio, name="Harbour Room")
    page = client.get("/").text
    assert "Nothing is on." in page
    assert "What will you dye next?" in page
    assert "/shelf" in page


def test_today_shows_a_section_only_when_it_has_something(client: TestClient, filled: Studio) -> None:
    page = client.get("/").text
    assert "Running low" in page
    assert "4 g left of 50 g" in page
    assert "What will you dye next?" in page  # nothing else is on
    assert "Hot now" not in page


def test_the_navigation_names_only_screens_that_exist(client: TestClient, filled: Studio) -> None:
    page = client.get("/").text
    names = {route.name for route in client.app.routes}  # type: ignore[attr-defined]
    assert (">Lots</a>" in page) == ("lots" in names)
    assert ">Stove</a>" not in page


def test_a_dye_says_what_its_ladder_rests_on(client: TestClient, filled: Studio) -> None:
    page = client.get("/shelf/dyes").text
    assert "Three swatches, likely within" in page
    assert "No swatch yet" in page


def test_an_archived_thing_is_out_of_sight_until_it_is_asked_for(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    post("/shelf/dye/2/archive", {"archived": "yes"})
    assert "Rosehip</a>" not in client.get("/shelf/dyes").text
    assert "Rosehip</a>" in client.get("/shelf/dyes?archived=yes").text
    post("/shelf/dye/2/archive", {"archived": "no"})
    assert "Rosehip</a>" in client.get("/shelf/dyes").text


def test_a_drawer_can_be_searched(client: TestClient, filled: Studio) -> None:
    page = client.get("/shelf/dyes?q=rose").text
    assert "Rosehip</a>" in page
    assert ">Kelp</a>" not in page


def test_what_does_not_exist_is_said_in_a_sentence(client: TestClient, filled: Studio) -> None:
    for path in ("/nothing", "/shelf/spoons", "/shelf/dye/99", "/shelf/spoon/1", "/pictures/ladder/99.png", "/photos/1"):
        answer = client.get(path)
        assert answer.status_code == 404, path
        assert "Not here" in answer.text


def test_an_error_for_a_part_of_a_page_is_a_part_of_a_page(client: TestClient, filled: Studio) -> None:
    answer = client.get("/shelf/dye/99", headers={"hx-request": "true", "hx-request-type": "partial"})
    assert answer.status_code == 404
    assert "<html" not in answer.text
    assert 'role="alert"' in answer.text


def test_names_are_shown_as_text_never_as_markup(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    post("/shelf/dye/1", {"name": "Kelp", "notes": "<img src=x onerror=alert(1)>"})
    page = client.get("/shelf/dye/1").text
    assert "<img src=x" not in page
    assert "&lt;img src=x" in page


def test_a_picture_is_not_sent_twice(client: TestClient, filled: Studio) -> None:
    first = client.get("/pictures/ladder/1.png")
    assert first.headers["content-type"] == "image/png"
    assert first.content.startswith(b"\x89PNG")
    again = client.get("/pictures/ladder/1.png", headers={"if-none-match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""


def test_a_strand_is_drawn(client: TestClient, filled: Studio) -> None:
    answer = client.get("/pictures/strand/1.png")
    assert answer.status_code == 200
    assert answer.content.startswith(b"\x89PNG")
