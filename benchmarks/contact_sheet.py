"""Draws one sheet of every view, on three looks of base and in several colours, to out/contact_sheet.png: to be looked at.

python benchmarks/contact_sheet.py
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from skeinwright.core.colour.spaces import srgb_to_linear
from skeinwright.core.picture.ladder import ladder
from skeinwright.core.picture.light import MAT, render
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.strand import strand
from skeinwright.core.picture.views import VIEWS, view_light
from skeinwright.files.pictures import picture_bytes

LOOKS = (StrandLook(4, 30.0, 1.25, 0.25), StrandLook(2, 17.0, 1.9, 0.9), StrandLook(1, 15.0, 1.6, 0.7))
COLOURS = ("#26616f", "#d7a249", "#efe9dc", "#8f2440", "#2b2b36", "#9db36a")
WIDTH, HEIGHT = 600, 400


def main() -> None:
    """Writes the sheet."""
    colours = [tuple(float(v) for v in srgb_to_linear(np.array([int(code[k : k + 2], 16) for k in (1, 3, 5)]) / 255.0)) for code in COLOURS]
    rows = []
    for number, look in enumerate(LOOKS):
        for start, view in enumerate(VIEWS):
            light = view_light(view, look, width=WIDTH, height=HEIGHT)
            rows.append(np.concatenate([render(light, colours[(number + start + k) % len(colours)]) for k in range(3)], axis=1))
        close = [render(strand(look, width=WIDTH, height=48), colours[(number + k) % len(colours)]) for k in range(3)]
        rows.append(np.concatenate(close, axis=1))
    steps = [tuple(float(np.exp(-depth * k)) * 0.8 for k in (1.6, 0.55, 0.35)) for depth in np.geomspace(0.05, 4.0, 7)]
    rows.append(ladder(steps, width=3 * WIDTH, height=48))
    gap = np.full((6, 3 * WIDTH, 3), MAT, dtype=np.uint8)
    sheet = np.concatenate([part for row in rows for part in (row, gap)])
    out = Path("out")
    out.mkdir(exist_ok=True)
    (out / "contact_sheet.png").write_bytes(picture_bytes(sheet))
    print(out / "contact_sheet.png", sheet.shape)


if __name__ == "__main__":
    main()
