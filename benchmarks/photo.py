"""A photograph of 12 million pixels read, flattened and evened, and a whole measurement: time and peak memory, beside a plain scikit-image pipeline.

    .venv/bin/python benchmarks/photo.py

The peer (scikit-image, only for this benchmark; its row is left out where it is not installed) is given the corners of the marks, and does the plain things:
decode, projective warp at 8 px/mm, linear light, a quadratic through bright pixels, divided out.
Each row is a process of its own; time is the best of three in it, memory the process's peak.
"""

from __future__ import annotations

import importlib.util
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]
WIDTH_PX = 4000
GOAL_S, GOAL_MB = 3.5, 600.0


def make(path: Path) -> None:
    """The photograph: 4000 x 3000, a speckled skein and a card."""
    sys.path.insert(0, str(ROOT / "proofs"))
    from synthetic_photo import Shot, skein_scene, take

    taken = take(skein_scene(4, specks=3), Shot(width_px=WIDTH_PX, distortion=0.01))
    path.write_bytes(taken.data)
    path.with_suffix(".csv").write_text(taken.reference_csv, encoding="utf-8")


def ours_flat(path: Path) -> None:
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
    even(flat, light, Box(0, 0, found.sheet.width_mm, found.sheet.height_mm))


def ours_whole(path: Path) -> None:
    """The whole measurement with a card of 24 patches, as the command does it."""
    from skeinwright.services.measure_photo import MeasurePhoto, measure_photo

    found = measure_photo(MeasurePhoto(photo=path.read_bytes(), reference=path.with_suffix(".csv").read_text(encoding="utf-8")))
    assert found.verdict == "accept", found.messages


def peer_flat(path: Path) -> None:
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


ROWS: dict[str, Callable[[Path], None]] = {
    "ours, read, flattened, evened": ours_flat,
    "scikit-image (peer), the same, corners given": peer_flat,
    "ours, the whole measurement with a card": ours_whole,
}


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
    """Print the table, or (with --make, --corners, --row) do one piece of it in a process of its own."""
    if arguments[:1] == ["--make"]:
        make(Path(arguments[1]))
        return 0
    if arguments[:1] == ["--corners"]:
        give_corners(Path(arguments[1]))
        return 0
    if arguments[:1] == ["--row"]:
        one(arguments[1], Path(arguments[2]))
        return 0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        for step in ("--make", "--corners"):
            subprocess.run([sys.executable, __file__, step, str(path)], check=True)
        print(f"| {WIDTH_PX} x {WIDTH_PX * 3 // 4} | seconds | of processor | peak MB |\n|---|---|---|---|")
        for name in ROWS:
            if name.startswith("scikit") and importlib.util.find_spec("skimage") is None:
                print(f"| {name} | not installed | | |")
                continue
            done = subprocess.run([sys.executable, __file__, "--row", name, str(path)], check=True, capture_output=True, text=True)
            seconds, worked, peak = done.stdout.split()
            print(f"| {name} | {seconds} | {worked} | {peak} |")
    print(f"\nGoal for the whole: {GOAL_S} s and {GOAL_MB:.0f} MB.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
