"""What if, as a person does it: from the editor, other values by keyboard, stop, work it out, look, take one, undo."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, expect

from what_if_studio import keep_rock_pool

Look = Callable[[Page], None]


def test_two_values_are_tried_and_one_pair_is_taken(chromium: Browser, live: Any, looks_right: Look, tmp_path: Path) -> None:
    keep_rock_pool(live.studio)
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=live.url, has_touch=True)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    page.goto("/colourways/1")
    page.get_by_role("link", name="What if").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Rock pool: what if")
    looks_right(page)
    page.get_by_label("Across: what is tried").select_option("grain")
    first = page.get_by_label("Across, value 1", exact=True)
    expect(first).to_have_value("0.06 mm")
    first.fill("blue")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#w-across1-wrong")).to_be_visible()
    looks_right(page)
    page.get_by_label("Across, value 1", exact=True).fill("0.1 mm")
    for place in (2, 3):
        page.get_by_label(f"Across, value {place}", exact=True).fill("0.2 mm" if place == 2 else "")
    page.get_by_label("Down the page, value 1", exact=True).fill("200 ml")
    page.get_by_label("Down the page, value 3", exact=True).fill("")
    page.keyboard.press("Enter")
    expect(page.locator("#grid")).to_be_visible(timeout=60000)
    pictures = page.locator(".what-if-cell img")
    expect(pictures).to_have_count(4)
    for place in range(4):
        pictures.nth(place).scroll_into_view_if_needed()
        assert pictures.nth(place).evaluate("(one) => one.decode().then(() => one.naturalWidth)") == 512
    for width, height in ((360, 740), (800, 1100), (1400, 900)):
        page.set_viewport_size({"width": width, "height": height})
        looks_right(page)
        assert len({round(box["width"]) for box in (pictures.nth(place).bounding_box() for place in range(4)) if box}) == 1  # one scale
    with page.expect_download() as begun:
        page.get_by_role("link", name="The whole sheet as PNG").click()
    begun.value.save_as(tmp_path / "sheet.png")
    with Image.open(tmp_path / "sheet.png") as sheet:
        assert sheet.format == "PNG"
    page.get_by_role("button", name="Take water 200 ml with grain 0.2 mm").tap()
    expect(page.locator("[name='s.0.volume']")).to_have_value("200 ml")
    expect(page.locator("[name='s.4.grain']")).to_have_value("0.2 mm")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("[name='s.0.volume']")).to_have_value("450 ml")
    context.close()
    assert not problems, problems
