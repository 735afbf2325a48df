"""A powder session typed on the page: a picture at once, the full forecast after it, its film scrubbed by keys, mouse and finger, and taken away."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.set_up_studio import set_up_studio

Look = Callable[[Page], None]
SHELF = (
    ("dye", {"name": "Kelp"}),
    ("base", {"name": "Small", "fibres": "wool", "skein_g": "8 g", "length_mm": "26 m", "round_mm": "0.5 m"}),
    ("acid", {"name": "Vinegar 5 %", "acid": "vinegar", "strength": "5 %"}),
    ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
    ("vessel", {"name": "Tray", "shape": "rectangle", "length_mm": "30 cm", "width_mm": "20 cm", "height_mm": "8 cm"}),
)


@pytest.fixture
def shelf(live: Any) -> Any:
    """A small skein and one dye, so that the full forecast takes a second or two."""
    set_up_studio(live.studio, name="Harbour Room")
    for kind, said in SHELF:
        add_to_shelf(live.studio, kind, said)
    for depth, colour in (("0.3 %", "70, -25, 2"), ("2 %", "42, -38, 0")):
        add_swatch(live.studio, "Kelp", {"depth": depth, "colour": colour})
    return live


def _write(page: Page) -> None:
    """The usual pan, for 8 g in the tray, in seconds for minutes."""
    page.goto("/colourways/new?start=pan")
    typed = {
        "fibre": "8 g",
        "s.1.volume": "90 ml",
        "s.2.amount": "3 ml",
        "s.4.amount": "0.03 g",
        "s.5.time": "20 s",
        "s.7.rate": "120 C/min",
        "s.8.time": "40 s",
    }
    for name, value in typed.items():
        page.locator(f"[name='{name}']").fill(value)


def _source(page: Page) -> str:
    return page.locator("#yarn img").get_attribute("src") or ""


def test_a_powder_session_is_forecast_filmed_and_taken_away(chromium: Browser, shelf: Any, looks_right: Look, tmp_path: Path) -> None:
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=shelf.url, has_touch=True)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    _write(page)
    expect(page.locator("#yarn")).to_contain_text("quick forecast")
    expect(page.locator("#yarn")).to_contain_text("full forecast", timeout=40000)
    assert any("/jobs/" in url for url in asked)
    expect(page.locator("#laid-job")).to_be_empty()
    film = page.locator(".film")
    film.scroll_into_view_if_needed()
    small = page.locator(".moves button, .film-acts a").evaluate_all(
        "all => all.map((one) => one.getBoundingClientRect()).filter((box) => box.width < 44 || box.height < 44).length"
    )
    assert small == 0, f"{small} of the steps' and the film's buttons are under 44 px on a phone"
    last = _source(page)
    scrub = page.get_by_label("Moment of the session")
    scrub.focus()
    page.keyboard.press("Home")
    expect(page.locator(".film-says")).to_contain_text("step")
    expect(page.locator("#yarn img")).to_have_attribute("src", film.get_attribute("data-film") + "0")  # type: ignore[operator]
    page.keyboard.press("ArrowRight")
    expect(page.locator("#yarn img")).to_have_attribute("src", film.get_attribute("data-film") + "1")  # type: ignore[operator]
    page.locator(".film-strip img").last.tap()
    expect(page.locator("#yarn img")).to_have_attribute("src", last)
    assert "Hold for 40 s" in page.locator(".film-says").inner_text()
    with page.expect_download() as begun:
        film.get_by_role("link", name="WebP").click()
    begun.value.save_as(tmp_path / "session.webp")
    assert Image.open(BytesIO((tmp_path / "session.webp").read_bytes())).n_frames > 5  # type: ignore[attr-defined]
    looks_right(page)
    page.set_viewport_size({"width": 1400, "height": 900})
    page.locator("#wish-coverage").evaluate("(one) => { one.closest('details').open = true; }")
    page.locator("#wish-coverage").fill("15 %")
    expect(page.locator("#laid-wish")).to_contain_text("counting fails")
    looks_right(page)
    page.locator("[name='s.8.time']").fill("4 h")
    expect(page.locator("#yarn")).to_contain_text("quick forecast")
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#laid-job")).to_contain_text("Stopped")
    assert "quick forecast" in page.locator("#yarn").inner_text()
    context.close()
    assert not problems, problems
