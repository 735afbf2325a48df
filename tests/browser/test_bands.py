"""Bands on the drawn open skein, by keys, mouse and finger, in step with the fields; and one zoom for the pictures of two bases."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.set_up_studio import set_up_studio

Look = Callable[[Page], None]
SHELF = (
    ("dye", {"name": "Kelp"}),
    ("base", {"name": "Small", "fibres": "wool", "skein_g": "15 g", "length_mm": "48 m", "round_mm": "1 m", "plies": "4"}),
    ("base", {"name": "Thick", "fibres": "wool", "skein_g": "15 g", "length_mm": "24 m", "round_mm": "1 m", "plies": "2"}),
    ("vessel", {"name": "Tray", "shape": "rectangle", "length_mm": "30 cm", "width_mm": "20 cm", "height_mm": "8 cm"}),
)


@pytest.fixture
def shelf(live: Any) -> Any:
    set_up_studio(live.studio, name="Harbour Room")
    for kind, said in SHELF:
        add_to_shelf(live.studio, kind, said)
    for depth, colour in (("0.3 %", "70, -25, 2"), ("2 %", "42, -38, 0")):
        add_swatch(live.studio, "Kelp", {"depth": depth, "colour": colour})
    return live


def _painted(page: Page) -> None:
    """A new colourway of one painted step."""
    page.goto("/colourways/new?start=empty")
    page.fill("#f-fibre", "15 g")
    page.select_option("#new-do", "paint")
    page.click("#add")
    page.wait_for_selector("#step-0")
    page.fill("[name='s.0.dye']", "Kelp")
    page.fill("[name='s.0.amount']", "0.1 g")
    page.fill("[name='s.0.over']", "20-60 cm")
    page.locator("#bands summary").click()
    expect(page.locator(".bands-knob")).to_have_count(3)


def _drag(page: Page, key: str, to: str, *, touch: bool = False) -> None:
    """A handle dragged by (x, y) CSS pixels said as "x,y"."""
    box = page.locator(f"[data-key='{key}'] .bands-dot").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    by_x, by_y = (float(one) for one in to.split(","))
    if not touch:
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + by_x, y + by_y, steps=4)
        page.mouse.up()
        return
    finger = page.context.new_cdp_session(page)
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for k in range(1, 5):
        finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x + by_x * k / 4, "y": y + by_y * k / 4}]})
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def _ends(page: Page) -> list[float]:
    return [float(one) for one in re.findall(r"[\d.]+", page.input_value("[name='s.0.over']"))]


def test_bands_are_edited_where_they_lie(shelf: Any, chromium: Browser, looks_right: Look) -> None:
    """On a phone with a finger: once round is 100 cm, so half round from the tie is 50. Every way of moving writes the step's own field."""
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=shelf.url, has_touch=True)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    _painted(page)
    over = page.locator("[name='s.0.over']")
    first, last = page.locator("[data-key='0.from']"), page.locator("[data-key='0.to']")

    first.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(over).to_have_value("26-60 cm")
    expect(first).to_be_focused()
    expect(first).to_have_attribute("aria-valuetext", "26 cm from the tie")
    expect(page.locator(".bands-row input").first).to_have_value("26")

    page.locator(".bands-row input").nth(1).fill("70")
    expect(over).to_have_value("26-70 cm")
    expect(last).to_have_attribute("aria-valuenow", "70")
    page.locator(".bands-row input").nth(1).press("ArrowUp")
    expect(over).to_have_value("26-71 cm")
    page.locator(".bands-row input").nth(1).fill("140")
    expect(page.locator(".bands-wrong")).to_contain_text("between 0 and 100 cm")
    expect(over).to_have_value("26-71 cm")
    page.locator(".bands-row input").nth(1).fill("60")

    page.locator("[data-key='0.whole']").focus()
    for _ in range(10):
        page.keyboard.press("Shift+ArrowRight")
    expect(over).to_have_value("76-100 cm, 0-10 cm")
    expect(page.locator(".bands-row")).to_have_count(1)

    over.fill("45-55 cm")
    page.locator(".bands-mat").scroll_into_view_if_needed()
    page.wait_for_timeout(300)
    box = page.locator(".bands-mat svg").bounding_box()
    assert box is not None
    _drag(page, "0.from", f"{0.20 * box['width']},0", touch=True)
    begins, ends = _ends(page)
    assert ends == 55.0
    assert 26.0 < begins < 40.0
    _drag(page, "0.to", f"{-0.15 * box['width']},0")
    assert _ends(page)[0] == begins
    assert _ends(page)[1] > 60.0

    alone = over.input_value()
    page.click(".bands-add")
    expect(page.locator(".bands-row")).to_have_count(2)
    looks_right(page)
    page.locator(".bands-row button").first.click()
    expect(page.locator(".bands-row")).to_have_count(1)
    page.click(".bands-back")
    expect(page.locator(".bands-row")).to_have_count(2)
    assert over.input_value().startswith(f"{alone}, ")
    expect(page.locator(".bands-mat img")).to_have_attribute("src", re.compile("laid.open"))
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    assert not problems, problems
    context.close()


def test_one_zoom_for_all_bases(shelf: Any, tablet: Page, looks_right: Look) -> None:
    page = tablet
    _painted(page)
    page.locator(".given summary").first.click()
    for base in ("Small", "Thick"):
        page.check(f"#base-{base}")
        expect(page.locator(".given summary").first).to_contain_text(base)
    page.check("#beside")
    views = page.locator("#yarn .zoom-view")
    expect(views).to_have_count(2)
    views.first.focus()
    page.keyboard.press("+")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    moved = [one.evaluate("image => image.style.transform") for one in page.locator("#yarn .zoom-view img").all()]
    assert len(moved) == 2
    assert moved[0] == moved[1]
    assert moved[0].startswith("scale(1.6)")
    for view in views.all():
        across = float(view.locator(".zoom-rule").get_attribute("data-across") or 0)
        long, _, unit = view.locator(".zoom-rule b").inner_text().partition(" ")
        mm = float(long) * (10 if unit == "cm" else 1)
        drawn = view.locator(".zoom-rule i").evaluate("bar => parseFloat(bar.style.width)")
        assert across > 0
        assert drawn == pytest.approx(mm / across * view.evaluate("one => one.clientWidth") * 1.6, rel=0.02)
    expect(page.locator("#yarn .zoom-view img").first).to_have_attribute("src", re.compile("size=fine"))
    box = views.nth(1).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 40, box["y"] + 40)
    page.mouse.wheel(0, -300)
    expect(page.locator(".zoom-now")).not_to_have_text("1.6 ×")
    looks_right(page)
    page.click("[data-zoom=whole]")
    assert page.locator("#yarn .zoom-view img").first.evaluate("image => image.style.transform") == ""
    old = page.locator("#yarn .zoom-view img").first.get_attribute("src") or ""
    page.fill("[name='s.0.over']", "30-60 cm")
    page.locator("[data-zoom=in]").click()
    shown = page.locator("#yarn .zoom-view img").first
    expect(shown).not_to_have_attribute("src", re.compile(re.escape(old.partition("?")[0])))
    expect(shown, "the zoom outlasts a new forecast").to_have_attribute("style", re.compile(r"scale\(1\.6\)"))
