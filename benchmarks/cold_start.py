"""How long a start takes: a bare Python as the peer, then the commands, then the studio until its first page has been read.

Run it with the set-up Python: `.venv/bin/python benchmarks/cold_start.py`. Each row is the median of several runs, taken in turns; the first is not counted.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

RUNS = 7
AMOUNTS = ["-m", "skeinwright", "amounts", "--fibre", "300 g", "--depth", "3 %", "--json"]
BATH = ["-m", "skeinwright", "bath", "--water", "4 L", "--vinegar", "15 ml", "--json"]
ROWS = {"python -c pass (peer)": ["-c", "pass"], "python -c 'import typer' (peer)": ["-c", "import typer"], "amounts": AMOUNTS, "bath": BATH}


def environment() -> dict[str, str]:
    """Compiled files may be written, because a start without them is not what people see."""
    return {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def seconds(arguments: list[str]) -> float:
    """The time of one run to its end."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, env=environment())
    return time.perf_counter() - begun


def free_port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def seconds_to_first_page(studio: Path) -> float:
    """From starting the program to the last byte of its first page."""
    port = free_port()
    begun = time.perf_counter()
    command = [sys.executable, "-m", "skeinwright", "open", "--no-browser", "--port", str(port), "--studio", str(studio)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment())
    try:
        while server.poll() is None and time.perf_counter() - begun < 60:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10) as page:
                    page.read()
                    return time.perf_counter() - begun
            except (urllib.error.URLError, ConnectionError):
                time.sleep(0.01)
        raise SystemExit("The studio did not answer.")
    finally:
        server.terminate()
        server.wait()


def measure() -> dict[str, list[float]]:
    """All rows, in turns, so that a busy moment falls on all of them."""
    found: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        studio = Path(folder) / "studio.skeinwright"
        for turn in range(RUNS + 1):
            for name, arguments in ROWS.items():
                taken = seconds(arguments)
                if turn:
                    found.setdefault(name, []).append(taken)
            taken = seconds_to_first_page(studio)
            if turn:
                found.setdefault("open, to the first page (studio file exists)", []).append(taken)
    return found


def main() -> None:
    """Print the table."""
    print("| start | median ms | fastest | slowest |\n|---|---|---|---|")
    for name, taken in measure().items():
        low, middle, high = (round(1000 * value) for value in (min(taken), statistics.median(taken), max(taken)))
        print(f"| {name} | {middle} | {low} | {high} |")


if __name__ == "__main__":
    main()
