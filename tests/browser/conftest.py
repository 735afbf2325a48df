"""A live studio on a free port of this machine, and Debian's Chromium looking at it."""

from __future__ import annotations

import asyncio
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from starlette.types import ASGIApp, Receive, Scope, Send

from skeinwright.services.studio import Studio
from skeinwright.store.store import Store
from skeinwright.web.app import create_app

CHROMIUM = Path(os.environ.get("SKEINWRIGHT_CHROMIUM", "/usr/bin/chromium"))
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"]
LATE_S = float(os.environ.get("SKEINWRIGHT_LATE", "0"))
"""Seconds by which scripts and answers to scripts come late: with 0.5, a test that acts before they are there shows itself."""
WIDTHS = {360: 740, 800: 1100, 1400: 900}
"""Phone, tablet and laptop: width and height of the window in CSS pixels."""

UNSEEN_UNTIL_WIRED = """
if (matchMedia("(scripting: enabled)").matches) {
  const unseen = new CSSStyleSheet();
  unseen.replaceSync(":root { visibility: hidden }");
  document.adoptedStyleSheets = [unseen];
  document.addEventListener("DOMContentLoaded", () => (document.adoptedStyleSheets = []));
}"""
"""A person sees a page before she acts on it; these hands are faster than its scripts, so they see it when the scripts have come."""

expect.set_options(timeout=30_000)  # as long as the browser's own waits: a machine that is busy drawing fails no test


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Marks these tests, and leaves them out where there is no Chromium on a person's own machine; a build machine must have it."""
    missing = not CHROMIUM.exists() and not os.environ.get("CI")
    for item in items:
        if Path(__file__).parent in Path(str(item.fspath)).parents:
            item.add_marker(pytest.mark.browser)
            if missing:
                item.add_marker(pytest.mark.skip(reason=f"there is no {CHROMIUM}"))


@dataclass(frozen=True, slots=True)
class Live:
    """A running studio: where it is reached, and the studio itself to look into."""

    url: str
    studio: Studio


@contextmanager
def serving(path: Path) -> Iterator[Live]:
    """A studio file at `path`, served in a thread on a free port until the block ends."""
    import uvicorn

    store = Store.open(path)
    studio = Studio(path, store, path.parent / "photos", datetime.now)
    app = create_app(studio)
    server = uvicorn.Server(uvicorn.Config(_late(app) if LATE_S else app, host="127.0.0.1", port=0, log_level="error", ws="none", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    deadline = time.monotonic() + 60
    while not server.started and time.monotonic() < deadline:
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    try:
        yield Live(f"http://127.0.0.1:{port}", studio)
    finally:
        server.should_exit = True
        thread.join(10)
        store.close()


def _late(app: ASGIApp) -> ASGIApp:
    """The same app; what a script is, or asks for, comes late."""

    async def late(scope: Scope, receive: Receive, send: Send) -> None:
        asked_by_script = any(name.startswith(b"hx-request") for name, _ in scope.get("headers", ()))
        if asked_by_script or scope.get("path", "").endswith(".js"):
            await asyncio.sleep(LATE_S)
        await app(scope, receive, send)

    return late


@pytest.fixture
def live(tmp_path: Path) -> Iterator[Live]:
    """A new, empty studio that is being served."""
    with serving(tmp_path / "studio.skeinwright") as running:
        yield running


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=QUIET)
        browser.on("context", lambda context: context.add_init_script(UNSEEN_UNTIL_WIRED))
        yield browser
        browser.close()


@pytest.fixture(params=WIDTHS, ids=[f"{width}px" for width in WIDTHS])
def page(request: pytest.FixtureRequest, chromium: Browser, live: Live) -> Iterator[Page]:
    """A page at each of the three widths; a script error or a refusal of the content policy fails the test."""
    yield from _page(chromium, live, request.param)


@pytest.fixture
def tablet(chromium: Browser, live: Live) -> Iterator[Page]:
    """A page at 800 px, for what does not depend on the width."""
    yield from _page(chromium, live, 800)


@pytest.fixture
def phone(chromium: Browser, live: Live) -> Iterator[Page]:
    """A phone that is touched: 360 px wide, three pixels in one of them."""
    yield from _page(chromium, live, 360, has_touch=True, is_mobile=True, device_scale_factor=3)


def _page(chromium: Browser, live: Live, width: int, **more: Any) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": width, "height": WIDTHS[width]}, base_url=live.url, **more)
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    page.on("console", lambda said: problems.append(said.text) if said.type == "error" and "the server responded with a status of 4" not in said.text else None)
    yield page
    context.close()
    assert not problems, problems


@pytest.fixture
def looks_right() -> Callable[[Page], None]:
    """Asserts what must hold of any page: nothing wider than the window, every target large enough, and axe finds nothing."""
    return check_page


def check_page(page: Page) -> None:
    """The same as a function."""
    from axe_playwright_python.sync_playwright import Axe

    page.wait_for_load_state("load")
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), f"{page.url} is wider than the window: {page.evaluate(STICKING_OUT)}"
    small = page.evaluate(SMALL_TARGETS)
    assert not small, f"{page.url}: {small}"
    found = Axe().run(page)
    assert found.violations_count == 0, f"{page.url}\n{found.generate_report()}"


STICKING_OUT = """() => [...document.querySelectorAll("body *")]
  .filter((one) => one.getBoundingClientRect().right > window.innerWidth + 1).slice(0, 5).map((one) => one.outerHTML.slice(0, 120))"""
TARGETS = "button, .button, input:not([type=hidden]):not([type=radio]), select, summary, .choices label, .screens a, .drawers a"
SMALL_TARGETS = (
    f"() => [...document.querySelectorAll('{TARGETS}')]"
    + """
  .filter((one) => one.checkVisibility())
  .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 43.5)
  .map(([html, box]) => `${html} is ${Math.round(box.width)} x ${Math.round(box.height)}`)"""
)
