"""The whole job as a new user does it: an empty studio, a shelf out of spreadsheets, a colourway, its forecast, a lot with its slip, and the record."""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_lot import get_lot
from skeinwright.services.import_shelf import import_shelf
from skeinwright.services.list_lots import list_lots
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.preview_shelf_import import ShelfFile
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.tick_step import TickStep, tick_step

Look = Callable[[Page], None]
TABLES = Path(__file__).parent / "data"
FILES = ("dyes", "bases", "swatches", "vessels", "acids", "water")
"""In this order, because a swatch names its dye."""
LOOK_AGAIN = "document.dispatchEvent(new Event('visibilitychange'))"


def _bring_in_the_shelf(page: Page) -> None:
    """Every table, as a new user brings it in: looked at first, then kept."""
    for name in FILES:
        page.goto("/shelf/import")
        page.get_by_label("File", exact=True).set_input_files(TABLES / f"{name}.csv")
        page.get_by_role("button", name="Look at it").click()
        expect(page.get_by_text("Nothing is kept yet.")).to_be_visible()
        expect(page.get_by_text("not understood")).to_have_count(0)
        page.get_by_role("button", name=re.compile("on the shelf$")).click()
        expect(page.get_by_role("button", name="Undo")).to_be_visible()


def _greys(png: bytes) -> tuple[int, int, float]:
    """Width, height and the share of ink (anything darker than the middle grey) of a page."""
    picture = Image.open(io.BytesIO(png)).convert("L")
    histogram = picture.histogram()
    return picture.width, picture.height, sum(histogram[:128]) / (picture.width * picture.height)


def _pages_of(pdf: Path, folder: Path) -> list[bytes]:
    """The pages as poppler rasterises them at 60 dots to the inch."""
    subprocess.run(["pdftoppm", "-r", "60", "-png", str(pdf), str(folder / "page")], check=True, capture_output=True)
    return [path.read_bytes() for path in sorted(folder.glob("page*.png"))]


def _is_drawn(page: Page, picture: str) -> bool:
    """True where an image has arrived and is not of one colour."""
    shades = """(one) => { const c = document.createElement("canvas"); c.width = 60; c.height = 40;
      const x = c.getContext("2d"); x.drawImage(one, 0, 0, 60, 40);
      return new Set([...new Uint32Array(x.getImageData(0, 0, 60, 40).data.buffer)]).size; }"""
    one = page.locator(picture).first
    expect(one).to_have_js_property("complete", True)
    return int(one.evaluate("(one) => one.decode().then(() => one.naturalWidth)")) > 0 and int(one.evaluate(shades)) > 200


def test_a_new_user_does_the_whole_job(page: Page, chromium: Browser, live: Any, looks_right: Look, tmp_path: Path) -> None:
    page.goto("/")
    page.get_by_role("button", name="Begin with an empty shelf").click()
    expect(page.get_by_role("heading", name="Nothing is on. What will you dye next?")).to_be_visible()

    _bring_in_the_shelf(page)
    assert {kind: len(list_shelf(live.studio, kind)) for kind in ("dye", "base", "vessel", "acid", "water")} == {
        "dye": 3, "base": 2, "vessel": 2, "acid": 2, "water": 1
    }  # fmt: skip
    page.goto("/shelf")
    expect(page.get_by_role("link", name="Thistledown")).to_be_visible()
    looks_right(page)

    # a colourway, with the yarn on each base
    page.goto("/colourways")
    page.get_by_role("link", name="With a bath").click()
    page.get_by_label("Name", exact=True).fill("Dusk on the Saltings")
    page.locator("#f-fibre").fill("2 skeins of 100 g")
    page.locator("#f-vessel").select_option("Stock pot")
    page.locator("#f-water").select_option("Kitchen tap")
    page.locator("[name='s.2.dye']").fill("Thistledown")
    page.locator("[name='s.2.depth']").fill("1.2 %")
    expect(page.locator("#margin")).to_contain_text("2.4 g")
    page.locator("details.more summary").first.click()
    for base in ("Pier-Sock", "Marsh-Single"):
        page.locator(f"#base-{base}").check(force=True)
    expect(page.locator(".strip")).to_have_count(2)
    page.locator("#beside").check(force=True)
    expect(page.locator("#yarn img")).to_have_count(2)
    expect(page.locator("#yarn figcaption strong")).to_have_text(["Marsh Single", "Pier Sock"])
    expect(page.locator("#yarn figcaption").first).to_contain_text("likely within")
    assert _is_drawn(page, "#yarn img >> nth=0")
    assert _is_drawn(page, "#yarn img >> nth=1")
    expect(page.locator("#margin")).to_contain_text(re.compile(r"pH\s*[3-6]\.\d"))
    page.locator("#save").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    looks_right(page)

    # a lot
    page.get_by_role("link", name="Start a lot").click()
    page.get_by_label("Base", exact=True).first.fill("Pier Sock")
    page.get_by_label("Skeins", exact=True).first.fill("2")
    while page.get_by_role("button", name="Take row 2 out").count():
        page.get_by_role("button", name="Take row 2 out").click()
    page.get_by_label("In which pot").fill("Stock pot")
    page.get_by_label("Wet mark").fill("tag 7")
    page.get_by_label("Wet mark").press("Tab")
    expect(page.locator("#draft")).to_contain_text("200 g of fibre")
    page.get_by_role("button", name="Start this lot").click()
    page.wait_for_url(re.compile(r"/lots/\d{4}-\d\d-\d\d-A$"))
    code = list_lots(live.studio)[0].code
    looks_right(page)

    # its slip, on paper
    with page.expect_popup() as popped:
        page.get_by_role("link", name="Pot slip, PDF").click()
    popped.value.close()
    pdf = tmp_path / "slip.pdf"
    pdf.write_bytes(page.request.get(f"/lots/{code}/slip.pdf").body())
    read = PdfReader(pdf)
    drawn = _pages_of(pdf, tmp_path)
    assert len(drawn) == len(read.pages) == 1
    for png in drawn:
        wide, high, ink = _greys(png)
        assert (wide, high) == pytest.approx((210 / 25.4 * 60, 297 / 25.4 * 60), abs=1.5)  # A4, ISO 216
        assert 0.01 < ink < 0.3
    said = " ".join(sheet.extract_text() for sheet in read.pages)
    for words in (code, "Dusk on the Saltings", "Stock pot", "Thistledown", "2.4 g", "tag 7"):
        assert words in said, words

    # a second window, open all the while
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=live.url)
    other = context.new_page()
    other.goto(f"/lots/{code}")

    # the day: every step ticked, the acid different, and put right afterwards
    plan = get_lot(live.studio, code).lot.plan
    acid = next(planned.number for planned in plan if planned.step.do == "add acid")
    rinse = next(planned.number for planned in plan if planned.step.do == "rinse")
    for planned in plan:
        number = planned.number
        if number == acid:
            page.get_by_role("link", name=f"Step {number} was different").click()
            page.get_by_label(re.compile("instead of")).fill("70")
            page.get_by_label(re.compile("instead of")).press("Enter")
            expect(page.locator(f"#step-{number} s.struck")).to_have_count(1)
        elif number == rinse:
            page.locator(f"#step-{number}").get_by_role("button", name="tag 7", exact=True).click()
            expect(page.locator("#skeins")).to_contain_text("tag 7", use_inner_text=True)
            expect(page.locator(f"#step-{number}")).to_contain_text("seen")
            page.locator(f"#tick-{number}").click()
        else:
            page.locator(f"#tick-{number}").click()
        expect(page.locator(f"#step-{number} .is-done")).to_have_count(1)
    page.locator(f"#step-{acid}").get_by_role("link", name=re.compile("^70 ml")).click()
    page.get_by_label("It was really").fill("65")
    page.get_by_role("button", name="Correct it").click()
    expect(page.locator(f"#step-{acid} .done-as")).to_contain_text("65 ml")
    looks_right(page)

    for grams in ("101", "99"):
        page.locator("#weigh-said").fill(grams)
        page.locator("#weigh-said").press("Enter")
        expect(page.locator("#skeins")).to_contain_text(grams)
    Image.effect_noise((120, 80), 60).convert("RGB").save(tmp_path / "skeins.jpg")
    page.get_by_label("Photo", exact=True).set_input_files(tmp_path / "skeins.jpg")
    page.locator("#form-photo").get_by_role("button", name="Put it down").click()
    expect(page.get_by_role("img", name=re.compile("Photo of this lot"))).to_be_visible()
    page.get_by_role("button", name="This lot is finished").click()
    expect(page.locator("#head")).to_contain_text("finished")

    # the second window sees all of it, and the book too
    other.evaluate(LOOK_AGAIN)
    expect(other.locator("#head")).to_contain_text("finished")
    expect(other.locator(f"#step-{acid} .done-as")).to_contain_text("65 ml")
    expect(other.locator("#skeins")).to_contain_text("99")
    expect(other.get_by_role("img", name=re.compile("Photo of this lot"))).to_be_attached()
    looks_right(other)
    context.close()

    kept = get_lot(live.studio, code)
    assert all(kept.state.doing(planned.number, "Stock pot").how in ("done", "instead") for planned in plan)
    vinegar = kept.state.doing(acid, "Stock pot")
    assert [dose.amount for dose in vinegar.actual] == [65]
    assert vinegar.planned != vinegar.actual


def _stocked(live: Any) -> None:
    """The same shelf, brought in without the browser."""
    set_up_studio(live.studio, name="Saltings")
    for name in FILES:
        import_shelf(live.studio, ShelfFile(data=(TABLES / f"{name}.csv").read_bytes(), name=f"{name}.csv"))


def test_every_page_looks_right_at_every_width(page: Page, live: Any, looks_right: Look) -> None:
    page.goto("/start")
    looks_right(page)
    _stocked(live)
    page.goto("/colourways/new")
    page.get_by_label("Name", exact=True).fill("Dusk")
    page.locator("#save").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    looks_right(page)
    code = start_lot(live.studio, StartLot(colourway="Dusk", rows=(RowWanted(base="Pier Sock", skeins=2, vessel="Stock pot", mark="tag 7"),))).code
    tick_step(live.studio, TickStep(lot=code, steps=(1, 2)))
    drawers = ("dyes", "bases", "acids-and-water", "pots-and-burners")
    shelf = (*(f"/shelf/{drawer}" for drawer in drawers), "/shelf/import", "/shelf/export", "/shelf/dye/1", "/shelf/dye/1/swatches")
    for path in ("/", *shelf, "/colourways", "/lots", "/lots/new", "/lots/new?colourway=1", f"/lots/{code}", "/settings"):
        page.goto(path)
        looks_right(page)


def test_keys_alone_write_a_colourway(tablet: Page, live: Any) -> None:
    """From the empty list to a kept colourway and a changed depth without a pointer: every focus is seen where it lies."""
    page = tablet
    _stocked(live)
    page.goto("/colourways")
    _tab_to(page, "document.activeElement.matches('.starts a[href$=new]')")
    page.keyboard.press("Enter")
    page.wait_for_url("**/colourways/new")
    _tab_to(page, "document.activeElement.name === 'name'")
    page.keyboard.type("By hand")
    _tab_to(page, "document.activeElement.name === 's.2.depth'")
    outline = page.evaluate("getComputedStyle(document.activeElement).boxShadow + getComputedStyle(document.activeElement).outlineStyle")
    assert outline != "nonenone"
    page.keyboard.press("Control+a")
    page.keyboard.type("2 %")
    expect(page.locator("#margin")).to_contain_text("2 g")
    _tab_to(page, "document.activeElement.id === 'down-2'")
    page.keyboard.press("Enter")
    expect(page.locator("[name='s.3.depth']")).to_have_value("2 %")
    assert page.evaluate("document.activeElement.id") == "down-3"
    _tab_to(page, "document.activeElement.id === 'save'", back=True)
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert get_colourway(live.studio, 1).thing.steps[3].get("depth") == "2 %"


def _tab_to(page: Page, where: str, *, back: bool = False) -> None:
    """Presses Tab until the focus is where it is wanted; fails after 90."""
    for _ in range(90):
        if page.evaluate(where):
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    raise AssertionError(f"Tab never came to {where}")


def test_an_empty_studio_says_what_to_do_next(tablet: Page, live: Any, looks_right: Look) -> None:
    page = tablet
    set_up_studio(live.studio, name="Empty")
    page.goto("/lots/new")
    looks_right(page)
    page.get_by_role("link", name="Write a colourway").click()
    expect(page.get_by_role("link", name="Put a dye on the shelf")).to_be_visible()
    assert page.evaluate("scrollY") == 0
    assert page.evaluate("document.activeElement.tagName") == "BODY"
    looks_right(page)
