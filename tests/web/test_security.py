"""What a request must pass, and what every answer carries."""

from __future__ import annotations

import re

import pytest
from starlette.routing import Route
from starlette.testclient import TestClient

from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio
from skeinwright.web.app import ROUTES, create_app

HOME = "http://127.0.0.1:8470"
DYE = {"name": "Kelp"}


def _paths(method: str) -> list[str]:
    routes = [route for route in ROUTES if isinstance(route, Route)]
    return [re.sub(r"\{\w+(:int)?\}", "1", route.path) for route in routes if method in (route.methods or ())]


def test_every_answer_carries_the_headers_and_none_allows_inline_script_or_style(client: TestClient) -> None:
    for path in ("/", "/shelf/dyes", "/no-such-page", "/static/skeinwright.css"):
        answer = client.get(path)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"


def test_no_page_has_inline_script_or_style(client: TestClient, filled: Studio) -> None:
    for path in ("/", "/shelf/dyes", "/shelf/bases", "/shelf/pots-and-burners", "/shelf/dye/1", "/shelf/dye/1/swatches", "/shelf/dye/1/eye", "/settings"):
        page = client.get(path).text
        assert not re.search(r"<script(?![^>]*\bsrc=)", page), path
        assert "<style" not in page, path
        assert not re.search(r"\s(style|on\w+)\s*=", page), path


def test_every_url_that_changes_something_refuses_a_request_without_the_token(client: TestClient, filled: Studio) -> None:
    before = len(list_shelf(filled, "dye"))
    client.get("/settings")
    paths = _paths("POST")
    assert len(paths) > 8
    for path in paths:
        assert client.post(path, data=DYE, headers={"origin": HOME}).status_code == 403, path
        assert client.post(path, data={**DYE, "csrf_token": "x" * 43}, headers={"origin": HOME}).status_code == 403, path
    assert len(list_shelf(filled, "dye")) == before


def test_the_token_is_taken_from_the_field_or_from_the_header(client: TestClient, filled: Studio) -> None:
    client.get("/settings")
    token = client.cookies["skeinwright_csrf"]
    by_field = client.post("/shelf/dye/new", data={"name": "Ember", "csrf_token": token}, headers={"origin": HOME}, follow_redirects=False)
    by_header = client.post("/shelf/dye/new", data={"name": "Bark"}, headers={"origin": HOME, "x-csrf-token": token}, follow_redirects=False)
    assert by_field.status_code == by_header.status_code == 303
    assert {"Ember", "Bark"} <= {kept.thing.name for kept in list_shelf(filled, "dye")}


@pytest.mark.parametrize("host", ["studio.example", "127.0.0.1.example", "evil.example:8470", ""])
def test_a_host_that_is_not_this_machine_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8470", "localhost:8470", "LOCALHOST", "[::1]:8470"])
def test_the_names_of_this_machine_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/settings", headers={"host": host}).status_code == 200


def test_a_name_that_was_allowed_is_answered(studio: Studio) -> None:
    with TestClient(create_app(studio, allowed_hosts=("tablet.local",)), base_url="http://tablet.local:8470") as client:
        assert client.get("/settings").status_code == 200


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:9999", "http://127.0.0.1:8470.evil.example"])
def test_a_change_from_another_origin_is_refused_even_with_the_token(client: TestClient, filled: Studio, origin: str) -> None:
    client.get("/settings")
    token = client.cookies["skeinwright_csrf"]
    answer = client.post("/shelf/dye/new", data={"name": "Ember", "csrf_token": token}, headers={"origin": origin})
    assert answer.status_code == 403
    assert "Ember" not in {kept.thing.name for kept in list_shelf(filled, "dye")}


def test_a_change_that_the_browser_says_comes_from_elsewhere_is_refused(client: TestClient, filled: Studio) -> None:
    client.get("/settings")
    token = client.cookies["skeinwright_csrf"]
    answer = client.post("/shelf/dye/new", data={"name": "Ember", "csrf_token": token}, headers={"sec-fetch-site": "cross-site"})
    assert answer.status_code == 403


def test_the_cookie_cannot_be_read_by_script_and_stays_on_this_site(client: TestClient) -> None:
    cookie = client.get("/settings").headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie


def test_a_damaged_cookie_is_as_good_as_none(client: TestClient) -> None:
    answer = client.get("/settings", headers={"cookie": 'a=b; skeinwright_csrf="\\; =;;[]; ,'})
    assert answer.status_code == 200
    assert "skeinwright_csrf" in answer.headers["set-cookie"]


def test_more_than_the_limit_is_refused_whether_it_is_announced_or_not(studio: Studio) -> None:
    with TestClient(create_app(studio, max_body_bytes=10_000), base_url=HOME, raise_server_exceptions=False) as client:
        client.get("/settings")
        token = client.cookies["skeinwright_csrf"]
        headers = {"origin": HOME, "x-csrf-token": token}
        announced = client.post("/shelf/import", files={"file": ("dye.csv", b"x" * 20_000)}, headers=headers)
        assert announced.status_code == 413
        body = b"name=" + b"x" * 20_000
        pieces = (body[at : at + 1000] for at in range(0, len(body), 1000))
        streamed = client.post("/shelf/dye/new", content=pieces, headers={**headers, "content-type": "application/x-www-form-urlencoded"})
        assert streamed.status_code == 413
        assert "larger than" in streamed.text


def test_a_form_with_too_many_fields_is_refused(client: TestClient, filled: Studio) -> None:
    client.get("/settings")
    headers = {"origin": HOME, "x-csrf-token": client.cookies["skeinwright_csrf"], "content-type": "application/x-www-form-urlencoded"}
    answer = client.post("/shelf/dye/new", content=b"&".join(b"f%d=1" % number for number in range(3000)), headers=headers)
    assert 400 <= answer.status_code < 500


def test_undo_leads_back_only_into_the_studio(client: TestClient, filled: Studio) -> None:
    from skeinwright.web.page import back

    assert back("/shelf/dyes") == "/shelf/dyes"
    for outside in ("//evil.example", "https://evil.example", "/\\evil.example", "", "javascript:alert(1)", "/a\r\nSet-Cookie: x=1"):
        assert back(outside) == "/"


def test_a_mistake_of_ours_is_a_page_without_details_and_with_the_headers(studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    from skeinwright.web.pages import settings

    def broken(*_: object) -> dict[str, str]:
        raise RuntimeError("a secret detail")

    monkeypatch.setattr(settings, "say_settings", broken)
    with TestClient(create_app(studio), base_url=HOME, raise_server_exceptions=False) as client:
        answer = client.get("/settings")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "Something went wrong" in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"
