"""Times one change in the colourway editor: the forecast's answer, the new picture, and in a real browser the pot's line after a key. Prints a table
(median and worst of twenty, after the first), the pot's loops compiled, as they are a few seconds after the studio has started.

python benchmarks/live_forecast.py
"""

from __future__ import annotations

import re
import tempfile
import threading
import time
import warnings
from datetime import datetime
from pathlib import Path
from statistics import median
from time import perf_counter

from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio
from skeinwright.services.warm_pots import warm_pots
from skeinwright.store.store import Store
from skeinwright.web.app import create_app

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the client library that Starlette's test client uses will change
    from starlette.testclient import TestClient

HOME = "http://127.0.0.1"
BATH = {
    "name": "Bench", "fibre": "200 g", "vessel": "Big pot", "water": "Staithe mains", "bases": ["Quay Sock", "Heron Two", "Fen Single", "Lantern DK"],
    "do.0": "soak", "s.0.time": "30 min", "do.1": "fill", "s.1.volume": "30:1", "do.2": "add dye", "do.3": "lay in",
    "do.4": "heat", "s.4.to": "60 C", "do.5": "add acid", "s.5.acid": "Vinegar 5 %", "s.5.amount": "to pH 4.5", "do.6": "heat", "s.6.to": "88 C",
    "do.7": "hold", "s.7.time": "30 min", "do.8": "rinse", "do.9": "hang",
}  # fmt: skip


def main() -> None:
    """Prints the table."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "studio.skeinwright"
        studio = Studio(path, Store.open(path), Path(folder) / "photos", datetime.now)
        set_up_studio(studio, demo=True)
        warm_pots()
        with TestClient(create_app(studio), base_url=HOME) as client:
            client.get("/settings")
            answers, pictures = zip(*(_one(client, number) for number in range(21)), strict=True)
        in_browser = _browser(studio)
        studio.store.close()
    print(f"{'first answer':34s} {answers[0]:8.1f} ms")
    print(f"{'first picture (its light is made)':34s} {pictures[0]:8.1f} ms")
    both = [sum(pair) for pair in zip(answers, pictures, strict=True)]
    for name, times in (("answer, four bases", answers[1:]), ("picture, 900 x 600", pictures[1:]), ("both", both[1:])):
        print(f"{name:34s} {median(times):8.1f} ms, worst {max(times):.1f} ms")
    for name, found in in_browser.items():
        print(f"{name:34s} {median(found):8.1f} ms, worst {max(found):.1f} ms")


def _one(client: TestClient, number: int) -> tuple[float, float]:
    """(milliseconds for the answer, for the picture that it names) of one changed depth."""
    said = BATH | {"s.2.recipe": f"Kelp {0.5 + 0.05 * number:.2f} %, Inkcap 0.25 %", "csrf_token": client.cookies["skeinwright_csrf"]}
    start = perf_counter()
    answer = client.post("/colourways/forecast", data=said, headers={"origin": HOME})
    middle = perf_counter()
    found = re.search(r'<img src="(/pictures/skein[^"]+)"', answer.text)
    assert found is not None
    client.get(found[1].replace("&amp;", "&")).raise_for_status()
    return 1000 * (middle - start), 1000 * (perf_counter() - middle)


WATCH = """() => { window.took = []; window.since = 0;
  document.addEventListener("input", () => { window.since = performance.now(); }, true);
  new MutationObserver(() => { if (window.since) { window.took.push(performance.now() - window.since); window.since = 0; } })
    .observe(document.getElementById("pot-chart"), { childList: true, subtree: true }); }"""
FIELDS = {
    "browser: depth by key to new line": ("[name^='s.2.']", "ArrowUp"),
    "browser: heat-to by key to new line": ("[name='s.6.to']", "ArrowDown"),
    "browser: slider of acid to new line": ("#what-acid", "ArrowRight"),
    "browser: slider of heat to new line": ("#what-hotter", "ArrowLeft"),
}


def _browser(studio: Studio) -> dict[str, list[float]]:
    """Milliseconds from the input event of a key to the new line in the page, by field; nothing where there is no Chromium. Keys come a second apart."""
    import uvicorn
    from playwright.sync_api import expect, sync_playwright

    if not Path("/usr/bin/chromium").exists():
        return {}
    server = uvicorn.Server(uvicorn.Config(create_app(studio), host="127.0.0.1", port=0, log_level="error", ws="none", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    home, found = f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}", {}
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1400, "height": 900}, base_url=home)
        page.goto("/colourways/new")
        expect(page.locator("#pot-said")).to_contain_text("pH in the pot", timeout=60_000)
        page.get_by_text("What if, or a pH that you read").click()
        page.evaluate(WATCH)
        for name, (field, key) in FIELDS.items():
            page.locator(field).first.focus()
            for _ in range(20):
                page.keyboard.press(key)
                page.wait_for_timeout(1000)
            found[name] = page.evaluate("window.took.splice(0)")
        browser.close()
    server.should_exit = True
    thread.join(10)
    return found


if __name__ == "__main__":
    main()
