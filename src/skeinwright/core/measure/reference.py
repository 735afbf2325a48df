"""A reference of known values, as the dyer describes it: where each patch lies on the page and what colour it truly has.

CSV with `x_mm,y_mm,w_mm,h_mm` and either `r,g,b` (linear sRGB, 0-1 of a perfect white) or `L,a,b` (D65, 2 degree). Comma, semicolon or tab.
"""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.colour.spaces import lab_to_xyz, linear_rgb_to_xyz, xyz_to_lab, xyz_to_linear_rgb
from skeinwright.core.colour.tables import white_xyz
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.measure.sheet import Box

Array = NDArray[np.float64]
LEAST, MOST = 4, 300
PLACE = ("x_mm", "y_mm", "w_mm", "h_mm")


@dataclass(frozen=True, slots=True)
class Patch:
    """One patch: its place on the page, and its true colour as linear sRGB (values outside 0-1 are colours outside sRGB)."""

    box: Box
    rgb: tuple[float, float, float]


def read_reference(text: str) -> tuple[Patch, ...]:
    """The patches of a CSV text. Raises BadInput with the row and what is wrong."""
    text = text.lstrip("\ufeff")
    head = text.split("\n", 1)[0]
    sign = max(",;\t", key=head.count)
    rows = list(csv.reader(io.StringIO(text), delimiter=sign))
    names = [name.strip() for name in rows[0]] if rows else []
    if not set(PLACE) <= set(names):
        raise BadInput(f"The reference needs the columns {', '.join(PLACE)}, and r,g,b or L,a,b.", where="reference")
    kind = ("r", "g", "b") if {"r", "g", "b"} <= set(names) else ("L", "a", "b")
    if not set(kind) <= set(names):
        raise BadInput("The reference needs the colours as r,g,b (linear, 0-1) or as L,a,b (D65, 2 degree).", where="reference")
    filled = [(number, row) for number, row in enumerate(rows[1:], 2) if any(cell.strip() for cell in row)]
    if not LEAST <= len(filled) <= MOST:
        raise BadInput(f"The reference has {len(filled)} patches; {LEAST} to {MOST} are needed.", where="reference")
    return tuple(_patch(dict(zip(names, row, strict=False)), kind, sign, number) for number, row in filled)


def _patch(said: dict[str, str], kind: tuple[str, ...], sign: str, number: int) -> Patch:
    values = [_number(said.get(name, ""), sign, f"reference, row {number}, {name}") for name in (*PLACE, *kind)]
    box, colour = Box(*values[:4]), values[4:]
    if min(box.w_mm, box.h_mm) < 2 or box.x_mm < 0 or box.y_mm < 0 or box.right_mm > 300 or box.bottom_mm > 220:
        raise BadInput("The patch must lie on the page and be 2 mm wide and high at least.", where=f"reference, row {number}")
    if kind[0] == "L":
        if not (0 <= colour[0] <= 105 and max(abs(colour[1]), abs(colour[2])) <= 150):
            raise BadInput("L runs from 0 to 100, a and b from -150 to 150.", where=f"reference, row {number}")
        rgb = xyz_to_linear_rgb(lab_to_xyz(np.array(colour), white_xyz("D65", 2)))
    else:
        if not -0.2 <= min(colour) <= max(colour) <= 1.2:
            raise BadInput("r, g, b are linear light from 0 to 1, where 1 is a perfect white; not 0 to 255.", where=f"reference, row {number}")
        rgb = np.array(colour)
    return Patch(box, (float(rgb[0]), float(rgb[1]), float(rgb[2])))


def _number(text: str, sign: str, where: str) -> float:
    typed = text.strip()
    try:
        value = float(typed.replace(",", ".") if sign != "," else typed)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput(f"'{typed[:30]}' is not a number.", where=where, text=typed)
    return value


def lab_of(rgb: Array) -> Array:
    """Lab (..., 3), D65, 2 degree, of linear sRGB relative to a perfect white."""
    return xyz_to_lab(linear_rgb_to_xyz(np.asarray(rgb, dtype=float)), white_xyz("D65", 2))
