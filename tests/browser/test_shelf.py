"""A new user fills the shelf: from a spreadsheet, by form, by photo, by eye; with a pointer and with keys alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Reading
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.list_shelf import list_shelf

SWATCHES = """dye,depth_pct,L,a,b
Kelp,0.2,75,-15,5
Kelp,1,55,-25,2
Kelp,3,35,-22,0
Ember,1,50,55,40
Rosehip,1,45,50,5
Rosehip,one,45,50,5
"""
Look = Callable[[Page], None]


@pytest.fixture
def swatch_file(tmp_path: Path) -> Path:
    path = tmp_path / "my swatches.csv"
    path.write_text(SWATCHES, encoding="utf-8")
    return path


def _typed(page: Page, label: str) -> Locator:
    return page.get_by_role("textbox", name=label, exact=True)


def _begin(page: Page) -> None:
    page.goto("/")
    page.get_by_role("button", name=re.compile("empty shelf")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing is on. What will you dye next?")


def _bring_in(page: Page, path: Path) -> None:
    page.goto("/shelf/import")
    page.get_by_label("File", exact=True).set_input_files(path)
    page.get_by_role("button", name="Look at it").click()


def test_a_new_user_brings_in_a_spreadsheet_and_adds_a_base(page: Page, live: Any, swatch_file: Path, looks_right: Look) -> None:
    page.goto("/")
    looks_right(page)
    _begin(page)
    looks_right(page)

    page.goto("/shelf/bases")
    looks_right(page)
    page.goto("/shelf/import")
    looks_right(page)
    _bring_in(page, swatch_file)
    expect(page.get_by_text("not understood").first).to_be_visible()
    looks_right(page)
    page.get_by_role("button", name=re.compile(r"^Put 3 on the shelf")).click()
    expect(page.get_by_role("link", name="Kelp", exact=True)).to_be_visible()
    expect(page.get_by_text("Three swatches, likely within")).to_be_visible()
    ladder = page.get_by_role("img", name="Kelp from pale to deep")
    ladder.evaluate("image => image.decode()")
    assert ladder.evaluate("image => image.naturalWidth > 0")
    looks_right(page)

    page.goto("/shelf/base/new")
    _typed(page, "Name").fill("Quay Sock")
    _typed(page, "Fibre").fill("75 % wool, 25 % nylon")
    _typed(page, "Skein").fill("4 oz")
    _typed(page, "Length").fill("near 400 m")
    expect(page.get_by_text("4 oz = 113 g")).to_be_visible()
    page.get_by_text("More: ").click()
    _typed(page, "Plies twisted together").fill("4")
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.locator("#f-length_mm-wrong")).to_be_visible()
    expect(_typed(page, "Skein")).to_have_value("4 oz")
    expect(_typed(page, "Plies twisted together")).to_have_value("4")
    looks_right(page)
    _typed(page, "Length").fill("400 m")
    page.get_by_role("button", name="Put it on the shelf").click()
    strand = page.get_by_role("img", name=re.compile("A strand of Quay Sock"))
    expect(strand).to_be_visible()
    strand.evaluate("image => image.decode()")
    assert strand.evaluate("image => image.naturalWidth > 0")
    looks_right(page)
    base = get_from_shelf(live.studio, "base", "Quay Sock").thing
    assert base.plies == 4  # type: ignore[union-attr]

    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("This drawer is empty.")).to_be_visible()
    assert list_shelf(live.studio, "base") == []
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("link", name="Quay Sock")).to_be_visible()


def test_every_page_of_the_shelf_looks_right(page: Page, live: Any, swatch_file: Path, looks_right: Look) -> None:
    _begin(page)
    _bring_in(page, swatch_file)
    page.get_by_role("button", name=re.compile("^Put 3")).click()
    for path in ("/settings", "/shelf/export", "/shelf/dye/1", "/shelf/dye/1/swatches", "/shelf/dye/1/eye", "/shelf/solution/new", "/no-such-page"):
        page.goto(path)
        looks_right(page)
    page.goto("/shelf/vessel/new")
    _typed(page, "Name").fill("A steam pan with a rather long name for a phone")
    page.get_by_label("rectangle").check(force=True)
    _typed(page, "Length or diameter").fill("50 cm")
    _typed(page, "Height").fill("10 cm")
    page.get_by_text("More: ").click()
    _typed(page, "Width").fill("30 cm")
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.get_by_role("img", name=re.compile("from above: 50.* by 30"))).to_be_visible()
    looks_right(page)


def test_a_dye_is_added_with_keys_alone(tablet: Page, live: Any) -> None:
    page = tablet
    _begin(page)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the sheet")).to_be_focused()
    page.goto("/shelf/dyes")
    _tab_to(page, "Add a dye")
    page.keyboard.press("Enter")
    page.wait_for_url("**/shelf/dye/new")
    _tab_to_field(page, "name")
    page.keyboard.type("Bark")
    _tab_to(page, "More: ")
    page.keyboard.press("Enter")
    _tab_to_field(page, "jar_g")
    page.keyboard.type("50 g")
    page.keyboard.press("ArrowUp")
    assert page.locator("#f-jar_g").input_value() == "52 g"
    page.keyboard.press("Enter")
    page.wait_for_url("**/swatches?note=*")
    dye = get_from_shelf(live.studio, "dye", "Bark").thing
    assert isinstance(dye, Dye)
    assert dye.jar_g == 52


def test_a_swatch_is_picked_in_a_photo_by_pointer_and_by_keys(tablet: Page, live: Any, tmp_path: Path, looks_right: Look) -> None:
    page = tablet
    photo = tmp_path / "photo.png"
    picture = Image.new("RGB", (800, 400), (200, 200, 200))
    picture.paste((60, 120, 90), (400, 0, 800, 400))
    picture.save(photo)
    _begin(page)
    page.goto("/shelf/dye/new")
    _typed(page, "Name").fill("Kelp")
    page.get_by_role("button", name="Put it on the shelf").click()
    page.get_by_label("Photo", exact=True).set_input_files(photo)
    page.get_by_role("button", name="Open the photo").click()
    stage = page.locator("[data-pick]")
    expect(stage).to_be_visible()
    stage.locator("img").evaluate("image => image.decode()")
    box = stage.locator("img").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + 0.2 * box["width"], box["y"] + 0.5 * box["height"])
    expect(page.get_by_label("Yarn", exact=True)).to_be_checked()
    stage.focus()
    for _ in range(12):
        page.keyboard.press("ArrowRight")
    expect(page.get_by_text("likely within 5 in each")).to_be_visible()
    expect(page.locator("input[name=px]")).to_have_value("74.0")
    looks_right(page)
    _typed(page, "Depth of shade").fill("1 %")
    page.get_by_role("button", name="Keep this colour").click()
    expect(page.get_by_text("picked in a photo")).to_be_visible()
    dye = get_from_shelf(live.studio, "dye", "Kelp").thing
    assert isinstance(dye, Dye)
    assert dye.swatches[0].reading is Reading.PHOTO
    assert dye.swatches[0].lab.a < -10


def test_a_swatch_is_matched_by_eye_with_keys(tablet: Page, live: Any, swatch_file: Path) -> None:
    page = tablet
    _begin(page)
    _bring_in(page, swatch_file)
    page.get_by_role("button", name=re.compile("^Put 3")).click()
    page.goto("/shelf/dye/1/eye?L=50&a=0&b=0")
    page.get_by_label("large").check(force=True)
    page.get_by_role("button", name="Lighter").focus()
    for expected in ("56", "62"):
        page.keyboard.press("Enter")
        expect(page.get_by_role("status")).to_contain_text(f"L, a, b {expected}, 0, 0")
    expect(page.get_by_role("button", name="Lighter")).to_be_focused()
    before = page.locator(".eye-field rect").get_attribute("fill")
    page.get_by_role("button", name="Redder").click()
    expect(page.locator(".eye-field rect")).not_to_have_attribute("fill", before or "")
    _typed(page, "Depth of shade").fill("0.7 %")
    page.get_by_role("button", name="Keep this colour").click()
    expect(page.get_by_text("matched by eye").first).to_be_visible()


def test_a_help_opens_in_place_and_a_search_narrows_the_drawer(tablet: Page, live: Any, tmp_path: Path) -> None:
    page = tablet
    _begin(page)
    many = tmp_path / "dye.csv"
    many.write_text("name\n" + "\n".join(f"Shore {number}" for number in range(1, 21)), encoding="utf-8")
    _bring_in(page, many)
    page.get_by_role("button", name="Put 20 on the shelf").click()
    page.get_by_label("Find in this drawer").press_sequentially("shore 17")
    expect(page.locator(".row")).to_have_count(1)
    expect(page.get_by_label("Find in this drawer")).to_be_focused()
    page.goto("/shelf/base/new")
    answer = page.get_by_text("The put-up: what one skein weighs")
    expect(answer).to_be_hidden()
    page.get_by_label("Help: Skein").click()
    expect(answer).to_be_visible()


def _tab_to(page: Page, text: str, most: int = 60) -> None:
    for _ in range(most):
        page.keyboard.press("Tab")
        if text in (page.evaluate("document.activeElement?.matches('body') ? '' : document.activeElement?.textContent ?? ''") or ""):
            return
    raise AssertionError(f"'{text}' is not reached with the tab key")


def _tab_to_field(page: Page, name: str, most: int = 60) -> None:
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement?.name ?? ''") == name:
            return
    raise AssertionError(f"the field {name} is not reached with the tab key")
