"""Bringing files in, with a look first; and taking the shelf along."""

from __future__ import annotations

import re

from starlette.testclient import TestClient

from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio

BASES = b"name,fibres,skein_g,length_mm\r\nMoor Double,wool,100 g,220 m\r\nBad One,wool,heavy,220 m\r\n"
SWATCHES = b"dye,depth_pct,L,a,b\nEmber,0.5,60,40,30\nEmber,2,45,52,40\nKelp,2,42,-24,1\n"


def _key(page: str) -> str:
    found = re.search(r'name="key" value="([\w-]+)"', page)
    assert found
    return found[1]


def test_a_file_is_looked_at_before_anything_is_kept(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/import", files={"file": ("bases.csv", BASES, "text/csv")})
    assert page.status_code == 200
    assert "1 new" in page.text
    assert "1 not understood" in page.text
    assert "heavy" in page.text
    assert len(list_shelf(filled, "base")) == 1


def test_the_right_rows_are_kept_and_can_all_be_taken_back(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/import", files={"file": ("swatches.csv", SWATCHES, "text/csv")})
    done = post("/shelf/import/apply", {"key": _key(page.text)})
    assert len(get_from_shelf(filled, "dye", "Ember").thing.swatches) == 2
    assert len(get_from_shelf(filled, "dye", "Kelp").thing.swatches) == 4
    changes = re.search(r'name="changes" value="([\d,]+)"', done.text)
    assert changes
    post("/undo", {"changes": changes[1], "back": "/shelf/dyes"})
    assert "Ember" not in {kept.thing.name for kept in list_shelf(filled, "dye")}
    assert len(get_from_shelf(filled, "dye", "Kelp").thing.swatches) == 3


def test_wrong_rows_are_left_out_only_when_that_was_asked(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    key = _key(post("/shelf/import", files={"file": ("bases.csv", BASES, "text/csv")}).text)
    assert post("/shelf/import/apply", {"key": key}).status_code == 422
    assert len(list_shelf(filled, "base")) == 1
    post("/shelf/import/apply", {"key": key, "leave_out": "yes"})
    assert {kept.thing.name for kept in list_shelf(filled, "base")} == {"Quay Sock", "Moor Double"}


def test_a_file_that_does_not_say_what_it_is_is_asked_about_and_kept_ready(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/import", files={"file": ("list.csv", BASES, "text/csv")})
    assert page.status_code == 422
    assert "Say what the rows are" in page.text
    again = post("/shelf/import", {"key": _key(page.text), "kind": "base"})
    assert again.status_code == 200
    assert "Moor Double" in again.text


def test_no_file_and_a_file_that_is_no_table_are_said_in_a_sentence(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    assert "Choose a file first" in post("/shelf/import", {}).text
    broken = post("/shelf/import", files={"file": ("dye.csv", b"\x00\x01\x02", "text/csv")})
    assert broken.status_code == 422
    assert 'id="f-file-wrong"' in broken.text


def test_a_forgotten_file_is_asked_for_again(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    assert "Choose it again" in post("/shelf/import/apply", {"key": "gone"}).text


def test_what_is_taken_along_is_read_back_as_the_same(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    for what, name in (("everything", "shelf.toml"), ("dye", "dye.csv"), ("swatches", "swatches.csv")):
        answer = client.get(f"/shelf/export/{what}")
        assert f'filename="{name}"' in answer.headers["content-disposition"]
        page = post("/shelf/import", files={"file": (name, answer.content)})
        assert page.status_code == 200
        assert "0 new, 0 changed" in page.text
        assert "not understood" not in page.text


def test_an_unknown_file_is_refused(client: TestClient, filled: Studio) -> None:
    assert client.get("/shelf/export/spoons").status_code == 422
