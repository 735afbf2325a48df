"""How quick the pages are in a full studio: 2,000 lots and 200 colourways, over HTTP on this machine, with peers side by side.

`.venv/bin/python benchmarks/pages.py` prints the table and writes docs/proof/benchmarks.md. Rows are timed in turns, so that a busy moment falls on all.
"""

from __future__ import annotations

import dataclasses
import os
import platform
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[1]
REPORT = ROOT / "docs" / "proof" / "benchmarks.md"
LOTS, COLOURWAYS, ROUNDS, STARTS = 2000, 200, 15, 5
BARE = """
import sys
import uvicorn
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
app = Starlette(routes=[Route("/", lambda request: PlainTextResponse("ok"))])
uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="error", ws="none", lifespan="off")
"""


def fill(path: Path) -> None:
    """An invented studio grown large: the demo's colourways and lots of them, written by the store in a few transactions."""
    from skeinwright.services.get_lot import get_lot
    from skeinwright.services.set_up_studio import set_up_studio
    from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
    from skeinwright.services.studio import Studio
    from skeinwright.store.store import Store

    begun = date(2021, 1, 4)
    studio = Studio(path, Store.open(path), path.parent / "photos", lambda: datetime.now(UTC))
    set_up_studio(studio, demo=True)
    rows = (RowWanted(base="Quay Sock", skeins=2, vessel="Big pot", mark="2 ties"),)
    pattern = get_lot(studio, start_lot(studio, StartLot(colourway="Low Tide", rows=rows)).code).lot
    with studio.store.writing() as writing:
        written = [kept.thing for kept in writing.colourways()]
        for number in range(COLOURWAYS - len(written)):
            thing = written[number % len(written)]
            writing.add_colourway(dataclasses.replace(thing, name=f"{thing.name} {number + 2}"), now=studio.now())
        for number in range(LOTS - 1):
            day = begun + timedelta(days=number // 2)
            code = f"{day:%Y-%m-%d}-{'AB'[number % 2]}"
            writing.add_lot(dataclasses.replace(pattern, code=code, day=day, title=f"Low Tide {number}", key=""))
    studio.store.close()


def free_port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def read(url: str) -> bytes:
    """The whole answer; raises where it is not a page."""
    with urllib.request.urlopen(url, timeout=60) as answer:
        return bytes(answer.read())


@contextmanager
def started(command: Callable[[int], list[str]]) -> Iterator[tuple[str, float]]:
    """A server and the milliseconds from its start to the last byte of its first page."""
    port = free_port()
    begun = time.perf_counter()
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    server = subprocess.Popen([sys.executable, *command(port)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment)
    try:
        while server.poll() is None and time.perf_counter() - begun < 90:
            try:
                read(f"http://127.0.0.1:{port}/")
                break
            except (OSError, ConnectionError):
                time.sleep(0.01)
        else:
            raise SystemExit("The server did not answer.")
        yield f"http://127.0.0.1:{port}", 1000 * (time.perf_counter() - begun)
    finally:
        server.terminate()
        server.wait()


def studio_command(path: Path) -> Callable[[int], list[str]]:
    """How the studio is started on a port."""
    return lambda port: ["-m", "skeinwright", "open", "--no-browser", "--port", str(port), "--studio", str(path)]


def timed(act: Callable[[], object]) -> float:
    """Milliseconds of one act."""
    begun = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - begun)


def run(*arguments: str) -> None:
    """One Python process from cold to its end."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, env=environment)


def starts(path: Path) -> dict[str, list[float]]:
    """Starts from cold, in turns; the first turn is not counted."""
    found: dict[str, list[float]] = {}
    rows: dict[str, Callable[[], float]] = {
        "peer: `python -c pass`": lambda: timed(lambda: run("-c", "pass")),
        "`amounts` from cold": lambda: timed(lambda: run("-m", "skeinwright", "amounts", "--fibre", "300 g", "--depth", "3 %", "--json")),
        "peer: a bare starlette page, start to first page": lambda: _first_page(lambda port: ["-c", BARE, str(port)]),
        "the studio, start to first page": lambda: _first_page(studio_command(path)),
    }
    for turn in range(STARTS + 1):
        for name, act in rows.items():
            taken = act()
            if turn:
                found.setdefault(name, []).append(taken)
    return found


def _first_page(command: Callable[[int], list[str]]) -> float:
    with started(command) as (_, taken):
        return taken


def pages(path: Path) -> dict[str, list[float]]:
    """Every page in turns, from one running studio, beside a bare page of the same server program; the first turn is not counted."""
    found: dict[str, list[float]] = {}
    with started(studio_command(path)) as (home, _), started(lambda port: ["-c", BARE, str(port)]) as (bare, _):
        code = re.findall(r'href="/lots/(\d{4}-[^"?]+)"', read(f"{home}/lots").decode())[0]
        shown = {
            "Today": "/", "Shelf: dyes": "/shelf/dyes", "Shelf: bases": "/shelf/bases", "a dye's swatches": "/shelf/dye/1/swatches",
            "Colourways, all 200": "/colourways", "Colourways, a search": "/colourways?q=tide", "a colourway's editor": "/colourways/2",
            "Lots": "/lots", "Lots, a search": "/lots?q=1999", "Lots, far back": "/lots?offset=1500", "Start a lot": "/lots/new?colourway=2",
            "a lot sheet": f"/lots/{code}", "a pot slip (PDF)": f"/lots/{code}/slip.pdf", "Settings": "/settings",
            "a small skein, drawn before": "/pictures/colourway/2.png",
        }  # fmt: skip
        rows = {"peer: a bare starlette page": bare + "/"} | {name: home + url for name, url in shown.items()}
        for turn in range(ROUNDS + 1):
            for name, url in rows.items():
                taken = timed(lambda url=url: read(url))  # type: ignore[misc]
                if turn:
                    found.setdefault(name, []).append(taken)
    return found


def forecasts(path: Path) -> float:
    """Forecasts of a whole colourway (amounts, pH, colour and its spread) on one base, a second, in one process."""
    from skeinwright.services.forecast_colourway import forecast_colourway
    from skeinwright.services.get_colourway import get_colourway
    from skeinwright.services.studio import Studio
    from skeinwright.store.store import Store

    studio = Studio(path, Store.open(path), path.parent / "photos", lambda: datetime.now(UTC))
    thing = get_colourway(studio, "Low Tide").thing
    forecast_colourway(studio, thing)
    begun, count = time.perf_counter(), 0
    while time.perf_counter() - begun < 4:
        forecast_colourway(studio, dataclasses.replace(thing, fibre=f"{100 + count % 50} g"))
        count += 1
    studio.store.close()
    return count / 4


def table(found: dict[str, list[float]]) -> list[str]:
    """Rows of median and worst, in milliseconds."""
    rows = [f"| {name} | {median(times):.0f} | {max(times):.0f} |" for name, times in found.items()]
    return ["| what | median, ms | worst, ms |", "|---|---:|---:|", *rows]


def commit() -> str:
    """The commit that was measured, with a plus where files were changed since."""
    said = subprocess.run(["git", "describe", "--always", "--dirty=+"], cwd=ROOT, capture_output=True, text=True, check=False)
    return said.stdout.strip() or "no commit"


def main() -> None:
    """Measures all, prints it and writes the report."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "studio.skeinwright"
        fill(path)
        from_cold, shown, rate = starts(path), pages(path), forecasts(path)
        size_mb = path.stat().st_size / 1e6
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    lines = [
        "# Benchmarks: starting, pages, forecasts",
        "",
        f"Made by `benchmarks/pages.py` on {datetime.now(UTC):%Y-%m-%d} at commit {commit()}: {platform.system()} {platform.machine()}, "
        f"Python {platform.python_version()}, {os.cpu_count()} cores. Other work ran on the machine at the same time (load {load:.1f}): "
        "a quiet one is quicker.",
        "",
        f"The studio holds {LOTS} lots and {COLOURWAYS} colourways, grown from the invented demo ({size_mb:.0f} MB). "
        "Pages are read over HTTP from a running studio, all of the answer; peers are timed in the same turns.",
        "",
        f"## From cold, {STARTS} turns after one that is not counted",
        "",
        *table(from_cold),
        "",
        f"## Pages, {ROUNDS} turns after one that is not counted",
        "",
        *table(shown),
        "",
        "## Forecasts",
        "",
        f"{rate:.0f} whole forecasts a second in one process: the demo's Low Tide, a bath on one base, with amounts, pH, the colour and its spread, "
        "the shelf read from the file each time.",
    ]
    REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))


if __name__ == "__main__":
    main()
