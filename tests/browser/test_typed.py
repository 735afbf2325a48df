"""What was typed and not sent is not lost on the way back or by a reload, and what was sent is not offered again."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page, expect

from skeinwright.services.list_shelf import list_shelf


def test_what_was_typed_is_there_again_until_it_is_sent(tablet: Page, live: Any) -> None:
    page = tablet
    page.goto("/start")
    page.get_by_role("button", name=re.compile("empty shelf")).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Nothing is on.")

    page.goto("/shelf/dye/new")
    name, maker = (page.get_by_role("textbox", name=one, exact=True) for one in ("Name", "Maker"))
    name.fill("Kelp")
    page.get_by_text("More:").click()
    maker.fill("Old Staithe")
    page.get_by_role("main").get_by_role("link", name="Dyes").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Shelf")
    page.go_back()
    expect(name).to_have_value("Kelp")
    expect(maker).to_be_visible()
    expect(maker).to_have_value("Old Staithe")
    page.reload()
    expect(maker).to_have_value("Old Staithe")
    assert not list_shelf(live.studio, "dye")

    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Kelp")
    page.go_back()
    expect(page.get_by_role("button", name="Put it on the shelf")).to_be_visible()
    expect(name).to_have_value("")
    assert [kept.thing.name for kept in list_shelf(live.studio, "dye")] == ["Kelp"]


def test_what_was_typed_is_not_laid_over_what_was_written_since(tablet: Page, live: Any) -> None:
    tablet.goto("/start")
    tablet.get_by_role("button", name=re.compile("empty shelf")).click()
    tablet.goto("/settings")
    currency, name = (tablet.get_by_role("textbox", name=one, exact=True) for one in ("Currency", "Name of the studio"))
    currency.fill("SEK")
    tablet.get_by_role("navigation", name="Screens").get_by_role("link", name="Today").click()
    expect(tablet.get_by_role("heading", level=1)).to_contain_text("Nothing is on.")

    other = tablet.context.new_page()
    other.goto("/settings")
    other.get_by_role("textbox", name="Name of the studio", exact=True).fill("Staithe Yard")
    other.get_by_role("textbox", name="Currency", exact=True).fill("EUR")
    other.get_by_role("button", name="Keep these").click()
    expect(other.locator(".whose")).to_have_text("Staithe Yard")
    other.close()

    tablet.go_back()
    expect(name).to_have_value("Staithe Yard")
    expect(currency).to_have_value("EUR")
