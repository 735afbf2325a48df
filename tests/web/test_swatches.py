"""Swatches without an instrument: typed, picked in a photo, matched by eye."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image
from starlette.testclient import TestClient

from skeinwright.core.shelf.swatch import Reading
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.nudge_colour import HUES, NUDGES, nudge_colour
from skeinwright.services.studio import Studio


def _swatches(studio: Studio, dye: str = "Rosehip") -> tuple:  # type: ignore[type-arg]
    return get_from_shelf(studio, "dye", dye).thing.swatches  # type: ignore[union-attr]


@pytest.fixture
def photo() -> bytes:
    """White paper on the left, an even green (sRGB 60, 120, 90) on the right, in light that is a quarter darker than full."""
    picture = Image.new("RGB", (800, 400), (200, 200, 200))
    picture.paste((60, 120, 90), (400, 0, 800, 400))
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def test_a_typed_swatch_is_added_and_can_be_taken_back(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/dye/2/swatches", {"depth": "2 %", "colour": "#a03050", "base": "Quay Sock", "reading": ""})
    assert _swatches(filled)[0].reading is Reading.HEX
    assert "One swatch, likely within" in page.text
    assert "Added a swatch of Rosehip." in page.text
    changes = re.search(r'name="changes" value="([\d,]+)"', page.text)
    assert changes
    post("/undo", {"changes": changes[1], "back": "/shelf/dye/2/swatches"})
    assert _swatches(filled) == ()


def test_a_dye_without_swatches_says_once_what_one_would_do(client: TestClient, filled: Studio) -> None:
    page = client.get("/shelf/dye/2/swatches").text
    assert page.count("paints this strip") == 1
    assert ".." not in re.sub(r"<[^>]+>", "", page)


def test_a_bad_swatch_keeps_what_was_typed(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/dye/2/swatches", {"depth": "2 %", "colour": "greenish"})
    assert page.status_code == 422
    assert 'value="greenish"' in page.text
    assert 'id="f-colour-wrong"' in page.text
    assert _swatches(filled) == ()


def test_a_swatch_is_taken_away(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    post("/shelf/dye/1/swatches/remove", {"position": "0"})
    assert [swatch.depth for swatch in _swatches(filled, "Kelp")] == [0.01, 0.03]


def test_the_page_says_what_one_more_swatch_would_buy(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    post("/shelf/dye/2/swatches", {"depth": "1 %", "colour": "45, 40, 5"})
    assert re.search(r"One more, at [\d.]+ %, would bring it to about [\d.]+", client.get("/shelf/dye/2/swatches").text)


def test_a_patch_is_picked_in_a_photo_and_kept_with_its_wide_spread(client: TestClient, filled: Studio, post, photo: bytes) -> None:  # type: ignore[no-untyped-def]
    page = post("/shelf/dye/2/photo", files={"photo": ("IMG_1.png", photo, "image/png")})
    assert re.fullmatch(r"/shelf/dye/2/photo/\d+", page.url.path)
    assert "Nothing is read until both places are set" in page.text
    read = client.get(page.url.path, params={"wx": "25", "wy": "50", "px": "75", "py": "50"}, headers={"hx-request": "true"})
    assert "<html" not in read.text
    assert "likely within 5 in each" in read.text
    colour = re.search(r'name="colour" value="([^"]+)"', read.text)
    assert colour
    post("/shelf/dye/2/swatches", {"depth": "1 %", "colour": colour[1], "reading": "picked in a photo"})
    swatch = _swatches(filled)[0]
    assert swatch.reading is Reading.PHOTO
    assert swatch.sd == 5.0
    assert swatch.lab.observer == 2
    assert swatch.lab.a < -10  # a green


def test_a_spot_outside_the_photo_or_a_burnt_out_white_is_said(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    out = io.BytesIO()
    Image.new("RGB", (300, 300), (255, 255, 255)).save(out, "PNG")
    place = post("/shelf/dye/2/photo", files={"photo": ("white.png", out.getvalue())}).url.path
    page = client.get(place, params={"wx": "25", "wy": "50", "px": "75", "py": "50"}).text
    assert "burnt out" in page


def test_what_is_no_photo_is_refused(client: TestClient, filled: Studio, post) -> None:  # type: ignore[no-untyped-def]
    answer = post("/shelf/dye/2/photo", files={"photo": ("x.png", b"not a picture")})
    assert answer.status_code == 422
    assert post("/shelf/dye/2/photo", {}).status_code == 422


def test_matching_by_eye_moves_one_way_and_back_again(client: TestClient, filled: Studio) -> None:
    for there, back in (("lighter", "darker"), ("stronger", "greyer")):
        here = nudge_colour((50.0, 20.0, 10.0))
        moved = nudge_colour((here.L, here.a, here.b), there)
        again = nudge_colour((moved.L, moved.a, moved.b), back)
        assert (again.L, again.a, again.b) == pytest.approx((50.0, 20.0, 10.0))


def test_a_hue_nudge_keeps_lightness_and_chroma_and_ends_at_its_aim() -> None:
    import math

    for word, aim in HUES.items():
        colour = nudge_colour((60.0, 12.0, -9.0))
        for _ in range(60):
            colour = nudge_colour((colour.L, colour.a, colour.b), word)
        assert colour.L == 60.0
        assert math.hypot(colour.a, colour.b) == pytest.approx(15.0)
        assert math.degrees(math.atan2(colour.b, colour.a)) % 360 == pytest.approx(aim)


def test_the_field_never_leaves_what_the_screen_can_show() -> None:
    colour = nudge_colour((50.0, 0.0, 0.0))
    for nudge in ("redder", *["stronger"] * 60):
        colour = nudge_colour((colour.L, colour.a, colour.b), nudge, 6.0)
    assert colour.at_edge
    assert not nudge_colour((colour.L, colour.a, colour.b)).at_edge


def test_the_page_for_the_eye_answers_a_nudge_with_the_field_alone(client: TestClient, filled: Studio) -> None:
    whole = client.get("/shelf/dye/1/eye", params={"L": "50", "a": "0", "b": "0"}).text
    assert all(f'value="{nudge}"' in whole for nudge in NUDGES)
    part = client.get("/shelf/dye/1/eye", params={"L": "50", "a": "0", "b": "0", "nudge": "lighter", "step": "large"}, headers={"hx-request": "true"}).text
    assert "<html" not in part
    assert 'name="L" value="56.0"' in part
    assert client.get("/shelf/dye/1/eye", params={"L": "x", "nudge": "sideways"}).status_code == 422
