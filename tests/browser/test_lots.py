"""A lot in the browser: started, ticked with one tap, put right, weighed and finished; in two windows at once, and with scripts off."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.tick_step import TickStep, tick_step

Look = Callable[[Page], None]
LOOK_AGAIN = "document.dispatchEvent(new Event('visibilitychange'))"
"""What the browser itself says when a window comes into sight; the sheet then looks again as it does every 15 seconds."""
TWO_CM_PX = 75.5
"""2 cm at 96 px to the inch (CSS Values and Units, absolute lengths)."""


@pytest.fixture
def demo(live: Any) -> Any:
    set_up_studio(live.studio, demo=True)
    return live


def _pan(live: Any) -> str:
    """A lot in one pan, two skeins."""
    lot = start_lot(live.studio, StartLot(colourway="Tidewrack", rows=(RowWanted(base="Quay Sock", skeins=2, vessel="Long pan", mark="2 ties"),)))
    return lot.code


def _pots(live: Any) -> str:
    """A lot in two pots."""
    rows = (RowWanted(base="Heron Two", skeins=2, vessel="Big pot", mark="tag 14"), RowWanted(base="Lantern DK", skeins=1, vessel="Small pot"))
    return start_lot(live.studio, StartLot(colourway="Rosehip Syrup", rows=rows)).code


def _how(live: Any, code: str, step: int, vessel: str = "Long pan") -> str:
    return str(get_lot(live.studio, code).state.doing(step, vessel).how)


def _row(page: Page, number: int) -> Locator:
    return page.locator(f"#step-{number}")


def test_start_tick_instead_correct_weigh_finish(page: Page, demo: Any, looks_right: Look, tmp_path: Path) -> None:
    page.goto("/lots")
    looks_right(page)
    page.get_by_role("link", name="Start a lot").first.click()
    page.get_by_role("button", name="Tidewrack").click()
    expect(page.get_by_role("heading", name="As it would be")).to_be_visible()
    page.get_by_label("Skeins", exact=True).fill("3")
    page.get_by_label("Wet mark").fill("2 ties")
    page.get_by_label("Wet mark").press("Tab")
    expect(page.locator("#draft")).to_contain_text("300 g of fibre")
    looks_right(page)
    page.get_by_role("button", name="Start this lot").click()
    page.wait_for_url(re.compile(r"/lots/\d{4}-\d\d-\d\d-A$"))
    code = list_lots(demo.studio)[0].code

    # the whole row is the target
    _row(page, 1).locator(".sentence").click(force=True)  # the button lies over all of the row
    expect(_row(page, 1).get_by_text("done", exact=True)).to_be_attached()
    assert _how(demo, code, 1) == "done"
    page.get_by_role("button", name="Done 10 min ago").click()
    expect(_row(page, 2).get_by_role("button", name="Undo step 2")).to_be_visible()
    entry = get_lot(demo.studio, code).entries[-1]
    assert (entry.entered_at - entry.at).total_seconds() == pytest.approx(600, abs=1)

    # a deviation is one tap and a number
    page.get_by_role("link", name="Step 4 was different").click()
    box = page.get_by_label(re.compile("Citric acid, instead of 3 g"))
    expect(box).to_be_focused()
    box.fill("7")
    box.press("Enter")
    expect(_row(page, 4).locator("s.struck")).to_have_text("3 g Citric acid")
    assert [dose.amount for dose in get_lot(demo.studio, code).state.doing(4, "Long pan").actual] == [7]

    # a number is put right later, in place
    _row(page, 4).get_by_role("link", name="7 g Citric acid").click()
    panel = page.locator("form.correct").bounding_box()
    assert panel
    assert panel["width"] >= 280, "a correction is typed across the row, on a phone too"
    page.get_by_label("It was really").fill("1/4 oz")
    page.get_by_role("button", name="Correct it").click()
    expect(_row(page, 4).locator(".done-as")).to_contain_text("7.09 g Citric acid")
    expect(_row(page, 4).locator("s.struck").nth(1)).to_contain_text("7 g")
    looks_right(page)

    # at hand at the foot of the window, wherever the sheet stands
    for word, there in (("Weigh", page.locator("#weigh")), ("Next step", page.locator(".step.next"))):
        page.get_by_role("navigation", name="On this sheet").get_by_role("link", name=word).click()
        expect(there).to_be_in_viewport()
    expect(page.locator(".step.next button.tick")).to_be_focused()

    # weights, one after another, without touching anything but the figures
    weight = page.locator("#weigh-said")
    for grams, of in (("98", "2 of 3"), ("101", "3 of 3")):
        weight.fill(grams)
        weight.press("Enter")
        expect(page.locator("#weigh")).to_contain_text(f"skein {of}")
        expect(weight).to_have_value("")
        expect(weight).to_be_focused()
    expect(page.locator("#weigh")).to_contain_text("2 weighed, from 98 to 101 g")
    expect(page.locator("#skeins")).to_contain_text("98")

    page.get_by_label("Note", exact=True).fill("Struck fast")
    page.locator("#form-note").get_by_role("button").click()
    expect(page.locator("#day")).to_contain_text("Struck fast")
    expect(page.get_by_label("Note", exact=True)).to_have_value("")
    Image.new("RGB", (80, 60), (120, 120, 120)).save(tmp_path / "skein.jpg")
    page.get_by_label("Photo", exact=True).set_input_files(tmp_path / "skein.jpg")
    page.locator("#form-photo").get_by_role("button", name="Put it down").click()
    expect(page.get_by_role("img", name=re.compile("Photo of this lot"))).to_be_visible()

    page.get_by_role("button", name="This lot is finished").click()
    expect(page.get_by_text("This lot is finished.")).to_be_visible()
    expect(page.locator("#head")).to_contain_text("finished")
    expect(page.locator("#next-step"), "nothing is next in a lot that is finished").to_be_hidden()
    looks_right(page)
    page.get_by_role("button", name="It goes on").click()
    expect(page.get_by_role("button", name="This lot is finished")).to_be_visible()
    expect(page.locator("#next-step")).to_be_visible()


def test_every_page_of_the_lots_looks_right(page: Page, demo: Any, looks_right: Look) -> None:
    one, two = _pan(demo), _pots(demo)
    tick_step(demo.studio, TickStep(lot=one, steps=tuple(range(1, 9))))
    tick_step(demo.studio, TickStep(lot=two, steps=(1, 2), vessels=("Big pot",)))
    tick_step(demo.studio, TickStep(lot=two, steps=(3,), vessels=("Big pot",), skip=True))
    sheets = (one, f"{one}?open=9", two, f"{two}?open=3", f"{two}?extra=pour")
    for path in ("/lots", "/lots/old", "/lots/unplanned", f"/lots/{two}/pot", *(f"/lots/{sheet}" for sheet in sheets)):
        page.goto(path)
        looks_right(page)
    number = get_lot(demo.studio, one).entries[0].id
    page.goto(f"/lots/{one}/correct/{number}")
    looks_right(page)
    page.goto("/lots/unplanned")
    page.get_by_role("button", name="Small pot").click()
    expect(page.get_by_role("heading", name="What did you do?")).to_be_visible()
    looks_right(page)
    page.get_by_role("link", name="add water").click()
    page.get_by_label("How much water").fill("2 l")
    page.get_by_role("button", name="Done", exact=True).click()
    expect(page.locator("#day")).to_contain_text("Add 2 l of water")
    page.get_by_role("button", name="lid on").click()
    expect(page.locator("#day")).to_contain_text("Put the lid on")
    looks_right(page)


def test_targets_on_the_sheet_are_two_centimetres(page: Page, demo: Any) -> None:
    for code in (_pan(demo), _pots(demo)):
        tick_step(demo.studio, TickStep(lot=code, steps=(1, 2)))
        page.goto(f"/lots/{code}")
        for one in page.locator(".step button, .step .side a.button").all():
            box = one.bounding_box()
            assert box
            assert min(box["width"], box["height"]) >= TWO_CM_PX, one.get_attribute("id")


def test_a_double_tap_ticks_once_and_a_mis_tap_is_undone(tablet: Page, demo: Any) -> None:
    code = _pan(demo)
    tablet.goto(f"/lots/{code}")
    tablet.locator("#tick-1").dblclick(force=True)
    undo = tablet.get_by_role("button", name="Undo step 1")
    expect(undo).to_be_visible()
    assert [entry.what.value for entry in get_lot(demo.studio, code).entries] == ["tick"]
    tablet.wait_for_timeout(800)  # for as long, nothing under the finger is pressed by a second tap
    expect(_row(tablet, 1).locator(".panel")).to_have_count(0)
    undo.click()
    expect(tablet.locator("#tick-1")).to_be_visible()
    expect(_row(tablet, 1).locator("s.struck")).to_contain_text("done")
    assert _how(demo, code, 1) == "planned"


def test_pots_are_ticked_one_by_one_or_all_at_once(tablet: Page, demo: Any) -> None:
    code = _pots(demo)
    tablet.goto(f"/lots/{code}")
    tablet.get_by_role("button", name="Done in Small pot: step 1", exact=True).click()
    expect(_row(tablet, 1).locator(".is-done")).to_have_count(1)
    assert (_how(demo, code, 1, "Small pot"), _how(demo, code, 1, "Big pot")) == ("done", "planned")
    tablet.get_by_role("button", name=re.compile("Done in all pots: step 1,")).click()
    expect(_row(tablet, 1).locator(".is-done")).to_have_count(2)


def test_a_second_window_sees_the_same_lot_and_loses_nothing_typed(tablet: Page, chromium: Browser, demo: Any) -> None:
    code = _pan(demo)
    tablet.goto(f"/lots/{code}")
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=demo.url)
    try:
        other = context.new_page()
        other.goto(f"/lots/{code}")
        other.get_by_role("link", name="Step 4 was different").click()
        number = other.get_by_label(re.compile("Citric acid, instead of"))
        number.fill("9")
        other.get_by_label("Note", exact=True).fill("half a sen")

        tablet.locator("#tick-1").click()
        expect(tablet.get_by_role("button", name="Undo step 1")).to_be_visible()
        weight = tablet.locator("#weigh-said")
        weight.fill("98")
        weight.press("Enter")
        expect(tablet.locator("#weigh")).to_contain_text("skein 2 of 2")

        other.evaluate(LOOK_AGAIN)
        expect(other.get_by_role("button", name="Undo step 1")).to_be_visible()
        expect(other.locator("#skeins")).to_contain_text("98")
        expect(number).to_have_value("9")
        expect(other.get_by_label("Note", exact=True)).to_have_value("half a sen")
        expect(other.get_by_label("Note", exact=True)).to_be_focused()

        number.press("Enter")
        expect(_row(other, 4).locator("s.struck")).to_have_text("2 g Citric acid")
        tablet.evaluate(LOOK_AGAIN)
        expect(_row(tablet, 4).locator("s.struck")).to_have_text("2 g Citric acid")
        assert not tablet.evaluate("document.querySelector('.panel') !== null")
    finally:
        context.close()


def test_a_refusal_stands_where_it_was_made(tablet: Page, demo: Any) -> None:
    code = _pan(demo)
    tablet.goto(f"/lots/{code}")
    tablet.get_by_role("link", name="Step 4 was different").click()
    box = tablet.get_by_label(re.compile("Citric acid, instead of"))
    box.fill("a pinch")
    box.press("Enter")
    expect(_row(tablet, 4).get_by_role("alert")).to_be_visible()
    expect(box).to_have_value("a pinch")
    assert _how(demo, code, 4) == "planned"


def test_a_row_that_cannot_be_says_so_while_it_is_typed(tablet: Page, demo: Any, looks_right: Look) -> None:
    tablet.goto("/lots/new")
    tablet.get_by_role("button", name="Tidewrack").click()
    expect(tablet.get_by_role("heading", name="As it would be")).to_be_visible()
    skeins, base, weighs = (tablet.get_by_label(label, exact=True) for label in ("Skeins", "Base", "Each weighs"))
    skeins.fill("several")
    base.fill("Quay Sok")
    weighs.fill("")
    weighs.press("Tab")
    expect(tablet.locator("#wrong-1-skeins")).to_have_text("Say how many skeins, as a whole number.")
    expect(tablet.locator("#wrong-1-base")).to_contain_text("Did you mean 'Quay Sock'?")
    expect(tablet.locator("#draft")).to_contain_text("as soon as the rows above are right")
    looks_right(tablet)
    skeins.fill("2")
    base.fill("Quay Sock")
    base.press("Tab")
    expect(tablet.get_by_role("heading", name="As it would be")).to_be_visible()
    expect(tablet.locator("#wrong-1-skeins")).to_be_hidden()
    expect(tablet.locator("#wrong-1-base")).to_be_hidden()


def test_a_lot_is_ticked_with_scripts_off(chromium: Browser, demo: Any) -> None:
    code = _pan(demo)
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740}, base_url=demo.url)
    try:
        page = context.new_page()
        page.goto(f"/lots/{code}")
        page.locator("#tick-1").click()
        expect(page.get_by_role("button", name="Undo step 1")).to_be_visible()
        page.get_by_role("link", name="Step 4 was different").click()
        page.get_by_label(re.compile("Citric acid, instead of")).fill("5 g")
        page.locator("#instead-4-1-1-put").click()
        expect(_row(page, 4).locator("s.struck")).to_have_text("2 g Citric acid")
        page.get_by_role("link", name="5 g Citric acid").click()
        page.get_by_role("button", name="Strike it through").click()
        assert _how(demo, code, 4) == "planned"
    finally:
        context.close()
