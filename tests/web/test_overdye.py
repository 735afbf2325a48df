"""The overdye page by plain forms: a photo in, three overdyes on it, kept as a colourway or begun as a lot; what is wrong stands beside its field."""

from __future__ import annotations

import io
import re
import time

import httpx
import pytest
from PIL import Image
from starlette.testclient import TestClient

from photo_proofs import speckled
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.studio import Studio


def wait_for(client: TestClient, place: str) -> httpx.Response:
    """The page once the overdyes are found; meanwhile it says so and looks again by itself."""
    until = time.monotonic() + 300
    answer = client.get(place)
    while "data-job=" in answer.text and 'data-state="running"' in answer.text and time.monotonic() < until:
        assert '<noscript><meta http-equiv="refresh"' in answer.text
        time.sleep(0.2)
        answer = client.get(place)
    return answer


@pytest.fixture
def dyed(filled: Studio) -> Studio:
    """The filled studio with two dyes whose colour is known."""
    for depth, colour in (("0.2 %", "78, 22, 6"), ("1 %", "52, 44, 12"), ("3 %", "37, 40, 14")):
        add_swatch(filled, "Rosehip", {"depth": depth, "colour": colour})
    return filled


def test_without_dyes_or_photo_it_says_what_to_do(client: TestClient, studio: Studio) -> None:
    assert "No dye is known yet." in client.get("/overdye").text


def test_a_photo_becomes_three_overdyes_and_one_is_kept(client: TestClient, dyed: Studio, post) -> None:
    begin = client.get("/overdye").text
    assert 'aria-current="page">Overdye a skein' in begin
    answer = post("/overdye", files={"photo": ("skein.jpg", speckled().data, "image/jpeg")}, follow_redirects=False)
    assert answer.status_code == 303
    page = wait_for(client, answer.headers["location"])
    assert page.status_code == 200
    assert page.text.count("<article") == 3
    assert "Dye can only make the skein deeper" in page.text
    pictures = [Image.open(io.BytesIO(client.get(place).content)) for place in re.findall(r'src="(/overdye/[^"]+\.jpg)"', page.text)]
    assert len(pictures) == 4
    assert len({one.size for one in pictures}) == 1
    assert client.get(re.findall(r'src="(/overdye/[^"]+/)0\.jpg"', page.text)[0] + "7.jpg").status_code == 404
    form = page.text.split('<form class="recipe-acts')[1]
    sent = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form.split("</form>")[0]))
    kept = post("/overdye/keep", data=sent, follow_redirects=False)
    assert kept.status_code == 303
    (colourway,) = list_colourways(dyed)
    assert colourway.thing.name.endswith("overdye")
    assert "is for undyed yarn" in colourway.thing.notes
    begun = post("/overdye/lot", data=sent, follow_redirects=False)
    assert begun.headers["location"].startswith("/lots/new?colourway=")
    assert client.get(begun.headers["location"]).status_code == 200
    assert len(list_colourways(dyed)) == 2


def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(client: TestClient, dyed: Studio) -> None:
    photo = keep_photo(dyed, speckled().data, "skein.jpg", keep_wide=True).fact.id
    page = wait_for(client, f"/overdye?photo={photo}&target=purple&deepest=3+%25")
    assert page.status_code == 422
    assert 'id="wrong-target"' in page.text
    assert 'value="purple"' in page.text
    assert 'value="3 %"' in page.text
    assert 'id="wrong-piece"' in wait_for(client, f"/overdye?photo={photo}&piece=4").text
    assert client.get("/overdye?photo=999").status_code == 404


def test_a_photo_without_the_sheet_asks_for_a_frame(client: TestClient, dyed: Studio) -> None:
    target = io.BytesIO()
    Image.effect_noise((640, 480), 30).convert("RGB").save(target, "PNG")
    photo = keep_photo(dyed, target.getvalue(), "loose.png").fact.id
    page = wait_for(client, f"/overdye?photo={photo}").text
    assert "Or frame the yarn in the photo as it is" in page
    assert '<details class="more" id="framing" open>' in page
    page = wait_for(client, f"/overdye?photo={photo}&frame=20,20+80,80").text
    assert "only relative" in page
    assert page.count("<article") >= 1


def test_of_a_lot_the_last_dry_photo_is_taken(client: TestClient, dyed: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    from types import SimpleNamespace

    from skeinwright.web import overdye_ask

    photo = keep_photo(dyed, speckled().data, "skein.jpg", keep_wide=True).fact.id
    readings = [
        SimpleNamespace(thing=SimpleNamespace(state=state, photo=number, base="Quay Sock", lab=Lab(50, 0, 0)))
        for state, number in (("wet", 99), ("dry", photo))
    ]
    monkeypatch.setattr(overdye_ask, "list_readings", lambda studio, lot: readings)
    page = wait_for(client, "/overdye?lot=a7")
    assert page.text.count("<article") == 3
    assert 'name="lot" value="A7"' in page.text
    assert "A photo of the skein" in client.get("/overdye?lot=A7&other=yes").text
