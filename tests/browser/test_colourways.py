"""A colourway written in a real browser: the yarn follows the typing, keys are enough, nothing typed is lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.set_up_studio import set_up_studio

Look = Callable[[Page], None]
SHELF = (
    ("dye", {"name": "Kelp"}),
    ("dye", {"name": "Rosehip"}),
    ("base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m", "plies": "4", "twist": "high"}),
    ("base", {"name": "Fen Single", "fibres": "wool", "skein_g": "100 g", "length_mm": "360 m", "plies": "1", "twist": "soft"}),
    ("acid", {"name": "Vinegar 5 %", "acid": "vinegar", "strength": "5 %"}),
    ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
    ("vessel", {"name": "Big pot", "shape": "round", "length_mm": "32 cm", "height_mm": "28 cm"}),
)


@pytest.fixture
def shelf(live: Any) -> Any:
    """A studio with what a bath needs."""
    set_up_studio(live.studio, name="Harbour Room")
    for kind, said in SHELF:
        add_to_shelf(live.studio, kind, said)
    for dye, depth, colour in (("Kelp", "0.3 %", "70, -25, 2"), ("Kelp", "2 %", "42, -38, 0"), ("Rosehip", "1 %", "52, 45, 40")):
        add_swatch(live.studio, dye, {"depth": depth, "colour": colour})
    return live


def _picture(page: Page) -> str:
    return page.locator("#yarn img").first.get_attribute("src") or ""


def _kept(page: Page, name: str = "Low water") -> None:
    page.goto("/colourways/new")
    page.get_by_label("Name", exact=True).fill(name)
    page.locator("#save").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()


def test_the_pages_at_every_width(page: Page, shelf: Any, looks_right: Look) -> None:
    page.goto("/colourways")
    expect(page.get_by_role("heading", level=1)).to_have_text("No colourway yet. How does yours begin?")
    looks_right(page)
    for path in ("/colourways/new", "/colourways/new?start=pan", "/colourways/import", "/colourways/sets/new"):
        page.goto(path)
        looks_right(page)
    _kept(page)
    looks_right(page)
    page.goto("/colourways")
    looks_right(page)


def test_typing_changes_the_yarn_the_amounts_and_nothing_else(page: Page, shelf: Any) -> None:
    _kept(page)
    before = _picture(page)
    depth = page.get_by_label("depth of shade").first
    depth.focus()
    depth.fill("1.5 %")
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    expect(page.locator("#margin")).to_contain_text("1.5 g")
    expect(page.locator("#yarn img")).not_to_have_attribute("src", before)
    assert page.evaluate("document.activeElement.name") == "s.2.depth"
    assert get_colourway(shelf.studio, 1).thing.steps[2].get("depth") == "1 %"


def test_keys_alone_change_a_number_save_and_undo(tablet: Page, shelf: Any) -> None:
    page = tablet
    _kept(page)
    page.get_by_label("Name", exact=True).focus()
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "s.2.depth":
            break
    assert page.evaluate("document.activeElement.name") == "s.2.depth"
    page.keyboard.press("ArrowUp")
    expect(page.locator("#margin")).to_contain_text("1.05 g")
    page.keyboard.press("Enter")
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    page.locator("#save").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert get_colourway(shelf.studio, 1).thing.steps[2].get("depth") == "1.05 %"
    page.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("depth of shade").first).to_have_value("1 %")
    assert get_colourway(shelf.studio, 1).thing.steps[2].get("depth") == "1 %"


def test_a_wrong_value_is_told_beside_its_step_and_the_rest_stays(tablet: Page, shelf: Any, looks_right: Look) -> None:
    page = tablet
    page.goto("/colourways/new")
    heat = page.locator("[name='s.6.to']")
    heat.fill("very hot")
    expect(page.locator("#told-7")).to_contain_text("'very hot' was read")
    expect(heat).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#margin")).to_contain_text("Kelp")
    looks_right(page)
    page.get_by_label("Name", exact=True).fill("Hot")
    page.locator("#save").click()
    expect(page.locator("[name='s.6.to']")).to_have_value("very hot")
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    page.locator("[name='s.6.to']").fill("88 C")
    expect(page.locator("#told-7")).to_be_empty()
    expect(page.locator("[name='s.6.to']")).not_to_have_attribute("aria-invalid", "true")
    page.locator("#save").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert [kept.thing.name for kept in list_colourways(shelf.studio)] == ["Hot"]


def test_steps_are_moved_taken_out_put_back_and_added(tablet: Page, shelf: Any) -> None:
    page = tablet
    page.goto("/colourways/new")
    words = page.locator(".step")
    expect(words).to_have_count(11)
    page.get_by_role("button", name="Step 3 up").focus()
    page.keyboard.press("Enter")
    expect(words.nth(1)).to_have_attribute("aria-label", "Step 2: add dye")
    assert page.evaluate("document.activeElement.id") == "up-1"
    page.get_by_role("button", name="Take step 2 out").click()
    expect(words).to_have_count(10)
    expect(page.locator("#yarn figcaption")).not_to_contain_text("green")
    page.get_by_role("button", name="Put it back").click()
    expect(words).to_have_count(11)
    expect(page.locator("[name='s.1.dye']")).to_have_value("Kelp")
    page.get_by_label("Add a step").select_option("remove colour")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(words).to_have_count(12)
    expect(page.locator("#stop-11")).to_have_text("not forecast after this step")
    assert page.evaluate("document.activeElement.name") == "s.11.amount"


def test_a_step_is_dragged_by_its_number(tablet: Page, shelf: Any) -> None:
    page = tablet
    page.goto("/colourways/new")
    words = page.locator(".step")
    expect(words).to_have_count(11)
    before = [one.get_attribute("aria-label").partition(": ")[2] for one in words.all()]

    def drag(number: int, to: int, *, cancel: bool = False) -> None:
        words.nth(max(number, to)).scroll_into_view_if_needed()
        start, end = page.locator(f"#step-{number - 1} .mark").bounding_box(), page.locator(f"#step-{to - 1}").bounding_box()
        assert start
        assert end
        page.mouse.move(start["x"] + 20, start["y"] + 12)
        page.mouse.down()
        page.mouse.move(start["x"] + 20, start["y"] + 30)
        page.mouse.move(end["x"] + 20, end["y"] + (end["height"] * 0.8 if to > number else end["height"] * 0.2), steps=4)
        expect(page.locator(".drop-before, .drop-after")).to_have_count(1)
        if cancel:
            page.keyboard.press("Escape")
        page.mouse.up()

    drag(3, 5)
    expect(words.nth(4)).to_have_attribute("aria-label", f"Step 5: {before[2]}")
    expect(words.nth(2)).to_have_attribute("aria-label", f"Step 3: {before[3]}")
    drag(5, 3, cancel=True)
    expect(page.locator(".drop-before, .drop-after, .dragged")).to_have_count(0)
    expect(words.nth(4)).to_have_attribute("aria-label", f"Step 5: {before[2]}")
    drag(5, 3)
    expect(words.nth(2)).to_have_attribute("aria-label", f"Step 3: {before[2]}")
    assert [one.get_attribute("aria-label").partition(": ")[2] for one in words.all()] == before


def test_views_and_bases_side_by_side(tablet: Page, shelf: Any, looks_right: Look) -> None:
    page = tablet
    page.goto("/colourways/new")
    page.locator("details.more summary").first.click()
    page.locator("#base-Quay-Sock").check(force=True)
    expect(page.locator(".strip")).to_have_count(2)
    page.locator("#beside").check(force=True)
    expect(page.locator("#yarn img")).to_have_count(2)
    page.get_by_role("radio", name="knitted").check(force=True)
    expect(page.locator("#yarn img").first).to_have_attribute("src", re.compile("view=knitted"))
    looks_right(page)
    page.locator("#beside").uncheck(force=True)
    page.locator("#shown-1").check(force=True)
    expect(page.locator("#yarn figcaption strong")).to_have_text(["Quay Sock"])


def test_the_picture_stays_in_sight_while_the_steps_go_by(page: Page, shelf: Any) -> None:
    page.goto("/colourways/new")
    if (page.viewport_size or {})["width"] == 800:
        pytest.skip("a tablet shows the picture above the steps")
    page.locator("#step-9").scroll_into_view_if_needed()
    page.mouse.wheel(0, 200)
    box = page.locator("#yarn img").bounding_box()
    assert box is not None
    assert 0 <= box["y"] < 200


def test_it_works_without_scripts(chromium: Any, shelf: Any) -> None:
    context = chromium.new_context(java_script_enabled=False, base_url=shelf.url)
    page = context.new_page()
    page.goto("/colourways/new")
    page.locator("[name='s.2.depth']").fill("2 %")
    page.get_by_role("button", name="Work it out").click()
    assert "2 g" in page.locator("#margin").inner_text()
    page.get_by_role("button", name="Take step 1 out").click()
    assert page.locator(".step").count() == 10
    page.get_by_label("Name", exact=True).fill("Plain")
    page.locator("#save").click()
    assert [kept.thing.name for kept in list_colourways(shelf.studio)] == ["Plain"]
    context.close()
