"""The yarn pages as a dyer walks them: a base laid open and measured, a colourway knitted, stripes wound, a skein in its pan; on a phone and a laptop."""

from __future__ import annotations

import re
from collections.abc import Callable
from types import MappingProxyType
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter
from playwright.sync_api import Page, expect

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.web.pages import knitted

Look = Callable[[Page], None]
STEPS = (
    ("lay in", {"width": "12 cm"}),
    ("paint", {"dye": "Kelp", "amount": "0.6 g", "over": "0-60 cm"}),
    ("paint", {"dye": "Gorse", "amount": "0.4 g", "over": "60-110 cm"}),
    ("steam", {"time": "30 min"}),
)


@pytest.fixture
def painted(live: Any) -> int:
    """The invented studio with a painted colourway; its number."""
    set_up_studio(live.studio, demo=True)
    steps = tuple(Step(do, MappingProxyType(said)) for do, said in STEPS)
    made = Colourway(name="Two Shores", steps=steps, fibre="100 g", bases=("Quay Sock", "Heron Two"))
    return save_colourway(live.studio, made)[0].id


def drawn(page: Page, selector: str) -> None:
    """Waits until every picture there is really drawn."""
    page.wait_for_function("(s) => [...document.querySelectorAll(s)].every((one) => one.complete && one.naturalWidth > 0)", arg=selector, timeout=40_000)


@pytest.mark.parametrize("page", [360, 1400], indirect=True, ids=["360px", "1400px"])
def test_from_a_base_to_a_sock(page: Page, live: Any, painted: int, looks_right: Look, monkeypatch: pytest.MonkeyPatch) -> None:
    page.goto("/shelf/bases")
    page.get_by_role("link", name="Quay Sock").click()
    page.get_by_role("link", name="The yarn laid open").click()
    drawn(page, ".strands img")
    expect(page.get_by_text("96 % (92–99 %)").first).to_be_visible()
    page.get_by_label("Heron Two").focus()
    page.keyboard.press("Space")
    expect(page.locator("#beside")).to_contain_text("whose seen width swings")
    looks_right(page)

    page.get_by_role("link", name="Measure it: five minutes").click()
    page.get_by_label("Wet, straight").fill("1 m")
    page.get_by_label("Wet wraps").fill("22")
    page.get_by_role("button", name="Keep the wet readings").click()
    expect(page.get_by_text("wait for the dry ones")).to_be_visible()
    expect(page.get_by_label("Wet, straight")).to_have_value("1 m")
    page.get_by_label("Dry, straight").fill("95 cm")
    page.get_by_label("Dry wraps").fill("20")
    page.get_by_label("Dry wraps").press("Tab")
    expect(page.locator("#found")).to_contain_text("95.0 %")
    looks_right(page)
    page.get_by_role("button", name="Work it out and keep it").click()
    expect(page.locator("#washing-part").get_by_text("measured by you").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    page.goto("/shelf/bases/beside?base=Quay+Sock")
    expect(page.locator("#washing-part")).to_contain_text("assumed")

    page.goto(f"/colourways/{painted}")
    monkeypatch.setattr(knitted, "PATIENCE_S", 0.05)
    page.get_by_role("link", name="How it knits up").click()
    expect(page.get_by_label("Your gauge", exact=True)).to_be_visible()
    page.get_by_label("Your gauge", exact=True).press_sequentially("30 sts/10cm")
    expect(page.locator("#knitted .knit-chosen img")).to_be_visible()
    expect(page.get_by_label("Your gauge", exact=True)).to_have_value("30 sts/10cm")  # also where the dye was still being laid
    monkeypatch.undo()
    page.get_by_label("Stitches", exact=True).fill("105")
    page.get_by_label("Stitches", exact=True).press("Tab")
    expect(page.locator("#chosen-h")).to_contain_text("105 stitches")
    expect(page.locator("#knitted .knit-chosen img")).to_have_attribute("src", re.compile("n=105"))
    page.locator("#strip-105").focus()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#chosen-h")).to_contain_text("107 stitches")
    expect(page.locator("#strip-107")).to_be_focused()
    assert "chosen=107" in page.url
    drawn(page, "#knitted .knit-chosen img")
    page.get_by_label("Piece", exact=True).select_option("shawl")
    expect(page.get_by_role("heading", name="A shawl of it")).to_be_visible()
    page.locator("#knitted .knit-piece img").scroll_into_view_if_needed()
    drawn(page, "#knitted img")
    page.get_by_label("Your gauge", exact=True).fill("loose")
    page.get_by_label("Your gauge", exact=True).press("Tab")
    gauge = page.get_by_label("Your gauge", exact=True)
    expect(page.locator(".field", has=gauge).locator(".wrong")).to_contain_text("Write the gauge as")
    expect(gauge).to_have_attribute("aria-invalid", "true")
    page.get_by_label("Your gauge", exact=True).fill("28 sts/10cm")
    page.get_by_label("Your gauge", exact=True).press("Tab")
    expect(page.locator("#knitted")).to_contain_text("28.0 stitches and")
    expect(page.locator("#knit .wrong")).to_have_count(0)
    looks_right(page)

    page.goto("/colourways/stripes?base=Quay+Sock")
    page.get_by_label("Rows", exact=True).nth(1).fill("some")
    page.get_by_label("Rows", exact=True).nth(1).press("Tab")
    expect(page.locator(".bands-typed .wrong")).to_contain_text("Stripe 2: How many rows")
    page.get_by_label("Rows", exact=True).nth(1).fill("8")
    page.get_by_label("Rows", exact=True).first.fill("12")
    page.get_by_label("Rows", exact=True).first.press("Tab")
    expect(page.locator("#plan")).to_contain_text("12 rows: wind")
    looks_right(page)
    page.get_by_label("Name", exact=True).fill("Harbour Lights")
    page.get_by_role("button", name=re.compile("Keep 2 stripes")).click()
    page.wait_for_url(re.compile(r"/colourways/\d+"))
    assert "Harbour Lights" in [kept.thing.name for kept in list_colourways(live.studio)]

    page.goto("/shelf/pan-reach?base=Quay+Sock&vessel=Long+pan")
    before = page.locator("#said-h").inner_text()
    page.get_by_label("Times opened up", exact=True).fill("3")
    page.get_by_label("Times opened up", exact=True).press("Tab")
    expect(page.locator("#said-h")).not_to_have_text(before)
    expect(page.locator("#plan")).to_contain_text("shuffled 3 times")
    drawn(page, "#plan img")
    looks_right(page)


@pytest.mark.parametrize("page", [360], indirect=True, ids=["360px"])
def test_the_thickness_is_pointed_at_in_a_photo(page: Page, live: Any, tmp_path: Any, looks_right: Look) -> None:
    """A strip of 40 px in a photo whose ruler marks lie 400 px apart and are 2 cm: 2.0 mm; pointed at with a finger, then a place moved with keys."""
    set_up_studio(live.studio, demo=True)
    picture, file = Image.new("L", (800, 600), 60), tmp_path / "strand.png"
    ImageDraw.Draw(picture).rectangle((0, 280, 799, 319), fill=220)
    picture.filter(ImageFilter.GaussianBlur(1.5)).save(file)
    page.goto("/shelf/bases/beside?base=Quay+Sock")
    page.get_by_role("link", name="Measure it: five minutes").click()
    page.get_by_label("Wet, straight").fill("1 m")
    page.get_by_label("Photo", exact=True).set_input_files(str(file))
    looks_right(page)
    page.get_by_role("button", name="Point at it in the photo").click()
    photo = page.locator("[data-points] img")
    drawn(page, "[data-points] img")
    box = photo.bounding_box()
    assert box is not None
    for x, y in ((0.25, 0.1), (0.75, 0.1), (0.1, 0.5), (0.9, 0.5)):
        photo.click(position={"x": x * box["width"], "y": y * box["height"]})
    page.get_by_label("Between the two marks").fill("2 cm")
    page.get_by_label("Between the two marks").press("Tab")
    expect(page.locator("#found strong")).to_have_text(re.compile(r"(1\.9|2\.0)\d mm"))
    page.locator("[data-points]").focus()
    page.keyboard.press("Shift+ArrowUp")
    expect(page.locator("#found strong")).to_have_text(re.compile(r"(1\.9|2\.0)\d mm"))
    looks_right(page)
    page.get_by_role("link", name="Take it as the wet thickness").click()
    expect(page.get_by_label("Thickness, wet")).to_have_value(re.compile(r"(1\.9|2\.0)\d mm"))
    expect(page.get_by_label("Wet, straight")).to_have_value("1 m")
