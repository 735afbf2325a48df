"""Times the pictures of skein maps against a plain numpy renderer of the same strands. Prints a table: wall time, best of three, and the processor's time.

python benchmarks/pictures.py
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from contact_sheet import BASES, COLOURWAYS, picture, show
from plain_picture import draw_plain

from skeinwright.core.picture import knitted, laid_open, pan, strand, twisted
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.of_map import MAP_VIEWS
from skeinwright.files.pictures import picture_bytes

SCENES = {
    "in the pan": (pan, pan.pan_scene),
    "laid open": (laid_open, laid_open.laid_open_scene),
    "twisted": (twisted, twisted.twisted_scene),
    "knitted": (knitted, knitted.knitted_scene),
    "close up": (strand, strand.close_up_scene),
}


def best_ms(work: Callable[[], object], times: int = 3) -> tuple[float, float]:
    """Least wall time of several, and the processor time of that run, in milliseconds."""
    taken = []
    for _ in range(times):
        wall, cpu = perf_counter(), process_time()
        work()
        taken.append((perf_counter() - wall, process_time() - cpu))
    wall, cpu = min(taken)
    return 1000.0 * wall, 1000.0 * cpu


def drawn_by(module: Any, work: Callable[[], object]) -> tuple[tuple[Any, ...], dict[str, Any]]:
    """What a view hands to `draw`."""
    caught: list[tuple[tuple[Any, ...], dict[str, Any]]] = []

    def catch(*given: Any, **named: Any) -> Any:
        caught.append((given, named))
        return draw(*given, **named)

    module.draw = catch
    try:
        work()
    finally:
        module.draw = draw
    return caught[0]


def main() -> None:
    """Prints the table."""
    shown = show(BASES[0], COLOURWAYS["Three shores"])
    rows: list[tuple[str, float, float]] = []
    for view in MAP_VIEWS:
        for width, height in ((600, 400), (1200, 800)):
            work = lambda view=view, w=width, h=height: picture(shown, view, width=w, height=h)  # noqa: E731
            if view in SCENES:
                module, scene = SCENES[view]

                def first(scene: Any = scene, work: Callable[[], object] = work) -> object:
                    scene.cache_clear()
                    return work()

                first()
                rows.append((f"{view}, new yarn, {width} x {height}", *best_ms(first)))
                scene.cache_clear()
                given, named = drawn_by(module, work)
                rows.append((f"{view}, its drawing alone, {width} x {height}", *best_ms(lambda g=given, n=named: draw(*g, **n))))
                rows.append((f"{view}, the same in plain numpy, {width} x {height}", *best_ms(lambda g=given, n=named: draw_plain(*g, **n), 2)))
                ours, plain = draw(*given, **named).light, draw_plain(*given, **named)
                off = np.abs(ours.shade - plain.shade)[(ours.alpha > 0.9) & (plain.alpha > 0.9)].mean()
                rows.append((f"{view}, mean difference of the two lights x 1000, {width} x {height}", 1000.0 * float(off), 0.0))
            work()
            rows.append((f"{view}, new colours, {width} x {height}", *best_ms(work)))
    rows.append(("colours of a map's cells", *best_ms(lambda: show(BASES[0], COLOURWAYS["Kettle moor"]), 2)))
    pixels = picture(shown, "twisted", width=1200, height=800)
    rows.append(("PNG bytes, 1200 x 800", *best_ms(lambda: picture_bytes(pixels))))
    print(f"{'what':68s} {'wall ms':>9s} {'cpu ms':>9s}")
    for name, wall, cpu in rows:
        print(f"{name:68s} {wall:9.1f} {cpu:9.1f}")


if __name__ == "__main__":
    main()
