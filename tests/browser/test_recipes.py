"""From a colour to a recipe, as a dyer does it: with a pointer and with keys alone, on phone, tablet and laptop."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.list_sets import list_sets
from skeinwright.services.set_up_studio import set_up_studio

Look = Callable[[Page], None]


@pytest.fixture(autouse=True)
def demo(live: Any) -> None:
    """The invented studio."""
    set_up_studio(live.studio, demo=True)


def test_a_typed_colour_becomes_a_trial_and_a_correction(tablet: Page, live: Any, looks_right: Look) -> None:
    page = tablet
    page.goto("/recipes")
    page.get_by_label("Colour", exact=True).fill("40, 25, 10")
    page.get_by_label("Base", exact=True).select_option("Quay Sock")
    page.get_by_role("button", name="Find recipes").click()
    squares = page.locator(".squares:visible")
    expect(squares).to_have_count(1)
    boxes = [box for rect in squares.locator("rect").all() if (box := rect.bounding_box())]
    target, nearest, repeatable, cheapest = boxes
    assert all(abs(box["width"] - target["width"]) < 1 and abs(box["height"] - target["width"]) < 1 for box in boxes)
    assert abs(nearest["x"] + nearest["width"] - target["x"]) < 1
    assert abs(target["x"] + target["width"] - repeatable["x"]) < 1
    assert abs(target["y"] + target["height"] - cheapest["y"]) < 1
    before = squares.locator("rect").first.get_attribute("fill")
    page.get_by_role("radio", name="warm bulb (A)").check(force=True)
    expect(page.locator(".squares:visible")).to_have_class(re.compile("light-A"))
    assert page.locator(".squares:visible rect").first.get_attribute("fill") != before
    expect(page.get_by_role("table")).to_be_hidden()
    page.get_by_text("recipes as a table").click()
    expect(page.get_by_role("table")).to_be_visible()
    looks_right(page)
    page.get_by_role("button", name="Trial first").first.click()
    page.wait_for_url("**/lots/*", wait_until="domcontentloaded")
    (line,) = list_lots(live.studio)
    assert get_lot(live.studio, line.code).lot.rows[0].skein_g == 10
    page.get_by_text("Go on from this lot").click()
    page.get_by_role("link", name="Correct the recipe").click()
    page.get_by_label("Measured colour").fill("46, 22, 9")
    page.get_by_role("button", name="Work out the correction").click()
    expect(page.get_by_role("heading", name="Add to this skein")).to_be_visible()
    page.get_by_role("radio", name="wet").check(force=True)
    page.get_by_role("button", name="Work out the correction").click()
    expect(page.get_by_text("It was read wet; dry it will be near")).to_be_visible()
    _fits_everywhere(page, looks_right)


def test_the_pages_fit_every_width_and_the_triangle_prints(tablet: Page, live: Any, looks_right: Look) -> None:
    page = tablet
    for place in (
        "/recipes?by=typed&target=40,25,10&base=Quay+Sock",
        "/recipes/triangle?a=Kelp&b=Ember&c=Rosehip&steps=6",
        "/recipes/use-up?gone=30+g&fibre=1+kg",
        "/recipes/fade?start=1&end=2&skeins=5&base=Quay+Sock",
        "/tests/wet?base=Quay+Sock",
    ):
        page.goto(place)
        _fits_everywhere(page, looks_right)
    page.goto("/recipes/reach?base=Quay+Sock")
    page.locator(".chips a").nth(8).click()
    expect(page.locator("#one").get_by_role("button", name="Keep as a colourway")).to_be_visible()
    assert "dose=" in page.url
    _fits_everywhere(page, looks_right)
    page.goto("/recipes/triangle?a=Kelp&b=Ember&c=Rosehip")
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Draw it")).to_be_hidden()
    assert page.locator(".poster svg text").filter(has_text="2 : 1 : 1").count() == 1


def _fits_everywhere(page: Page, looks_right: Look) -> None:
    """The whole look on a phone, and that nothing sticks out on the other two: what axe finds hardly depends on the width."""
    for width, height in ((1400, 900), (800, 1100), (360, 740)):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), f"{page.url} at {width}"
    looks_right(page)
    page.set_viewport_size({"width": 800, "height": 1100})


def test_a_fade_is_made_with_keys_alone(tablet: Page, live: Any) -> None:
    page = tablet
    page.goto("/recipes/fade")
    for name, letter in (("start", "Lamp"), ("end", "Low")):
        _tab_to(page, name)
        page.keyboard.type(letter)
    page.get_by_role("button", name="Work it out").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".fade > li")).to_have_count(5)
    page.get_by_role("button", name="Keep 5 colourways and their set").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/colourways/sets/*", wait_until="domcontentloaded")
    (kept,) = [one for one in list_sets(live.studio) if one.thing.name == "Lamp Oil to Low Tide"]
    assert len(kept.thing.colourways) == 5
    page.get_by_role("button", name="Undo").click()
    page.wait_for_load_state()
    assert not [one for one in list_sets(live.studio) if one.thing.name == "Lamp Oil to Low Tide"]


def test_the_way_is_chosen_with_keys_and_only_its_field_is_shown(tablet: Page) -> None:
    page = tablet
    page.goto("/recipes")
    _tab_to(page, "by")
    expect(page.get_by_label("Colour", exact=True)).to_be_visible()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_label("Photo", exact=True)).to_be_visible()
    expect(page.get_by_label("Colour", exact=True)).to_be_hidden()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_label("Colourway", exact=True)).to_be_visible()
    page.get_by_label("Colourway", exact=True).select_option("Low Tide")
    page.get_by_label("Base", exact=True).select_option("Fen Single")
    page.get_by_role("button", name="Find recipes").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Low Tide on Quay Sock, made on Fen Single")).to_be_visible()


def test_a_colour_is_picked_in_a_photo_and_found(tablet: Page, tmp_path: Path, looks_right: Look) -> None:
    page = tablet
    photo = tmp_path / "photo.png"
    picture = Image.new("RGB", (800, 400), (200, 200, 200))
    picture.paste((120, 60, 60), (400, 0, 800, 400))
    picture.save(photo)
    page.goto("/recipes?by=photo")
    page.get_by_label("Photo", exact=True).set_input_files(photo)
    page.get_by_role("button", name="Open the photo").click()
    stage = page.locator("[data-pick]")
    page.wait_for_load_state()  # a tap before the page's script is there is lost
    stage.locator("img").evaluate("image => image.decode()")
    box = stage.locator("img").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + 0.2 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.click(box["x"] + 0.8 * box["width"], box["y"] + 0.5 * box["height"])
    use = page.get_by_role("link", name="Use this colour")
    expect(use).to_be_visible()
    _fits_everywhere(page, looks_right)
    use.click()
    expect(page.locator(".squares:visible")).to_have_count(1)


def _tab_to(page: Page, name: str, most: int = 60) -> None:
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement?.name ?? ''") == name:
            return
    raise AssertionError(f"the field {name} is not reached with the tab key")
