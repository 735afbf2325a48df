""" "8 ply" on a label: a count of plies, or the name of a thickness? It is asked, never guessed.

In Britain, Australia and New Zealand "4 ply", "8 ply" and the like name a thickness, whatever the yarn is twisted from (seen in knitters' pages;
which name stands for which row of the charts is common practice).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.yarn.count import CATEGORIES, Category, categories

_SAID = re.compile(r"\s*(\d{1,2})\s*[- ]?\s*pl(?:y|ies)\s*", re.IGNORECASE)
THICKNESS = {1: "lace", 2: "lace", 3: "fingering", 4: "fingering", 5: "sport", 6: "sport", 8: "DK", 10: "worsted", 12: "bulky", 14: "super bulky"}
"""Number in such a name -> the row of the charts that it stands for: common practice."""


@dataclass(frozen=True, slots=True)
class PlySaid:
    """What a label's "8 ply" could mean for this yarn: the two readings as sentences, and whether its metres fit the thickness of that name."""

    number: int
    thickness: str
    fits: bool
    as_thickness: str
    as_count: str


def ply_said(text: str, metres_per_100g: float, plies: int | None = None) -> PlySaid:
    """The readings of "8 ply" for a yarn that runs so far and has so many plies (None: not counted). Raises BadInput for other words."""
    found = _SAID.fullmatch(text)
    if found is None or not 1 <= int(found[1]) <= 24:
        raise BadInput("Write what the label says, for example '8 ply'.", where="label", text=text)
    number = int(found[1])
    row = _row(number)
    fits = row is not None and row.name in categories(metres_per_100g)
    return PlySaid(number, row.name if row else "", fits, _thickness(number, row, metres_per_100g), _count(number, plies))


def _row(number: int) -> Category | None:
    name = THICKNESS.get(number)
    return next((one for one in CATEGORIES if one.name == name), None)


def _thickness(number: int, row: Category | None, metres: float) -> str:
    if row is None:
        return f"As a thickness, {number} ply is no name that is in use."
    most = "" if row.high_m_per_100g == float("inf") else f" to {row.high_m_per_100g:.0f}"
    band = f"{row.low_m_per_100g:.0f}{most or ' or more'}"
    fit = "this one fits" if row.low_m_per_100g <= metres <= row.high_m_per_100g else "this one does not fit"
    return f"As a thickness, {number} ply is about {row.name}, {band} m in 100 g; with {metres:.0f} m {fit}."


def _count(number: int, plies: int | None) -> str:
    if plies is None:
        return f"As a count it would mean {number} strands twisted together: untwist a cut end and count them, then type the number."
    same = "which is what you have counted" if plies == number else f"but you have counted {plies}"
    return f"As a count it would mean {number} strands twisted together, {same}."
