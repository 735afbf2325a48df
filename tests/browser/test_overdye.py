"""Overdye on a phone with touch: an ugly skein is photographed without the sheet, framed by two taps, dyed over on its own picture, begun as a lot."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from photo_proofs import synthetic
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.set_up_studio import set_up_studio


@pytest.fixture(autouse=True)
def demo(live: Any) -> None:
    """The invented studio."""
    set_up_studio(live.studio, demo=True)


def test_an_ugly_skein_is_dyed_over_on_its_own_picture(phone: Page, live: Any, looks_right: Callable[[Page], None], tmp_path: Path) -> None:
    page, file = phone, tmp_path / "skein.jpg"
    shot = synthetic.Shot(width_px=1600, blur_px=0.5, seed=4, camera=2, no_sheet=True)
    file.write_bytes(synthetic.take(synthetic.skein_scene(4, specks=2, card=False), shot).data)
    page.goto("/overdye")
    expect(page.locator(".drop .acts button").first).to_have_text("Take a photo")
    looks_right(page)
    page.locator("#f-photo").set_input_files(file)
    page.get_by_role("button", name="Open the photo").tap()

    expect(page.locator("h1")).to_contain_text("No colour can be taken")
    over = page.locator("#frame-in .over")
    expect(over).to_be_visible()
    over.scroll_into_view_if_needed()
    for x, y in ((0.15, 0.25), (0.90, 0.70), (0.5, 0.1)):
        box = over.bounding_box()
        assert box is not None
        page.touchscreen.tap(box["x"] + x * box["width"], box["y"] + y * box["height"])
    expect(page.locator("#frame-in .over rect.line")).to_have_count(1)
    looks_right(page)
    page.get_by_role("button", name="Find overdyes").tap()

    pictures = page.locator(".overdyes img")
    expect(pictures).to_have_count(4)
    page.wait_for_load_state("networkidle")
    boxes = [box for one in pictures.all() if (box := one.bounding_box())]
    assert all(box["width"] > 300 for box in boxes)  # large
    assert all(abs(one["y"] + one["height"] - other["y"]) < 1 for one, other in pairwise(boxes))  # touching
    assert all(page.evaluate("[...document.querySelectorAll('.overdyes img')].map((one) => one.naturalWidth > 200)"))
    expect(page.get_by_text("only relative", exact=False).first).to_be_visible()
    looks_right(page)
    page.get_by_role("button", name="Start as a lot").first.tap()
    page.wait_for_url("**/lots/new?colourway=*")
    assert any(kept.thing.name.endswith("overdye") for kept in list_colourways(live.studio))
