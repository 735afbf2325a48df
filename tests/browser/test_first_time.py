"""A first time with the tool, by touch on a phone and then on paper: what was mended is not scolded, nothing folds shut, jumps or disappears on the way."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from typing import Any

from playwright.sync_api import Browser, Page, Route, expect

from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.set_up_studio import set_up_studio

Look = Callable[[Page], None]
BASE = {"name": "Fen Single", "fibres": "wool", "skein_g": "100 g", "length_mm": "360 m"}
TYPED = """() => {
  const field = document.querySelector("[name='s.2.depth']");
  field.value = "1.7 %";
  field.dispatchEvent(new Event("input", { bubbles: true }));
}"""
INK_ON_PAPER = "(one) => [getComputedStyle(one).color, getComputedStyle(one).backgroundColor]"


def test_a_first_time_on_a_phone(chromium: Browser, live: Any, looks_right: Look) -> None:
    set_up_studio(live.studio, name="Harbour Room")
    add_to_shelf(live.studio, "base", BASE)
    add_to_shelf(live.studio, "dye", {"name": "Kelp"})
    add_swatch(live.studio, "Kelp", {"depth": "1 %", "colour": "52, -30, 0"})
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=live.url, has_touch=True)
    context.set_default_timeout(15000)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))

    page.goto("/shelf/base/new")
    page.get_by_role("button", name="Put it on the shelf").tap()
    expect(page.locator("#f-name-wrong")).to_be_visible()
    page.get_by_label("Name", exact=True).fill("Quay Sock")
    page.get_by_label("Fibre", exact=True).fill("75/25 wool nylon")
    page.get_by_label("Skein", exact=True).focus()
    expect(page.locator("#f-name-wrong")).to_have_count(0)
    expect(page.locator("#f-fibres-echo")).to_have_text("75 % wool, 25 % nylon")
    expect(page.locator("#f-skein_g-wrong")).to_be_visible()  # what is still missing is still said
    assert page.locator("#f-fibres").get_attribute("aria-invalid") is None
    assert page.locator("#f-fibres").get_attribute("aria-describedby") == "f-fibres-echo"
    looks_right(page)
    page.get_by_label("Skein", exact=True).fill("100 g")
    page.get_by_label("Length", exact=True).fill("400 m")
    page.get_by_role("button", name="Put it on the shelf").tap()
    expect(page.get_by_role("link", name="Quay Sock")).to_be_visible()

    page.goto("/colourways/new")
    name = page.get_by_label("Name", exact=True)
    place = page.locator("#yarn").evaluate("(one) => one.getBoundingClientRect().top + scrollY")
    name.fill("Low water")
    expect(page.locator("#unsaved")).to_have_text("Not saved")
    assert page.locator("#yarn").evaluate("(one) => one.getBoundingClientRect().top + scrollY") == place  # nothing jumped
    assert page.locator(".views").evaluate("(one) => one.scrollWidth <= one.clientWidth")  # all five views are in sight
    page.locator(".bases-shown > summary").tap()
    page.locator("#base-Quay-Sock").focus()
    page.keyboard.press("Space")
    expect(page.locator(".strip")).to_have_count(2)
    expect(page.locator("#base-Quay-Sock")).to_be_focused()
    page.locator("#save").tap()
    expect(page.get_by_role("link", name="Start a lot")).to_be_in_viewport()
    looks_right(page)

    page.locator(".zoom-view").focus()
    page.evaluate(TYPED)  # by a script, so that the focus stays where it is
    expect(page.locator("#margin")).to_contain_text("1.7 g")
    expect(page.locator(".zoom-view")).to_be_focused()  # the picture was replaced under it

    depth = page.locator("[name='s.2.depth']")
    depth.fill("15 %")
    refused = page.locator(".heeds")
    expect(refused).to_contain_text("Did you mean")  # the margin is folded away: the refusal stands at the picture
    expect(refused).to_be_in_viewport()
    box, mat = depth.bounding_box(), page.locator("#yarn").bounding_box()
    assert box is not None
    assert mat is not None
    assert box["y"] >= mat["y"] + mat["height"]  # and what is typed in does not go under it
    looks_right(page)
    depth.fill("1.7 %")

    page.emulate_media(media="print")
    page.goto("/settings")
    assert page.locator(".choices label:has(:checked)").evaluate(INK_ON_PAPER) == ["rgb(22, 22, 22)", "rgba(0, 0, 0, 0)"]  # no white on white
    context.close()
    assert not problems, problems


def test_what_was_said_before_the_scripts_came_is_heard(tablet: Page, live: Any) -> None:
    """On a slow line, and when the browser puts typed text back by itself: fields are changed and no script has seen it."""
    set_up_studio(live.studio, demo=True)
    held: list[Route] = []
    early = Event()
    tablet.route("**/*.js*", lambda route: held.append(route) if early.is_set() else route.continue_())

    def said_early(path: str, change: str) -> None:
        early.set()
        tablet.goto(path, wait_until="commit")
        tablet.locator("footer").wait_for(state="attached")
        tablet.evaluate(change)
        early.clear()
        assert held
        while held:
            held.pop().continue_()

    said_early("/colourways/new", """document.querySelector("[name='s.2.depth']").value = "3 %" """)
    expect(tablet.locator("#margin")).to_contain_text("3 g")
    expect(tablet.locator("#unsaved")).to_have_text("Not saved")

    base, other = (kept.id for kept in list_shelf(live.studio, "base")[:2])
    said_early(f"/shelf/base/{base}/yarn", f"document.getElementById('beside-{other}').checked = true")
    expect(tablet.locator("#beside table")).to_be_visible()

    asked: list[str] = []
    tablet.on("request", lambda request: asked.append(request.url))
    banded = next(kept for kept in list_colourways(live.studio) if any("over" in step.said for step in kept.thing.steps))
    with tablet.expect_request("**/colourways/pot"):
        tablet.goto(f"/colourways/{banded.id}")  # sliders and painted bands: a page that was only opened has heard nothing
    assert not [url for url in asked if url.endswith("/colourways/forecast")]
