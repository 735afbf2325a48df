"""The tutorial is performed as it is written: every instruction of docs/tutorial.md, in order, in a real browser.

Instructions are plain sentences of a few shapes (`SHAPES`). What is bold in a numbered step must belong to one of them, so a sentence that this
file does not understand fails instead of being passed over. With SKEINWRIGHT_PICTURES=1 the run also writes the pictures of the tutorial and README.
"""

from __future__ import annotations

import io
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.set_up_studio import set_up_studio

DOCS = Path(__file__).resolve().parents[2] / "docs"
TUTORIAL = DOCS / "tutorial.md"
PICTURES = DOCS / "pictures"
MOST_BYTES = 250_000
WANTED = os.environ.get("SKEINWRIGHT_PICTURES") == "1"
Act = Callable[..., None]


def press(page: Page, name: str, near: str = "") -> None:
    """A button, link or choice of that name; the first that is seen."""
    within: Page | Locator = page.locator(".tool", has=page.get_by_role("heading", name=near, exact=True)) if near else page
    found = within.get_by_role("button", name=name, exact=True).or_(within.get_by_role("link", name=re.compile(f"^{re.escape(name)}( \\d+)?$")))
    found = found.or_(within.locator(".starts a, .starts button", has_text=name)).or_(within.get_by_role("radio", name=name, exact=True))
    one = found.filter(visible=True).or_(within.get_by_role("radio", name=name, exact=True)).first
    expect(one).to_be_attached()
    if one.get_attribute("target") == "_blank":
        with page.expect_popup() as popped:
            one.click()
        popped.value.close()
        return
    if one.get_attribute("type") == "radio":
        one.check(force=True)
    else:
        one.click()


def type_into(page: Page, label: str, said: str) -> None:
    exact, about = (page.get_by_role("textbox", name=label, exact=whole).or_(page.get_by_role("combobox", name=label, exact=whole)) for whole in (True, False))
    field = (exact if exact.count() else about).filter(visible=True).first
    field.fill(said)
    field.dispatch_event("change")


def choose(page: Page, said: str, label: str) -> None:
    group = page.get_by_role("group", name=label, exact=True)
    if group.count():
        group.get_by_label(said, exact=True).check(force=True)
    else:
        page.get_by_role("combobox", name=label, exact=True).select_option(said)


def open_fold(page: Page, name: str) -> None:
    page.locator("details:not([open]) > summary", has_text=re.compile(f"^\\s*{name}")).first.click()


def change(page: Page, step: str, old: str, new: str) -> None:
    values = page.locator(f"#step-{int(step) - 1} input.value, #step-{int(step) - 1} textarea.value")
    place = [one.input_value() for one in values.all()].index(old)
    values.nth(place).fill(new)


def tick(page: Page, step: str) -> None:
    page.locator(f"#tick-{step}").click()
    expect(page.locator(f"#step-{step} .is-done")).to_have_count(1)


def press_in_step(page: Page, step: str, name: str) -> None:
    seen = re.escape(name).replace(r"\ ", r"\s")  # on the screen a number does not part from its unit
    page.locator(f"#step-{step} :is(button, a)", has_text=re.compile(f"^{seen}")).first.click()


def give_photo(page: Page, label: str) -> None:
    taken = io.BytesIO()
    Image.effect_noise((240, 160), 50).convert("RGB").save(taken, "JPEG")
    page.get_by_label(label, exact=True).set_input_files({"name": "skeins.jpg", "mimeType": "image/jpeg", "buffer": taken.getvalue()})


def see(page: Page, said: str) -> None:
    expect(page.locator("body")).to_contain_text(said, use_inner_text=True)


def _wait_for_answer(page: Page) -> None:
    """A person reads on before the next tap; here, until nothing that was asked of the studio is unanswered."""
    page.wait_for_load_state()
    page.wait_for_function("[...performance.getEntriesByType('resource')].every((one) => one.responseEnd > 0)")
    page.wait_for_timeout(150)


SHAPES: tuple[tuple[re.Pattern[str], Act], ...] = (
    (re.compile(r"Press \*\*(.+?)\*\* below \*\*(.+?)\*\*\."), press),
    (re.compile(r"Press \*\*(.+?)\*\*\."), press),
    (re.compile(r"Open \*\*(.+?)\*\*\."), open_fold),
    (re.compile(r"Into \*\*(.+?)\*\* type `(.+?)`\."), type_into),
    (re.compile(r"Choose `(.+?)` for \*\*(.+?)\*\*\."), choose),
    (re.compile(r"In step \*\*(\d+)\*\* change `(.+?)` to `(.+?)`\."), change),
    (re.compile(r"In step \*\*(\d+)\*\* press \*\*(.+?)\*\*\."), press_in_step),
    (re.compile(r"Tick step \*\*(\d+)\*\*\."), tick),
    (re.compile(r"Give \*\*(.+?)\*\* a photo\."), give_photo),
    (re.compile(r'You see "(.+?)"\.?'), see),
)
PICTURE = re.compile(r"!\[.+?\]\(pictures/(.+?)\)")


def instructions(text: str) -> Iterator[tuple[str, Act | None, tuple[str, ...]]]:
    """(the sentence, what does it, with what) in the order of the page; a picture has no act. Raises where a step holds bold words that no shape takes."""
    number = 0
    for line in text.splitlines():
        if picture := PICTURE.match(line):
            yield line, None, (picture[1],)
        if not (step := re.match(r"(\d+)\. ", line)):
            continue
        number += 1
        assert int(step[1]) == number, f"step {number} is numbered {step[1]}"
        found = [(match.start(), match.end(), act, match) for shape, act in SHAPES for match in shape.finditer(line)]
        found.sort(key=lambda one: (one[0], -one[1]))
        end, left = 0, []
        for start, stop, act, match in found:
            if start < end:
                continue
            left.append(line[end:start])
            end = stop
            yield match[0], act, match.groups()
        left.append(line[end:])
        assert "**" not in "".join(left), f"step {number} says something that no test performs: {''.join(left)}"


def _picture(page: Page, name: str) -> None:
    """Writes a picture in few enough colours to stay small."""
    page.wait_for_load_state("networkidle")
    page.evaluate("document.getElementById('undo').hidden = true; window.scrollTo(0, 0)")
    path = PICTURES / name
    page.screenshot(path=path, animations="disabled")
    page.evaluate("document.getElementById('undo').hidden = false")
    with Image.open(path) as full:
        full.convert("RGB").quantize(200, dither=Image.Dither.NONE).save(path, optimize=True)


def test_the_tutorial_is_performed_as_it_is_written(chromium: Browser, live: Any) -> None:
    context = chromium.new_context(viewport={"width": 1400, "height": 900}, base_url=live.url)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    page.goto("/")
    count = 0
    for sentence, act, given in instructions(TUTORIAL.read_text(encoding="utf-8")):
        if act is None:
            if WANTED and given[0] != "colourway.png":
                _picture(page, given[0])
            continue
        count += 1
        try:
            act(page, *given)
            if act in (press, press_in_step, tick):
                _wait_for_answer(page)
        except Exception as error:
            raise AssertionError(f"The tutorial says: {sentence}\nAt {page.url}: {error}") from error
    context.close()
    assert not problems, problems
    assert count > 60
    lot = get_lot(live.studio, list_lots(live.studio)[0].code)
    assert [dose.amount for dose in lot.state.doing(6, "Stock pot").actual] == [28]
    assert lot.state.finished_at is not None or lot.state.status == "finished"


def test_a_sentence_that_is_not_understood_is_noticed() -> None:
    with pytest.raises(AssertionError, match="no test performs"):
        list(instructions("1. Click on **Save**."))
    with pytest.raises(AssertionError, match="numbered"):
        list(instructions("2. Press **Save**."))


def test_the_pictures_are_there_and_small() -> None:
    pages = [TUTORIAL, DOCS.parent / "README.md"]
    named = {name for page in pages for name in re.findall(r"pictures/([\w-]+\.png)", page.read_text(encoding="utf-8"))}
    assert {path.name for path in PICTURES.glob("*")} == named
    for name in named:
        assert 10_000 < (PICTURES / name).stat().st_size < MOST_BYTES, name


@pytest.mark.skipif(not WANTED, reason="pictures are written only where they are asked for")
def test_write_the_picture_of_the_editor(chromium: Browser, live: Any) -> None:
    set_up_studio(live.studio, demo=True)
    context = chromium.new_context(viewport={"width": 1400, "height": 900}, base_url=live.url)
    page = context.new_page()
    page.goto("/colourways/6")
    page.get_by_text("full forecast").first.wait_for(timeout=60_000)
    _picture(page, "colourway.png")
    context.close()
