"""The colourway page where dye does not lie evenly: the quick picture at once, the full forecast after it, its film and what can be taken away."""

from __future__ import annotations

import re
import time
from io import BytesIO
from typing import Any

import numpy as np
import pytest

from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.find_job import find_job
from skeinwright.services.studio import Studio
from skeinwright.web.headers import FIELD

PAN = {
    "id": "",
    "name": "Rock pool",
    "fibre": "15 g",
    "bases": "Small",
    "vessel": "Steam pan",
    "water": "Tap",
    "over": "",
    "notes": "",
    "view": "laid open",
    "do.0": "fill",
    "s.0.volume": "450 ml",
    "do.1": "add acid",
    "s.1.acid": "Vinegar",
    "s.1.amount": "8 ml",
    "do.2": "lay in",
    "s.2.width": "12 cm",
    "do.3": "sprinkle",
    "s.3.dye": "Kelp",
    "s.3.amount": "0.05 g",
    "s.3.over": "all",
    "do.4": "heat",
    "s.4.to": "80 C",
    "s.4.rate": "20 C/min",
    "do.5": "wait",
    "s.5.time": "4 min",
}
BATH = {**PAN, "do.3": "add dye", "s.3.depth": "0.5 %"} | {"s.3.amount": "", "s.3.over": ""}


@pytest.fixture
def small(filled: Studio) -> Studio:
    """With a small skein, so that the full forecast is quick."""
    add_to_shelf(filled, "base", {"name": "Small", "fibres": "wool", "skein_g": "15 g", "length_mm": "48 m", "round_mm": "0.8 m"})
    return filled


def part(page: str, name: str) -> str:
    """The inside of one part of a live answer."""
    start = page.index(f'data-part="{name}"')
    end = page.find("data-part=", start + 10)
    return page[start : end if end > 0 else len(page)]


def picture(page: str) -> str:
    found = re.search(r'<img[^>]* src="(/pictures/laid/[^"]+)"', part(page, "yarn"))
    assert found
    return found[1].replace("&amp;", "&")


def test_powder_gets_a_picture_of_its_place_at_once(small: Studio, client: Any, post: Any) -> None:
    page = post("/colourways/forecast", PAN).text
    assert "quick forecast" in part(page, "yarn")
    assert "data-follow=" in part(page, "yarn")
    assert "it leaves out sites that fill" in part(page, "margin")
    told = part(page, "laid-said")
    for words in ("On the yarn", "In the liquor", "Balance", "all found again", "trust which way a change goes", "free water"):
        assert words in told
    answer = client.get(picture(page))
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/png")
    assert client.get(picture(page), headers={"if-none-match": answer.headers["etag"]}).status_code == 304
    assert 'class="film' not in page
    assert client.get("/pictures/laid/nothing.png").status_code == 404
    assert client.get(picture(page).replace("laid+open", "nowhere")).status_code == 422


def test_a_bath_has_none_of_it_but_can_be_seen_in_its_pan(small: Studio, client: Any, post: Any) -> None:
    page = post("/colourways/forecast", BATH).text
    assert "/pictures/skein.png" in part(page, "yarn")
    assert "data-follow" not in page
    assert "On the skein" not in page
    in_pan = post("/colourways/forecast", {**BATH, "view": "in the pan"}).text
    assert client.get(picture(in_pan)).status_code == 200
    assert post("/colourways/laid", BATH).text.strip() == ""


def test_the_full_forecast_takes_its_place(small: Studio, client: Any, post: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("skeinwright.services.map_colourway.FILM_FRAMES", 10)  # a quarter of the frames to draw
    line = post("/colourways/laid", PAN).text
    token = re.search(r'data-job="/jobs/([^"]+)"', line)
    assert token
    assert ">Stop<" in line or 'data-state="done"' in line
    job = find_job(small, token[1])
    end = time.monotonic() + 300
    while job.state == "running" and time.monotonic() < end:
        time.sleep(0.02)
    assert client.get(f"/jobs/{token[1]}").json()["state"] == "done"
    page = post("/colourways/forecast", PAN).text
    assert "full forecast" in part(page, "yarn")
    assert "data-follow" not in page
    film = part(page, "laid-film")
    said = re.findall(r"<li>([^<]+)</li>", film)
    assert len(said) > 5
    assert "step 6: Wait 4 min" in said[-1]
    frame = re.search(r'data-film="([^"]+)"', film)
    assert frame
    assert client.get(frame[1].replace("&amp;", "&") + "2").status_code == 200
    key = re.search(r"/colourways/laid/([0-9a-f]+)/film.webp", film)
    assert key
    loop = client.get(f"/colourways/laid/{key[1]}/film.gif")
    assert (loop.headers["content-type"], loop.content[:6]) == ("image/gif", b"GIF89a")
    assert 'filename="session.gif"' in loop.headers["content-disposition"]
    held = np.load(BytesIO(client.get(f"/colourways/laid/{key[1]}/map.npz").content))
    assert held["dye"].shape[:2] == (1, 2)
    assert str(held["state"]) == "wet"
    paper = client.get(f"/pictures/laid/{key[1]}.png?view=twisted&size=paper")
    assert "attachment" in paper.headers["content-disposition"]


def test_the_full_forecast_cannot_be_begun_from_elsewhere(small: Studio, client: Any) -> None:
    assert client.post("/colourways/laid", data={**PAN, FIELD: "wrong"}).status_code == 403
