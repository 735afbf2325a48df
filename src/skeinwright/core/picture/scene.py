"""A view of yarn apart from its colour, kept sub-pixel by sub-pixel: how much light falls there, and which place on which strand is seen.

Made once for a base's geometry; then any skein map colours it in milliseconds. The formula of colour in light is that of `light`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.spaces import srgb_to_linear
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.light import BRIGHT, MAT, SHADE_SATURATION, Floats, Light, Pixels, encode_table
from skeinwright.core.picture.strands import Placed

Words = NDArray[np.uint16]
LEVELS, CODES = 512, 1024
TOP_LIGHT = 2.4
"""Light before exposure at the highest level."""
BARE = 65535


@dataclass(frozen=True, slots=True, eq=False)
class Hairs:
    """Loose fibres, sub-pixel by sub-pixel, in order: row r has those from start[r] to start[r + 1]."""

    start: NDArray[np.int32]
    at: Words
    cover: NDArray[np.uint8]
    level: Words
    strand: Words
    step: Words


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Where each drawn strand comes from, one entry a strand.

    kind "loop": it lies in the skein: row (0-1 across the skein), face (0 above - 1 below), share of the loop = start + rate x step.
    kind "run": it is unwound yarn: running length = start + rate x step, in mm.
    """

    kind: Literal["loop", "run"]
    start: NDArray[np.float64]
    rate: NDArray[np.float64]
    row: NDArray[np.float64]
    face: NDArray[np.float64]
    steps: int

    @property
    def count(self) -> int:
        return len(self.start)


def drawn_of(kind: Literal["loop", "run"], parts: Sequence[Placed], longest_px: float) -> Drawn:
    """The table of strands that are drawn together, in the order in which `strands.join` numbers them; they are at most `longest_px` long."""
    tables = [part.tables() for part in parts]
    start, rate, row, face = (np.concatenate([table[k] for table in tables]).astype(np.float64) for k in range(4))
    longest = max((float(part.centres.length.max(initial=0.0)) for part in parts), default=0.0)
    return Drawn(kind, start, rate, row, face, min(65534, int(min(longest, longest_px)) + 2))


@dataclass(frozen=True, eq=False)
class Scene:
    """level, strand, step: (2 height, 2 width); tones: (LEVELS,) light of each level; weights: how much yarn has it; mat and gloss: (height, width)."""

    level: Words
    strand: Words
    step: Words
    hairs: Hairs
    tones: NDArray[np.float64]
    weights: NDArray[np.float64]
    mat: Floats
    gloss: Floats
    drawn: Drawn
    px_per_mm: float
    _kept: dict[str, Floats] = field(default_factory=dict)

    @property
    def shape(self) -> tuple[int, int]:
        return self.level.shape[0] // 2, self.level.shape[1] // 2

    @property
    def seen(self) -> Floats:
        """(LEVELS, CODES) light of a channel for a level and a code of its reflectance: code = 1023 sqrt(c). The mean over the yarn stays c x mean light."""
        if "seen" not in self._kept:
            self._kept["seen"] = _seen(self.tones, self.weights)
        return self._kept["seen"]

    @property
    def light(self) -> Light:
        """Light, coverage and mat of each pixel, for pictures in one colour."""
        from skeinwright.core.picture.banded import banded
        from skeinwright.core.picture.kernels import light_band

        height, width = self.shape
        shade, alpha = np.empty((height, width), dtype=np.float32), np.empty((height, width), dtype=np.float32)
        tones, h = self.tones.astype(np.float32), self.hairs
        banded(height, lambda a, b: light_band(a, b, self.level, self.strand, h.start, h.at, h.cover, h.level, tones, shade, alpha))
        return Light(shade, alpha, self.mat)


def exposure(weights: NDArray[np.float64], *, mean: float) -> NDArray[np.float64]:
    """Light as a camera would set it, for each level: s^0.88, highlights above 0.9 held by a soft shoulder, mean of the yarn at `mean`."""
    raw = np.maximum(np.arange(LEVELS) / (LEVELS - 1) * TOP_LIGHT, 0.0) ** 0.88
    total = max(float(weights.sum()), 1e-9)
    if float(raw @ weights) <= 0.0:
        return raw
    raw *= mean * total / float(raw @ weights)
    over = np.maximum(raw - 0.9, 0.0)
    held = np.minimum(raw, 0.9) + over / (1.0 + over / 1.5)
    out: NDArray[np.float64] = held * (mean * total / float(held @ weights))
    return out


def _seen(tones: NDArray[np.float64], weights: NDArray[np.float64]) -> Floats:
    c = np.maximum((np.arange(CODES) / (CODES - 1)) ** 2, 1e-4)
    seen: Floats = np.zeros((LEVELS, CODES), dtype=np.float32)
    used = int(np.flatnonzero(weights)[-1]) + 1 if weights.any() else 1
    tones, weights = tones[:used], weights[:used]  # nothing is lighter, so what is lighter need not be known
    depth = SHADE_SATURATION * np.maximum(0.0, 1.0 - tones / BRIGHT)
    lit = np.exp(depth[:, None].astype(np.float32) * np.log(c)[None, :].astype(np.float32)) * (tones[:, None] * c[None, :]).astype(np.float32)
    share = weights / max(float(weights.sum()), 1e-9)
    lit *= (c * float(share @ tones) / np.maximum(share @ lit, 1e-12)).astype(np.float32)[None, :]
    over = np.maximum(lit - np.float32(0.9), np.float32(0.0))
    seen[:used] = np.minimum(lit, np.float32(0.9)) + over / (1.0 + over * np.float32(10.0))
    return seen


def paint_scene(scene: Scene, strand_colours: Floats, *, mat: int = MAT) -> Pixels:
    """The picture (height, width, 3) uint8 sRGB of strands with linear sRGB colours (strands, steps, 3), 0-1, on a neutral mat of that sRGB grey."""
    from skeinwright.core.picture.banded import banded
    from skeinwright.core.picture.kernels import colour_band

    if strand_colours.ndim != 3 or strand_colours.shape[0] < scene.drawn.count or strand_colours.shape[2] != 3:
        raise BadInput("Every strand of the picture needs its colours.", where="colours")
    codes = np.sqrt(np.clip(strand_colours, 0.0, 1.0))
    codes *= np.float32(CODES - 1)
    codes += np.float32(0.5)
    whole = codes.astype(np.uint16)
    ground = (np.float32(float(srgb_to_linear(np.array(mat / 255.0)))) * scene.mat).astype(np.float32)
    out = np.empty((*scene.shape, 3), dtype=np.uint8)
    h, seen, encode = scene.hairs, scene.seen, encode_table()
    banded(
        scene.shape[0],
        lambda a, b: colour_band(
            a, b, scene.level, scene.strand, scene.step, h.start, h.at, h.cover, h.level, h.strand, h.step, whole, seen, ground, scene.gloss, encode, out
        ),
    )
    return out
