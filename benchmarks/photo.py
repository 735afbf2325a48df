"""A photograph of 12 million pixels read, flattened and evened, and a whole measurement: time and peak memory, beside a plain scikit-image pipeline.

    .venv/bin/python benchmarks/photo.py        prints the table and writes docs/proof/photo_speed.md

The peer (scikit-image, only for this benchmark; its row is left out where it is not installed) is given the corners of the marks, and does the plain things:
decode, projective warp at 8 px/mm, linear light, a quadratic through bright pixels, divided out.
Each row is a process of its own, and the rows are run three times in turn; time is the best of a process's three and of its turns, memory the highest peak.
What both make of the page is compared before anything is timed.
"""

from __future__ import annotations

import importlib.util
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
WIDTH_PX = 4000
GOAL_S, GOAL_MB = 3.5, 600.0
TURNS = 3
REPORT = ROOT / "docs" / "proof" / "photo_speed.md"
FLAT, PEER, WHOLE = "ours: read, sheet found, flattened, evened", "peer: scikit-image, the same, corners given", "ours: the whole measurement with a card"
BARE = "peer: Pillow decodes the file and no more"


def make(path: Path) -> None:
    """The photograph: 4000 x 3000, a speckled skein and a card."""
    sys.path.insert(0, str(ROOT / "proofs"))
    from synthetic_photo import Shot, skein_scene, take

    taken = take(skein_scene(4, specks=3), Shot(width_px=WIDTH_PX, distortion=0.01))
    path.write_bytes(taken.data)
    path.with_suffix(".csv").write_text(taken.reference_csv, encoding="utf-8")


def ours_flat(path: Path) -> Any:
    """Opened, found, flattened, evened."""
    import cv2

    from skeinwright.core.measure.find import Found, find_sheet
    from skeinwright.core.measure.flatten import flatten
    from skeinwright.core.measure.light import Light, even, light_on
    from skeinwright.core.measure.sheet import Box
    from skeinwright.files.photos import open_photo

    photo = open_photo(path.read_bytes())
    found = find_sheet(cv2.cvtColor(photo.pixels, cv2.COLOR_RGB2GRAY))
    assert isinstance(found, Found)
    flat = flatten(photo.pixels, found)
    light = light_on(flat, found.sheet)
    assert isinstance(light, Light)
    return even(flat, light, Box(0, 0, found.sheet.width_mm, found.sheet.height_mm))


def ours_whole(path: Path) -> None:
    """The whole measurement with a card of 24 patches, as the command does it."""
    from skeinwright.services.measure_photo import MeasurePhoto, measure_photo

    found = measure_photo(MeasurePhoto(photo=path.read_bytes(), reference=path.with_suffix(".csv").read_text(encoding="utf-8")))
    assert found.verdict == "accept", found.messages


def peer_flat(path: Path) -> Any:
    """scikit-image in the plain way, at 8 px/mm, with the corners given."""
    import json

    import numpy as np
    from skimage import io, transform

    picture = io.imread(path)
    given = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    shape = (round(given["height_mm"] * 8), round(given["width_mm"] * 8))
    projection = transform.ProjectiveTransform.from_estimate(np.array(given["page"]) * 8, np.array(given["px"]))
    flat = transform.warp(picture, projection, output_shape=shape, order=1)
    linear = np.where(flat <= 0.04045, flat / 12.92, ((flat + 0.055) / 1.055) ** 2.4)
    y, x = np.mgrid[-1 : 1 : complex(0, shape[0]), -1 : 1 : complex(0, shape[1])]
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    bright = linear.mean(axis=2) > 0.6 * np.quantile(linear.mean(axis=2), 0.95)
    some = np.flatnonzero(bright.ravel())[::50]
    for channel in range(3):
        fit = np.linalg.lstsq(terms.reshape(-1, 6)[some], np.log(linear[..., channel].ravel()[some]), rcond=None)[0]
        linear[..., channel] /= np.exp(terms @ fit)
    return linear


def bare(path: Path) -> None:
    """What no pipeline can be quicker than, in this library."""
    from PIL import Image

    with Image.open(path) as picture:
        picture.load()


ROWS: dict[str, Callable[[Path], Any]] = {BARE: bare, FLAT: ours_flat, PEER: peer_flat, WHOLE: ours_whole}


def is_peer_there() -> bool:
    """True where scikit-image is installed."""
    return importlib.util.find_spec("skimage") is not None


def compare(path: Path) -> None:
    """Both pipelines do the same work: the middle of the window differs by little (the peer knows no lens, and stretches nothing)."""
    import numpy as np

    ours, peer = ours_flat(path), peer_flat(path)
    middle = (slice(600, 1000), slice(900, 1500))
    print(f"{float(np.median(np.abs(ours[middle] - peer[middle]))):.4f}")


def give_corners(path: Path) -> None:
    """What the peer is given: the corners of the marks."""
    import json

    import cv2
    import numpy as np

    from skeinwright.core.measure.find import Found, find_sheet

    found = find_sheet(cv2.imread(str(path), cv2.IMREAD_GRAYSCALE))
    assert isinstance(found, Found)
    page = np.array([found.sheet.corners_mm(mark) for mark in found.ids]).reshape(-1, 2)
    given = {"page": page.tolist(), "px": found.corners_px.reshape(-1, 2).tolist(), "width_mm": found.sheet.width_mm, "height_mm": found.sheet.height_mm}
    path.with_suffix(".json").write_text(json.dumps(given), encoding="utf-8")


def one(name: str, path: Path) -> None:
    """Run one row in this process and print seconds and megabytes."""
    taken, spent = [], []
    for _ in range(3):
        begun, worked = time.perf_counter(), time.process_time()
        ROWS[name](path)
        taken.append(time.perf_counter() - begun)
        spent.append(time.process_time() - worked)
    print(f"{min(taken):.2f} {min(spent):.2f} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f}")


def main(arguments: list[str]) -> int:
    """Print the table, or (with --make, --corners, --compare, --row) do one piece of it in a process of its own."""
    pieces: dict[str, Callable[[Path], None]] = {"--make": make, "--corners": give_corners, "--compare": compare}
    if arguments[:1] == ["--row"]:
        one(arguments[1], Path(arguments[2]))
        return 0
    if arguments and arguments[0] in pieces:
        pieces[arguments[0]](Path(arguments[1]))
        return 0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        for step in ("--make", "--corners"):
            _run(step, str(path))
        apart = _run("--compare", str(path)).strip() if is_peer_there() else ""
        text = _page(_timed(path), apart)
    print(text)
    REPORT.write_text(text, encoding="utf-8")
    return 0


def _run(*arguments: str) -> str:
    return subprocess.run([sys.executable, __file__, *arguments], check=True, capture_output=True, text=True).stdout


def _timed(path: Path) -> dict[str, tuple[float, float, float]]:
    """{row: (seconds, of the processor, peak MB)}, the rows in turn."""
    found: dict[str, tuple[float, float, float]] = {}
    for _ in range(TURNS):
        for name in ROWS:
            if name == PEER and not is_peer_there():
                continue
            seconds, worked, peak = (float(value) for value in _run("--row", name, str(path)).split())
            before = found.get(name, (seconds, worked, peak))
            found[name] = (min(before[0], seconds), min(before[1], worked), max(before[2], peak))
    return found


def _page(found: dict[str, tuple[float, float, float]], apart: str) -> str:
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.strip() or "not known"
    seconds, _, peak = found[WHOLE]
    met = "met" if seconds <= GOAL_S and peak <= GOAL_MB else "missed"
    lines = [
        "# How fast a photograph is read",
        "",
        f"Made by `benchmarks/photo.py` on {date.today().isoformat()} at or after commit {commit}: {platform.system()} {platform.machine()}, "
        f"Python {platform.python_version()}, {os.cpu_count()} cores. Other work ran on the machine (load {os.getloadavg()[0]:.1f}): a quiet one is quicker.",
        "",
        f"A synthetic JPEG of {WIDTH_PX} x {WIDTH_PX * 3 // 4} pixels: a speckled skein, a card of 24 patches, a lens. Every row in processes of its own, "
        f"in turn, {TURNS} times; the best time, the highest peak of memory (libraries with it).",
        "",
        "| what | seconds | of the processor | peak, MB |",
        "|---|---:|---:|---:|",
        *(f"| {name} | {row[0]:.2f} | {row[1]:.2f} | {row[2]:.0f} |" for name, row in found.items()),
        "",
        f"Goal for the whole measurement: {GOAL_S} s and {GOAL_MB:.0f} MB; {met}.",
    ]
    if PEER in found:
        ours, peer = found[FLAT], found[PEER]
        lines += [
            f"Against scikit-image the same work takes 1/{peer[0] / ours[0]:.1f} of the time (1/{peer[1] / ours[1]:.1f} of the processor's) "
            f"and 1/{peer[2] / ours[2]:.1f} of the memory; the peer is given the corners and works in double precision.",
            f"The two flat pictures differ by {apart} of paper white in the middle of the window (median).",
        ]
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
