"""The Measure screen on a phone with touch: a photo of a ladder is opened, flattens, is tapped in order, and becomes swatches of a dye.

The photograph and its truth: tests/measured_ladder.py (proofs/synthetic_photo.py, exact).
"""

from __future__ import annotations

import base64
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from measured_ladder import DEPTHS, ladder
from skeinwright.core.colour.difference import ciede2000
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.list_readings import list_readings
from skeinwright.services.set_up_studio import set_up_studio

DROPPED = """text => {
  const given = new DataTransfer();
  given.items.add(new File([Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0))], "ladder.jpg", { type: "image/jpeg" }));
  return given;
}"""
"""A photo as a hand drops it on the page."""
PALE_TO_DEEP = (2, 3, 1)
"""The pieces by number, from left to right, in the order of their depths."""


@pytest.fixture(autouse=True)
def room(live: Any) -> None:
    """A studio with one dye."""
    set_up_studio(live.studio, name="Harbour Room")
    add_to_shelf(live.studio, "dye", {"name": "Kelp"})


def tap_mm(page: Page, x: float, y: float) -> None:
    """A finger on a place of the sheet, in mm."""
    box = page.locator(".over").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + x / 297 * box["width"], box["y"] + y / 210 * box["height"])


def test_a_ladder_photographed_becomes_the_swatches_of_a_dye(phone: Page, live: Any, looks_right: Callable[[Page], None], tmp_path: Path) -> None:
    page = phone
    file = tmp_path / "ladder.jpg"
    file.write_bytes(ladder().data)
    page.goto("/measure")
    expect(page.locator("#f-printer")).to_be_hidden()  # the check of a printer waits until there is a print
    expect(page.locator(".drop .acts button").first).to_have_text("Take a photo")  # what is in the hand has a camera
    looks_right(page)
    page.locator("#f-photo").set_input_files(file)
    page.route(
        "**/measure", lambda sent: sent.fulfill(status=413, content_type="text/html", body="<main><h1>Too large</h1><p>Larger than is taken.</p></main>")
    )
    page.get_by_role("button", name="Open the photo").tap()
    expect(page.locator("#f-photo-wrong")).to_have_text("Larger than is taken.")
    page.unroute("**/measure")
    page.route("**/measure", lambda sent: None)  # it is slow, and the dyer stops
    page.get_by_role("button", name="Open the photo").tap()
    page.get_by_role("button", name="Stop").tap()
    expect(page.locator("#f-photo-wrong")).to_contain_text("Stopped.")
    looks_right(page)
    page.unroute("**/measure")
    page.get_by_role("button", name="Open the photo").tap()

    expect(page.locator("h1")).to_contain_text("A good photo")
    figure = page.locator("#flat")
    expect(figure).to_have_attribute("data-state", "flat")  # it was taken, moved, and lies flat now
    assert "new=" not in page.url
    expect(page.locator(".piece")).to_have_count(3)
    looks_right(page)

    as_taken = page.get_by_role("button", name="As taken")
    page.emulate_media(reduced_motion="reduce")
    as_taken.tap()
    expect(figure).to_have_attribute("data-state", "taken")
    expect(page.locator(".over")).to_be_hidden()
    as_taken.tap()
    expect(figure).to_have_attribute("data-state", "flat")

    page.locator(".flat-in").scroll_into_view_if_needed()
    for number in PALE_TO_DEEP:
        page.locator(f".piece[data-piece='{number}'] circle").tap()
    assert page.locator(".depth").evaluate_all("rows => rows.map((row) => row.dataset.piece)") == [str(number) for number in PALE_TO_DEEP]
    page.get_by_role("link", name="Type their depths").tap()
    for number in PALE_TO_DEEP:
        page.get_by_label(f"Depth of piece {number}").fill("deep" if number == 1 else DEPTHS[number - 1])
    page.get_by_label("Dye", exact=True).select_option("Kelp")
    page.get_by_role("button", name="Keep as swatches").tap()
    expect(page.locator("#f-depth-1-wrong")).to_be_visible()
    assert page.locator(".depth").evaluate_all("rows => rows.map((row) => row.dataset.piece)") == [str(number) for number in PALE_TO_DEEP]
    looks_right(page)
    page.get_by_label("Depth of piece 1").fill(DEPTHS[0])
    page.get_by_role("button", name="Keep as swatches").tap()

    page.wait_for_url("**/swatches?*")
    expect(page.locator(".undo")).to_contain_text("Kept 3 swatches of Kelp")
    said = [re.search(r"([\d.]+), (-?[\d.]+), (-?[\d.]+) D65/2", text) for text in page.locator(".swatch-list .quantity").all_inner_texts()]
    kept = list_readings(live.studio)
    assert len(kept) == len(said) == 3
    truth = {depth: yarn.mean_lab for depth, yarn in zip(DEPTHS, ladder().yarns, strict=True)}
    for found, depth in zip(said, sorted(DEPTHS, key=lambda one: float(one.split()[0])), strict=True):
        assert found is not None
        assert float(ciede2000(np.array([float(one) for one in found.groups()]), truth[depth])) < kept[0].thing.spread_de00
    looks_right(page)
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator(".swatch-list")).to_have_count(0)
    assert get_from_shelf(live.studio, "dye", "Kelp").thing.swatches == ()


def test_an_outline_is_drawn_by_finger_and_its_colour_kept(phone: Page, live: Any, looks_right: Callable[[Page], None], tmp_path: Path) -> None:
    page = phone
    page.emulate_media(reduced_motion="reduce")
    file = tmp_path / "ladder.jpg"
    file.write_bytes(ladder().data)
    page.goto("/measure")
    dropped = page.evaluate_handle(DROPPED, base64.b64encode(file.read_bytes()).decode())
    page.dispatch_event("#drop", "dragenter", {"dataTransfer": dropped})
    expect(page.locator("#drop")).to_have_attribute("data-over", "")
    page.dispatch_event("#drop", "drop", {"dataTransfer": dropped})  # it is sent at once
    page.get_by_role("button", name="Draw round the yarn").tap()
    page.locator(".flat-in").scroll_into_view_if_needed()
    for x, y in ((136, 76), (166, 76), (166, 132), (136, 132), (20, 200)):
        tap_mm(page, x, y)
    page.get_by_role("button", name="Undo the last point").tap()
    expect(page.locator(".dots line")).to_have_count(4)
    page.get_by_role("button", name="Close the outline").tap()
    page.get_by_role("button", name="Read what I drew").tap()

    expect(page.locator(".piece")).to_have_count(1)
    assert "outlines=" in page.url
    area = float(page.locator(".found .value").last.inner_text().split()[0])
    assert abs(area - 30 * 56 / 100) < 0.5  # cm2 of the rectangle that was tapped, to the width of a finger's pixel
    page.get_by_label("A name for it").fill("The middle one")
    page.get_by_role("button", name="Keep this colour").tap()
    expect(page.locator(".kept-here")).to_contain_text("The middle one")
    looks_right(page)
    page.goto("/measure")
    looks_right(page)
    page.get_by_role("link", name="Beside another").tap()
    page.locator(".thumbs a").first.tap()
    expect(page.locator("#apart")).to_contain_text("The same")
    heights = page.locator(".side-picture").evaluate_all("all => all.map((one) => [one.getBoundingClientRect().width, one.getBoundingClientRect().height])")
    assert heights[0] == heights[1]
    looks_right(page)
