"""The same drawing, written twice: compiled loops, and plain numpy (benchmarks/plain_picture.py), which shares only the strands and the constants with them."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from skeinwright.core.picture import laid_open, strand, twisted
from skeinwright.core.picture.draw import draw
from skeinwright.core.picture.look import StrandLook

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
VIEWS = {
    "laid open": (laid_open, lambda: laid_open.laid_open_scene.__wrapped__(StrandLook(4, 30.0, 1.3, 0.25), width=300, height=200)),
    "twisted": (twisted, lambda: twisted.twisted_scene.__wrapped__(StrandLook(2, 20.0, 2.0, 0.9), width=300, height=200)),
    "close up": (strand, lambda: strand.close_up_scene.__wrapped__(StrandLook(3, 25.0, 1.6, 0.5), width=300, height=200, px_per_mm=8.0)),
}


@pytest.mark.parametrize("view", VIEWS)
def test_both_draw_the_same_light(view: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Mean difference of the lights where both have yarn, of a mean light of 0.84, and the share of pixels that only one of them covers."""
    module, drawing = VIEWS[view]
    asked: list[tuple[tuple[Any, ...], dict[str, Any]]] = []

    def caught(*given: Any, **named: Any) -> Any:
        asked.append((given, named))
        return draw(*given, **named)

    monkeypatch.setattr(module, "draw", caught)
    ours = drawing().light
    given, named = asked[0]
    monkeypatch.syspath_prepend(BENCHMARKS)
    peer = importlib.import_module("plain_picture").draw_plain(*given, **named)
    both = (ours.alpha > 0.9) & (peer.alpha > 0.9)
    assert both.mean() > 0.1
    assert np.abs(ours.shade - peer.shade)[both].mean() < 0.03
    assert np.abs(ours.alpha - peer.alpha).mean() < 0.003
