"""The proofs about photographs as modules, so that tests may run a part of them.

Their folder never comes onto the path: a file there may bear a library's name.
"""

from __future__ import annotations

import importlib.util
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import numpy as np
from PIL import Image

PROOFS = Path(__file__).parents[1] / "proofs"


def proof(name: str) -> ModuleType:
    """A module of the proofs' folder, once."""
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, PROOFS / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


synthetic = proof("synthetic_photo")


@cache
def speckled():
    """One photograph of a speckled skein, taken well, with its card."""
    return synthetic.take(synthetic.skein_scene(4, specks=2), synthetic.Shot(width_px=2150, blur_px=0.5, seed=4, camera=2))


@cache
def swatches():
    """One photograph of five swatches, no card."""
    return synthetic.take(synthetic.ladder_scene(2, 5, card=False), synthetic.Shot(width_px=2150, blur_px=0.5, seed=2, noise=0.004))


def pixels(taken) -> np.ndarray:
    """The upright pixels of a photograph's file."""
    import io

    return np.array(Image.open(io.BytesIO(taken.data)).convert("RGB"))
