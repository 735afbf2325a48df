"""Outlines drawn round yarn, out of text."""

from __future__ import annotations

import math

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.measure_photo import Outline

MOST_OUTLINES = 24
MOST_POINTS = 600


def read_points(text: str, where: str = "outline", said: str = "") -> tuple[tuple[float, float], ...]:
    """Points out of "60,70 90.5,70", parted by blanks. Raises BadInput."""
    points = []
    for typed in text.split():
        try:
            x, y = (float(value) for value in typed.split(","))
        except ValueError:
            raise BadInput(f"{said}'{typed[:30]}' is no point: write x,y, such as 60.5,72.", where=where, text=text) from None
        if not (math.isfinite(x) and math.isfinite(y)):
            raise BadInput(f"{said}'{typed[:30]}' is no point.", where=where, text=text)
        points.append((x, y))
    return tuple(points)


def read_outlines(text: str) -> tuple[Outline, ...]:
    """Outlines out of "60,70 90,70 90,95; 120,70 ...": points parted by blanks, outlines by semicolons. Raises BadInput, `where` "outline"."""
    found = []
    for number, part in enumerate((one for one in text.split(";") if one.strip()), 1):
        points = read_points(part, said=f"In outline {number}, ")
        if not 3 <= len(points) <= MOST_POINTS:
            raise BadInput(f"Outline {number} needs three points at least, {MOST_POINTS} at most.", where="outline", text=text)
        found.append(points)
    if len(found) > MOST_OUTLINES:
        raise BadInput(f"At most {MOST_OUTLINES} outlines can be drawn in one photo.", where="outline", text=text)
    return tuple(found)
