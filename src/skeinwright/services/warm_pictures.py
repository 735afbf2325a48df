"""Makes pictures ready in the background: the inner loops are compiled once a machine and loaded once a start."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock

_ready = False
_lock = Lock()


def warm_pictures(tell: Callable[[int, int, str], None] | None = None) -> None:
    """Draws each view once, tiny, so that the first picture that somebody waits for is quick. `tell(done, of, what)` hears how far it is.

    Several seconds the very first time, well below one later; a second call returns at once. Fit to be run in a thread of its own.
    """
    global _ready
    with _lock:
        if _ready:
            return
        import numpy as np

        from skeinwright.core.picture.look import StrandLook
        from skeinwright.core.picture.of_map import MAP_VIEWS, View, map_scene, strand_colours
        from skeinwright.core.picture.pan import Pan
        from skeinwright.core.picture.scene import paint_scene
        from skeinwright.core.spread.yarn_path import YarnPath

        look, grey = StrandLook(), np.full((2, 4, 8, 3), 0.5, dtype=np.float32)
        pan = Pan(length_mm=500.0, width_mm=300.0, circular=False, round_mm=1500.0, breadth_mm=110.0, strands=267)
        for number, view in enumerate(MAP_VIEWS):
            if tell is not None:
                tell(number, len(MAP_VIEWS), view)
            scene = map_scene(View(view=view, width=150, height=100, pan=pan), look, 1500.0)
            paint_scene(scene, strand_colours(scene.drawn, grey, YarnPath(1500.0, 4)))
            assert scene.light.shade.shape == scene.shape
        if tell is not None:
            tell(len(MAP_VIEWS), len(MAP_VIEWS), "ready")
        _ready = True


def pictures_are_warm() -> bool:
    """True once `warm_pictures` has been through."""
    return _ready
