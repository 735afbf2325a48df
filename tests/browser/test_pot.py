"""The pot beside a colourway in a real browser: lines at once, bands after, words for those who do not see the chart, keys and touch."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.change_settings import change_settings
from skeinwright.services.draft_lot import StartLot
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.start_lot import start_lot
from skeinwright.web.colourway_form import a_bath

Look = Callable[[Page], None]
WIDTHS = {360: 740, 800: 1100, 1400: 900}
SHELF = (
    ("dye", {"name": "Kelp", "dye_class": "milling"}),
    ("dye", {"name": "Rosehip", "dye_class": "levelling"}),
    ("base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m", "superwash": "yes"}),
    ("base", {"name": "Fen Single", "fibres": "wool", "skein_g": "100 g", "length_mm": "360 m", "superwash": "no"}),
    ("acid", {"name": "Vinegar 5 %", "acid": "vinegar", "strength": "5 %"}),
    ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
    ("vessel", {"name": "Big pot", "shape": "round", "length_mm": "32 cm", "height_mm": "28 cm"}),
    ("heat", {"name": "Left ring", "does": "burner", "energy": "electric plate", "power_w": "1500 W"}),
)


@pytest.fixture
def shelf(live: Any) -> Any:
    """A studio with what a bath needs, and a price for its current."""
    set_up_studio(live.studio, name="Harbour Room")
    for kind, said in SHELF:
        add_to_shelf(live.studio, kind, said)
    for dye, depth, colour in (("Kelp", "0.3 %", "70, -25, 2"), ("Kelp", "2 %", "42, -38, 0"), ("Rosehip", "1 %", "52, 45, 40")):
        add_swatch(live.studio, dye, {"depth": depth, "colour": colour})
    change_settings(live.studio, {"energy_price_minor": "0.30"})
    return live


def _unfold(page: Page) -> None:
    for fold in ("#margin-fold", "#pot-fold"):
        if not page.locator(f"{fold}[open]").count():
            page.locator(f"{fold} > summary").click()


def _open(page: Page) -> None:
    page.goto("/colourways/new")
    _unfold(page)


def _banded(page: Page) -> None:
    expect(page.locator("#pot-said")).to_contain_text("pH in the pot")


def _words(page: Page) -> str:
    return page.locator("#pot-chart svg").get_attribute("aria-label") or ""


def test_lines_bands_words_and_sliders_at_every_width(tablet: Page, shelf: Any, looks_right: Look) -> None:
    page = tablet
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        _open(page)
        expect(page.get_by_role("img", name=re.compile("^The pot over time"))).to_be_visible()
        assert "Kelp: half of what goes on is on by minute" in _words(page)
        _banded(page)
        assert page.locator("#pot-chart path[fill-opacity]").count() == 2  # pH and the one dye; the temperature is as written
        assert re.search(r"% is on the yarn in the end \(\d+ to \d+ %\)", _words(page))
        said = page.locator("#pot-said")
        for words in ("a strip is ± 0.5, and cannot be read in coloured liquor", "Look at the water line every 15 minutes", "kWh", "as mixed it is"):
            expect(said).to_contain_text(words)
        for name in ("The chart in words", "What if, or a pH that you read"):
            page.get_by_text(name).focus()
            page.keyboard.press("Enter")
        expect(said.get_by_text(re.compile("°C at most"))).to_be_visible()
        looks_right(page)
        for link, there in (("#the-bath a", "in-the-pot"), ("#pot-said a.to-other", "the-bath")):  # the two figures of pH lead to each other
            page.locator(link).focus()
            page.keyboard.press("Enter")
            expect(page.locator(f"#{there}")).to_be_focused()
            expect(page.locator(f"#{there} h2")).to_be_in_viewport()
        wide = page.evaluate("[...document.querySelectorAll('.pot-chart text')].filter((one) => one.getBoundingClientRect().right > innerWidth).length")
        assert wide == 0


def test_keys_move_the_line_first_and_the_words_follow(tablet: Page, shelf: Any) -> None:
    page = tablet
    _open(page)
    _banded(page)
    before = _words(page)
    with page.expect_response(lambda answer: answer.url.endswith("/colourways/pot")):
        page.locator("[name='s.6.to']").focus()
        page.keyboard.press("Control+A")
        page.keyboard.type("70 C")
        expect(page.locator("#pot-chart svg")).not_to_have_attribute("aria-label", before)
    assert "70 °C at most" in _words(page)
    _banded(page)
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    # a slider, by its arrow keys: the plan stays in grey, and nothing of the colourway is changed
    page.get_by_text("What if, or a pH that you read").click()
    typed = page.locator("[name='s.5.amount']").input_value()
    acid = page.get_by_label("All the acid")
    acid.focus()
    for _ in range(10):
        page.keyboard.press("ArrowLeft")
    expect(page.locator("#pot-chart")).to_contain_text("Black: 0.5 times the acid. Grey: as planned.")
    assert acid.get_attribute("aria-valuetext") == "0.5 times"
    assert page.locator("#pot-chart path[stroke='#8a8a8a']").count() == 3
    assert "As planned: pH" in _words(page)
    assert page.locator("[name='s.5.amount']").input_value() == typed
    page.get_by_role("button", name="As planned").click()
    expect(page.locator("#pot-chart path[stroke='#8a8a8a']")).to_have_count(0)
    # a pH that was read: told beside its field where it cannot be, used where it can
    page.locator("#read-ph").fill("4.4")
    expect(page.locator("#pot-told")).to_contain_text("Say after which step the pH was read")
    page.locator("#read-by").select_option("meter")
    page.locator("#read-step").select_option(label="step 6, add acid")
    expect(page.locator("#pot-told")).to_be_empty()
    expect(page.locator("#pot-said")).to_contain_text("Rests on: A meter that read pH 4.4")


def test_by_touch_a_slider_and_a_second_dye(chromium: Browser, shelf: Any) -> None:
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=shelf.url, has_touch=True)
    page = context.new_page()
    page.goto("/colourways/new")
    page.locator("#pot-fold > summary").tap()
    page.get_by_text("What if, or a pH that you read").tap()
    box = page.locator("#what-dye").bounding_box()
    assert box is not None
    assert box["height"] >= 44
    page.locator("#what-dye").tap(position={"x": box["width"] * 0.9, "y": box["height"] / 2})
    expect(page.locator("#pot-chart")).to_contain_text("times the dye. Grey: as planned.")
    page.locator("#new-after").select_option("3")
    page.locator("#new-do").select_option("add dye")
    page.locator("#add").tap()
    added = page.locator("[name='s.3.dye']")
    added.tap()
    added.fill("Rosehip")
    expect(page.locator("#pot-chart")).to_contain_text("Rosehip")
    assert page.locator("#pot-chart path[stroke='#000000'][stroke-dasharray]").count() == 1
    assert page.locator("#what-dye").input_value() != "1"  # a step that comes in leaves the sliders where they are
    context.close()


def test_the_end_of_the_bath_at_every_width(tablet: Page, shelf: Any, looks_right: Look) -> None:
    page = tablet
    save_colourway(shelf.studio, Colourway(name="Low water", fibre="100 g", vessel="Big pot", water="Tap", bases=("Quay Sock",), steps=a_bath({"dye": "Kelp"})))
    code = start_lot(shelf.studio, StartLot(colourway="Low water")).code
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        page.goto(f"/lots/{code}/liquor")
        looks_right(page)
    page.get_by_role("button", name="Keep it on the shelf").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
