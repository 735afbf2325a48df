"""Steps with idealised edges, until the spreading of dye is computed: what is painted stays where it was put, but for a soft edge.

Each step adds dye with a weight w over the map:   dye += depth x w free / mean(w free),   depth in grams of dye per gram of the whole skein.
So grams are kept exactly. `free` is 1 where nothing is tied off. Edge widths, how much reaches the underside and the gradient's rate are assumed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.spread.skein_map import Floats, SkeinMap

Bands = Sequence[tuple[float, float]]
PAINT_EDGE_MM, POUR_EDGE_MM, DIP_EDGE_MM, TIE_EDGE_MM = 10.0, 32.0, 16.0, 5.0
"""Width over which colour fades at an edge (10-90 %) [assumed]."""
PAINT_THROUGH, POUR_THROUGH, DIP_THROUGH = 0.75, 0.55, 1.0
"""How much of what the upper side gets reaches the underside [assumed]."""
KETTLE_POINTS, KETTLE_ALONG_MM, KETTLE_ROWS = 7, 70.0, 0.22
GRADIENT_RATE = 2.2
"""Uptake over a timed withdrawal goes as 1 - exp(-k t), k T = 2.2 [assumed]."""
WHITE_GG = 0.0008
"""Dye on the fibre at which a place no longer counts as white [assumed]."""


@dataclass(frozen=True, slots=True, eq=False)
class Dyeing:
    """A skein on the way: what is on it, and which share of each place (rows, cells) is not tied off."""

    skein: SkeinMap
    free: Floats
    seed: int = 1


def begin(skein: SkeinMap, *, seed: int = 1) -> Dyeing:
    """A skein with nothing tied off."""
    return Dyeing(skein, np.ones((skein.rows, skein.cells), dtype=np.float32), seed)


def immerse(dyeing: Dyeing, doses: Mapping[str, float]) -> Dyeing:
    """A bath: the same everywhere that is free."""
    return _add(dyeing, doses, np.ones_like(dyeing.free), through=1.0)


def paint(dyeing: Dyeing, doses: Mapping[str, float], bands_mm: Bands, *, edge_mm: float = PAINT_EDGE_MM, through: float = PAINT_THROUGH) -> Dyeing:
    """Painted bands, mm from the tie."""
    return _add(dyeing, doses, _bands(dyeing, bands_mm, edge_mm), through=through)


def pour(dyeing: Dyeing, doses: Mapping[str, float], bands_mm: Bands) -> Dyeing:
    """Poured bands: softer edges, and less reaches the underside."""
    return paint(dyeing, doses, bands_mm, edge_mm=POUR_EDGE_MM, through=POUR_THROUGH)


def dip(dyeing: Dyeing, doses: Mapping[str, float], bands_mm: Bands) -> Dyeing:
    """Dipped: both faces alike, the edge wicks."""
    return paint(dyeing, doses, bands_mm, edge_mm=DIP_EDGE_MM, through=DIP_THROUGH)


def withdraw(dyeing: Dyeing, doses: Mapping[str, float]) -> Dyeing:
    """A skein hung by its tie and drawn out of the bath evenly: deepest half round from the tie, as 1 - exp(-k t) of the time each place was in."""
    place = (np.arange(dyeing.skein.cells, dtype=np.float64) + 0.5) / dyeing.skein.cells
    time = 1.0 - np.abs(2.0 * place - 1.0)
    weight = np.broadcast_to((-np.expm1(-GRADIENT_RATE * time)).astype(np.float32), dyeing.free.shape)
    return _add(dyeing, doses, weight, through=1.0)


def kettle(dyeing: Dyeing, doses: Mapping[str, float], *, points: int = KETTLE_POINTS) -> Dyeing:
    """Dye poured at points into a kettle in which the skein lies: soft clouds, placed by the dyeing's seed and the dyes' names."""
    rng = np.random.default_rng([dyeing.seed, 53, *(ord(letter) for letter in "".join(doses))])
    s, rows = dyeing.skein.cells, dyeing.skein.rows
    along, across = np.arange(s) * dyeing.skein.ds_mm, np.arange(rows) / rows
    weight = np.zeros((rows, s))
    for at, line, size in zip(rng.uniform(0.0, dyeing.skein.round_mm, points), rng.random(points), rng.uniform(0.6, 1.5, points), strict=True):
        off = (along - at + dyeing.skein.round_mm / 2.0) % dyeing.skein.round_mm - dyeing.skein.round_mm / 2.0
        cloud = np.exp(-0.5 * (off / (KETTLE_ALONG_MM * size)) ** 2)
        weight += np.exp(-0.5 * ((across - line) / (KETTLE_ROWS * 2.0 * size)) ** 2)[:, None] * cloud[None, :]
    return _add(dyeing, doses, (0.03 + weight).astype(np.float32), through=POUR_THROUGH)


def on_white(dyeing: Dyeing, doses: Mapping[str, float], *, through: float = PAINT_THROUGH) -> Dyeing:
    """Put on what is still white: w = exp(-dye/0.0008) of the upper face."""
    held = dyeing.skein.dye.sum(axis=0)[0]
    return _add(dyeing, doses, np.exp(-held / np.float32(WHITE_GG)), through=through)


def tie_off(dyeing: Dyeing, bands_mm: Bands) -> Dyeing:
    """Reserve by ties: later dye stays out, but for a narrow bleed."""
    return replace(dyeing, free=dyeing.free * (1.0 - np.float32(0.97) * _bands(dyeing, bands_mm, TIE_EDGE_MM)))


def turn_over(dyeing: Dyeing) -> Dyeing:
    """The underside comes up."""
    return replace(dyeing, skein=replace(dyeing.skein, dye=np.ascontiguousarray(dyeing.skein.dye[:, ::-1])))


def _bands(dyeing: Dyeing, bands_mm: Bands, edge_mm: float) -> Floats:
    """Weight (rows, cells) of bands: 1 inside, smooth edges that differ a little from strand to strand; bands wrap past the tie."""
    skein = dyeing.skein
    if not bands_mm:
        raise BadInput("Name at least one band along the skein.", where="over")
    around = skein.round_mm
    s = ((np.arange(skein.cells) + 0.5) * skein.ds_mm)[None, :]
    rng = np.random.default_rng([dyeing.seed, 59, round(10 * bands_mm[0][0])])
    uneven = _uneven(rng, skein.rows) * 0.35 * edge_mm
    weight = np.zeros((skein.rows, skein.cells))
    for first, last in joined(bands_mm, around):
        middle, half = 0.5 * (first + last), 0.5 * min(last - first, around)
        off = np.abs((s - middle + around / 2.0) % around - around / 2.0)
        inside = _edge((half - off + uneven) / edge_mm) if last - first < around else np.ones_like(off)
        weight = np.maximum(weight, inside)
    found: Floats = weight.astype(np.float32)
    return found


def joined(bands_mm: Bands, around: float) -> list[tuple[float, float]]:
    """Bands as they lie on a loop of `around` mm: those that touch or overlap are one, also across the tie, so that no edge is left between them.

    Raises BadInput for a band that is not on the loop.
    """
    found: list[tuple[float, float]] = []
    for first, last in sorted(bands_mm):
        if not last - first > 0.0 or first >= around:
            raise BadInput(f"A band must lie on the skein, which is {around / 10:.0f} cm round.", where="over")
        if found and first <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    if len(found) > 1 and found[-1][1] - around >= found[0][0]:
        (_, end), (start, last) = found.pop(0), found.pop()
        found.append((start, max(last, end + around)))
    return found


def _edge(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """0 to 1 through 0.5 at x = 0; 10-90 % within one edge width."""
    step: NDArray[np.float64] = 1.0 / (1.0 + np.exp(-4.394 * np.clip(x, -8.0, 8.0)))
    return step


def _uneven(rng: np.random.Generator, rows: int) -> NDArray[np.float64]:
    """How far each row's edge lies off, (rows, 1), smooth from row to row with a little of its own."""
    rough = rng.standard_normal(rows)
    spectrum = np.fft.rfft(rng.standard_normal(rows))
    spectrum *= np.exp(-((np.arange(len(spectrum)) / 6.0) ** 2))
    smooth = np.fft.irfft(spectrum, rows)
    return (smooth / max(float(smooth.std()), 1e-9) + 0.8 * rough)[:, None]


def _add(dyeing: Dyeing, doses: Mapping[str, float], weight: Floats, *, through: float) -> Dyeing:
    skein = dyeing.skein
    free = (weight * dyeing.free).astype(np.float64)
    faces = np.stack([free, free * through])
    mean = float(faces.mean())
    if mean <= 1e-9:
        raise BadInput("There is nowhere left for this dye: all of the skein is tied off or covered.", where="over")
    dye = skein.dye.copy()
    for name, depth in doses.items():
        if name not in skein.names:
            raise BadInput(f"The map has no dye {name}.", where="dye")
        dye[skein.names.index(name)] += (depth / mean * faces).astype(np.float32)
    return replace(dyeing, skein=replace(skein, dye=dye))
