"""The skein map: dye on the fibre, for every dye, along the loop x strand row x face. Every picture and figure of a skein is read from it.

dye[dye, face, row, s]   grams of dye per gram of fibre, float32;   s runs once round from the tie (periodic), rows lie across the skein laid out,
face 0 lies uppermost, face 1 below.   All cells hold the same mass of fibre, so means over cells are means over the skein.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.foundations.errors import BadInput

Floats = NDArray[np.float32]
State = Literal["wet", "relaxed"]
ROWS, CELL_MM = 128, 2.5
"""The usual grid: 128 rows, and cells of about 2.5 mm along the loop."""
MIX_MM = 12.0
"""Over what length fibres change places between the inside and the surface of a strand [assumed]."""
MOST_CELLS = 60_000_000


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class SkeinMap:
    """What is on one skein. `row_mm` is the spacing of rows, `ds_mm` the length of a cell along the loop, both in this state.

    `geometry` is the skein's mass, yarn length and once round in this state; `relax_length` and `relax_width` say what relaxing has multiplied already.
    """

    dye: Floats
    names: tuple[str, ...]
    row_mm: float
    ds_mm: float
    state: State
    geometry: SkeinGeometry
    base: str = ""
    relax_length: float = 1.0
    relax_width: float = 1.0

    def __post_init__(self) -> None:
        if self.dye.ndim != 4 or self.dye.dtype != np.float32 or self.dye.shape[0] != len(self.names) or self.dye.shape[1] != 2 or min(self.dye.shape[1:]) < 1:
            raise BadInput("A skein map is float32, dye x 2 faces x rows x cells, with a name for each dye.", where="map")
        if self.state not in ("wet", "relaxed") or not (self.row_mm > 0.0 and self.ds_mm > 0.0):
            raise BadInput("A skein map is wet or relaxed, and its cells have a size.", where="map")
        if not np.isfinite(self.dye).all() or (self.dye.size and float(self.dye.min()) < 0.0):
            raise BadInput("Dye on the fibre is finite and not below zero.", where="map")
        self.dye.flags.writeable = False

    @property
    def rows(self) -> int:
        return int(self.dye.shape[2])

    @property
    def cells(self) -> int:
        """Cells along the loop."""
        return int(self.dye.shape[3])

    @property
    def round_mm(self) -> float:
        """Once round: cells x ds_mm."""
        return self.cells * self.ds_mm

    @property
    def strands(self) -> int:
        """Strands side by side: yarn length over once round."""
        return max(1, round(self.geometry.length_mm / self.round_mm))

    def mean(self) -> dict[str, float]:
        """Mean dye on the fibre, g/g, by name: depth of shade."""
        return {name: float(plane.mean(dtype=np.float64)) for name, plane in zip(self.names, self.dye, strict=True)}

    def relaxed(self, length: float, width: float, mixing: float = 0.0) -> SkeinMap:
        """Washed and dried: cells become shorter by lambda_L and rows wider by lambda_D, and with `mixing` m fibres from inside come to the surface:

        dye' = (1 - m) dye + m (mean over both faces and 12 mm along the strand). Dye per gram, marks per gram and coverage by m = 0 are kept exactly.
        A map that is relaxed already is returned as it is.
        """
        if self.state == "relaxed":
            return self
        if not (0.3 < length <= 1.2 and 0.5 < width <= 3.0 and 0.0 <= mixing <= 1.0):
            raise BadInput("Relaxing keeps 30-120 % of the length and 50-300 % of the thickness, and mixes 0-100 %.", where="relax")
        g = self.geometry
        dye = self.dye
        if mixing > 0.0:
            inside = _smooth_round(dye.mean(axis=1, keepdims=True), MIX_MM / self.ds_mm)
            dye = ((1.0 - np.float32(mixing)) * dye + np.float32(mixing) * inside).astype(np.float32)
        return replace(
            self,
            dye=dye,
            row_mm=self.row_mm * width,
            ds_mm=self.ds_mm * length,
            state="relaxed",
            geometry=SkeinGeometry(skein_g=g.skein_g, length_mm=g.length_mm * length, round_mm=g.round_mm * length),
            relax_length=length,
            relax_width=width,
        )

    def mirrored(self) -> SkeinMap:
        """The same skein read the other way round from the tie."""
        return replace(self, dye=np.ascontiguousarray(self.dye[..., ::-1]))

    def to_npz(self) -> bytes:
        """`map.npz`: dye, names, row_mm, ds_mm, state, and base, skein_g, length_mm, relax_length, relax_width. The same map gives the same bytes."""
        target = BytesIO()
        np.savez(
            target,
            dye=self.dye,
            names=np.array(self.names, dtype=np.str_),
            row_mm=np.float64(self.row_mm),
            ds_mm=np.float64(self.ds_mm),
            state=np.array(self.state),
            base=np.array(self.base),
            skein_g=np.float64(self.geometry.skein_g),
            length_mm=np.float64(self.geometry.length_mm),
            relax_length=np.float64(self.relax_length),
            relax_width=np.float64(self.relax_width),
        )
        return target.getvalue()


def from_npz(data: bytes) -> SkeinMap:
    """The map in the bytes of a `map.npz`. Raises BadInput where it is none."""
    try:
        with np.load(BytesIO(data), allow_pickle=False) as found:
            held: dict[str, Any] = {key: found[key] for key in found.files}
        dye = np.asarray(held["dye"], dtype=np.float32)
        ds_mm = float(held["ds_mm"])
        length_mm = float(held.get("length_mm", 400_000.0))
        geometry = SkeinGeometry(skein_g=float(held.get("skein_g", 100.0)), length_mm=length_mm, round_mm=ds_mm * dye.shape[-1])
        state: State = "wet" if str(held["state"]) == "wet" else "relaxed"
        return SkeinMap(
            dye=dye,
            names=tuple(str(name) for name in held["names"]),
            row_mm=float(held["row_mm"]),
            ds_mm=ds_mm,
            state=state,
            geometry=geometry,
            base=str(held.get("base", "")),
            relax_length=float(held.get("relax_length", 1.0)),
            relax_width=float(held.get("relax_width", 1.0)),
        )
    except BadInput:
        raise
    except Exception as error:
        raise BadInput("This is no skein map: a .npz file with dye, names, row_mm, ds_mm and state is needed.", where="map") from error


def blank_map(
    names: Sequence[str], geometry: SkeinGeometry, *, rows: int = ROWS, cell_mm: float = CELL_MM, breadth_mm: float = 120.0, base: str = ""
) -> SkeinMap:
    """An undyed wet skein, laid `breadth_mm` wide."""
    cells = max(8, round(geometry.round_mm / cell_mm))
    if rows < 1 or len(names) * 2 * rows * cells > MOST_CELLS:
        raise BadInput("The skein map would be too large: take fewer rows or longer cells.", where="map")
    dye = np.zeros((len(names), 2, rows, cells), dtype=np.float32)
    return SkeinMap(dye=dye, names=tuple(names), row_mm=breadth_mm / rows, ds_mm=geometry.round_mm / cells, state="wet", geometry=geometry, base=base)


def uniform_map(doses: Mapping[str, float], geometry: SkeinGeometry, *, rows: int = ROWS, cell_mm: float = CELL_MM, base: str = "") -> SkeinMap:
    """A skein that is the same all over: `doses` {dye: g/g}."""
    blank = blank_map(tuple(doses), geometry, rows=rows, cell_mm=cell_mm, base=base)
    dye = np.broadcast_to(np.array(list(doses.values()), dtype=np.float32)[:, None, None, None], blank.dye.shape)
    return replace(blank, dye=np.ascontiguousarray(dye))


def _smooth_round(field: Floats, cells: float) -> Floats:
    """Box mean of about `cells` along the last, periodic axis: its sum is kept."""
    half = max(0, round(0.5 * cells))
    total = field.astype(np.float64)
    for k in range(1, half + 1):
        total += np.roll(field, k, axis=-1) + np.roll(field, -k, axis=-1)
    smooth: Floats = (total / (2 * half + 1)).astype(np.float32)
    return smooth
