"""Three tests of the dyer's own, walked on a phone: one by keyboard alone, one in a photo by touch, one that goes wrong first."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from threading import Event
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from photo_proofs import synthetic
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.web.pages import own_tests

Look = Callable[[Page], None]
STRENGTHS = (1.0, 0.5, 0.0, 0.62, 0.3, 0.09)
"""Fresh, half strength, water, three samples."""


@pytest.fixture(autouse=True)
def room(live: Any) -> None:
    """A studio with a pot, a dye and a base."""
    set_up_studio(live.studio, name="Harbour Room")
    for kind, said in (
        ("dye", {"name": "Kelp", "dye_class": "half-milling"}),
        ("base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m", "superwash": "yes"}),
        ("vessel", {"name": "Steam pan", "shape": "rectangle", "length_mm": "50 cm", "width_mm": "30 cm", "height_mm": "10 cm"}),
    ):
        add_to_shelf(live.studio, kind, said)


@pytest.fixture
def glasses(tmp_path: Path) -> Path:
    """A photo of white paper and six glasses side by side, made by Beer and Lambert's law band by band."""
    bands = 0.6 * synthetic.random_dye(np.random.default_rng(4), 2.0)
    spectra = np.array([synthetic.PAPER, *(synthetic.PAPER * np.exp(-2 * strength * bands) for strength in STRENGTHS)])
    linear = np.clip(synthetic.linear_srgb(synthetic.xyz_of(spectra)), 0, 1) * 0.9
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    file = io.BytesIO()
    Image.fromarray(np.repeat(np.repeat((255 * encoded).round().astype(np.uint8)[None], 400, axis=0), 120, axis=1)).save(file, "PNG")
    path = tmp_path / "glasses.png"
    path.write_bytes(file.getvalue())
    return path


def test_three_tests_on_a_phone(phone: Page, live: Any, glasses: Path, looks_right: Look, monkeypatch: pytest.MonkeyPatch) -> None:
    phone.goto("/tests")
    looks_right(phone)

    # by keyboard alone: a pot, weighed
    phone.get_by_role("link", name="Evaporation, by weighing the pot").focus()
    phone.keyboard.press("Enter")
    phone.wait_for_url("**/tests/evaporation")
    looks_right(phone)
    phone.get_by_role("radio", name="off").focus()
    phone.keyboard.press("Tab")
    for typed in ("85 C", "half", "6.2 kg", "5320 g"):
        while phone.evaluate("document.activeElement.tagName") != "INPUT":
            phone.keyboard.press("Tab")  # past the question mark of a field
        phone.keyboard.type(typed)
        phone.keyboard.press("Tab")
    phone.get_by_role("button", name="Work it out and keep it").focus()
    phone.keyboard.press("Enter")
    expect(phone.locator("#f-time-wrong")).to_be_visible()  # "half" is no time; nothing typed is lost
    expect(phone.locator("#f-before")).to_have_value("6.2 kg")
    looks_right(phone)
    phone.locator("#f-time").fill("30 min")
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", name="What this test found")).to_be_visible()
    expect(phone.locator("#found")).to_contain_text("times what still air takes")
    looks_right(phone)
    assert [one.thing.quantity for one in list_calibrations(live.studio)] == ["evaporation_factor"]

    # undone
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.get_by_text("Nothing yet.")).to_be_visible()
    assert list_calibrations(live.studio) == []

    # in a photo, by touch: glasses of liquor
    phone.goto("/tests/liquor")
    phone.locator("#f-temp").fill("75 C")
    phone.set_input_files("#f-file", glasses)
    phone.get_by_role("button", name="Use this photo").tap()
    phone.wait_for_url("**/photo/**")
    expect(phone.locator("#picked")).to_contain_text("Still to be pointed at: White paper")
    picture = phone.locator("[data-places]")
    box = picture.bounding_box()
    assert box is not None
    for number in range(len(STRENGTHS)):
        picture.tap(position={"x": box["width"] * (number + 0.5) / 7, "y": box["height"] / 2})
    picture.focus()  # the last one with the keys, which start in the middle
    for _ in range(22):
        phone.keyboard.press("ArrowRight")
    expect(phone.locator("#picked")).to_contain_text("Sample 3")
    looks_right(phone)
    phone.get_by_role("link", name="Take this over").tap()
    phone.wait_for_url("**/tests/liquor?**")
    lines = phone.locator("#f-samples").input_value().splitlines()
    assert [float(line.split()[-2]) / 100 for line in lines] == pytest.approx([0.62, 0.3, 0.09], abs=0.06)
    expect(phone.locator("#f-temp")).to_have_value("75 C")  # typed before the photo was sent
    phone.get_by_role("button", name="Work it out and keep it").tap()
    expect(phone.locator("#found")).to_contain_text("as a dye of its class")

    # pieces that are the wrong way round, then right; and the shelf says so
    phone.goto("/tests/superwash")
    phone.locator("#f-untreated").fill("80 %")
    phone.locator("#f-superwash").fill("40 %")
    phone.get_by_role("button", name="Work it out and keep it").tap()
    expect(phone.locator("#f-superwash-wrong")).to_contain_text("which is which")
    phone.locator("#f-untreated").fill("30 %")
    phone.get_by_role("button", name="Work it out and keep it").tap()
    expect(phone.locator("#found")).to_contain_text("It is ahead by")
    phone.goto("/tests")
    expect(phone.get_by_text("times untreated wool")).to_be_visible()
    looks_right(phone)
    phone.goto("/shelf/base/1")
    expect(phone.get_by_role("heading", name="Measured by you")).to_be_visible()
    looks_right(phone)

    # a photo for the photo sheet that takes a while: a line fills, and what is to be said of it comes in its place
    go_on = Event()
    monkeypatch.setattr(own_tests, "open_test_photo", lambda *_: (go_on.wait(20), ("The light fell from one side.",))[1])
    phone.goto("/tests/footprint")
    phone.set_input_files("#f-file", glasses)
    phone.get_by_role("button", name="Use this photo").tap()
    expect(phone.get_by_role("progressbar", name="Reading the photo.")).to_be_visible()
    expect(phone.get_by_role("button", name="Stop")).to_be_visible()
    looks_right(phone)
    go_on.set()
    expect(phone.locator(".test-read").first).to_contain_text("The light fell from one side.")
    expect(phone.get_by_role("progressbar")).to_have_count(0)
