"""The what-if page: what is typed is kept, the work is waited for, the pictures and the sheet are there, and one pair can be taken."""

from __future__ import annotations

import time
from io import BytesIO
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from PIL import Image

from skeinwright.services.find_job import find_job
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio
from what_if_studio import STEPS, keep_rock_pool

FORM = {"base": "Small", "down": "water", "across": "acid", "down1": "150 ml", "down2": "900 ml", "across1": "4 ml", "across2": "8 ml"}


@pytest.fixture
def page(studio: Studio) -> str:
    return f"/colourways/{keep_rock_pool(studio).id}/what-if"


def test_the_page_proposes_values_and_the_editor_leads_to_it(client: Any, page: str) -> None:
    shown = client.get(page).text
    assert 'value="270 ml"' in shown
    assert 'value="16 ml"' in shown
    fresh = client.get(f"{page}?down=temperature+4&across=acid&down1=1+l&across1=7+ml&fresh=down").text
    assert 'value="73 C"' in fresh
    assert 'value="7 ml"' in fresh
    assert page in client.get(page.removesuffix("/what-if")).text


def test_it_is_worked_out_shown_and_taken(client: Any, post: Any, studio: Studio, page: str) -> None:
    begun = post(page, FORM, follow_redirects=False)
    assert begun.status_code == 303
    where = begun.headers["location"]
    token = parse_qs(urlsplit(where).query)["job"][0]
    job, end = find_job(studio, token), time.monotonic() + 300
    waiting = client.get(where)
    assert waiting.status_code == 200
    assert "what-if-again" in waiting.text  # folded: the progress stands where it is seen, not below the form
    assert "what-if-again" not in client.get(page).text
    while job.state == "running" and time.monotonic() < end:
        time.sleep(0.05)
    assert (job.state, job.error) == ("done", "")
    shown = client.get(where).text
    assert shown.count("Take this one") == 4
    made = Image.open(BytesIO(client.get(f"{page}/{token}/1-0.png").content))
    assert made.size == (512, 366)
    sheet = client.get(f"{page}/{token}/sheet.png")
    assert Image.open(BytesIO(sheet.content)).size[0] > 2 * 512
    assert client.get(f"{page}/{token}/7-0.png").status_code == 404
    taken = {"down": "water", "across": "acid", "down1": "900 ml", "across1": "8 ml", "revision": "1"}
    assert "Undo" in post(f"{page}/take", taken).text
    assert get_colourway(studio, "Rock pool").thing.steps[0].get("volume") == "900 ml"


def test_what_is_wrong_is_told_beside_its_field_and_nothing_typed_is_lost(post: Any, page: str) -> None:
    answer = post(page, FORM | {"down1": "green", "across2": ""})
    assert answer.status_code == 422
    assert 'id="w-down1-wrong"' in answer.text
    assert 'id="w-across-wrong"' in answer.text
    assert 'value="green"' in answer.text
    assert 'value="900 ml"' in answer.text


def test_without_a_token_nothing_begins(client: Any, page: str) -> None:
    assert client.post(page, data=FORM).status_code == 403
    assert client.post(f"{page}/take", data=FORM).status_code == 403


def test_empty_states(client: Any, studio: Studio, page: str) -> None:
    from dataclasses import replace

    even, _ = save_colourway(studio, replace(get_colourway(studio, "Rock pool").thing, name="Even", steps=STEPS[:4]))
    assert "Nothing to compare" in client.get(f"/colourways/{even.id}/what-if").text
    assert "not known any more" in client.get(f"{page}?job=long-ago").text
    assert client.get("/colourways/999/what-if").status_code == 404
