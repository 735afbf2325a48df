"""The photo sheet: where everything lies on the page, in millimetres from its top left corner, x to the right, y down.

One description serves the page that is printed and the photograph that is read. The four corner marks are ArUco markers of the open
dictionary DICT_5X5_50, ids 0-3 clockwise from the top left, upright.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from skeinwright.core.foundations.errors import BadInput

MARKER_MM = 22.0
MODULES = 7
"""A marker is 7 x 7 modules: five of pattern and the black border."""
PATTERNS = (
    ("0000000", "0101000", "0010110", "0011000", "0101010", "0111000", "0000000"),
    ("0000000", "0000010", "0110000", "0000010", "0101110", "0001100", "0000000"),
    ("0000000", "0110100", "0111100", "0000110", "0101100", "0111010", "0000000"),
    ("0000000", "0100000", "0001110", "0001010", "0011110", "0101110", "0000000"),
)
"""Rows of the markers 0-3 of DICT_5X5_50 with their border, 1 = white. A test holds them to the library's own drawing."""
PATCH_MM = 14.0
GREYS_LINEAR = (0.03, 0.09, 0.19, 0.36, 0.59)
"""Nominal; what a printer makes of them is not known and never relied on."""
COLOURS_SRGB = ("#8c3b32", "#c99a3a", "#5f7d3c", "#2f7f86", "#3e4f8e", "#8a4a7d")
"""Six colours of our own. They tie two photographs of one printed sheet, because they are the same in both; as colours they are not known."""
RULER_MM = 200.0


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on the page, in millimetres."""

    x_mm: float
    y_mm: float
    w_mm: float
    h_mm: float

    @property
    def right_mm(self) -> float:
        """x of the right edge."""
        return self.x_mm + self.w_mm

    @property
    def bottom_mm(self) -> float:
        """y of the lower edge."""
        return self.y_mm + self.h_mm

    def grown(self, by_mm: float) -> Box:
        """The box with `by_mm` more on every side, or less where it is negative."""
        return Box(self.x_mm - by_mm, self.y_mm - by_mm, self.w_mm + 2 * by_mm, self.h_mm + 2 * by_mm)

    def meets(self, other: Box) -> bool:
        """True where the two overlap."""
        return self.x_mm < other.right_mm and other.x_mm < self.right_mm and self.y_mm < other.bottom_mm and other.y_mm < self.bottom_mm


@dataclass(frozen=True, slots=True)
class Sheet:
    """One size of the photo sheet."""

    name: str
    width_mm: float
    height_mm: float
    marks: tuple[tuple[float, float], ...]
    """The top left corner of each of the four marks."""
    window: Box
    """Where the yarn lies."""
    ruler: Box
    """The 200 mm ruler with its ticks and figures."""
    slot: Box
    """Where a reference of known values may lie; never taken for bare paper."""
    note: Box
    """Where the page says its name."""
    greys: tuple[Box, ...] = field(default=())
    colours: tuple[Box, ...] = field(default=())

    def corners_mm(self, mark: int) -> tuple[tuple[float, float], ...]:
        """The four corners of a mark, clockwise from its top left."""
        x, y = self.marks[mark]
        return ((x, y), (x + MARKER_MM, y), (x + MARKER_MM, y + MARKER_MM), (x, y + MARKER_MM))

    @property
    def printed(self) -> tuple[Box, ...]:
        """Everything that is not bare paper, with the white that must stay round it."""
        marks = tuple(Box(x, y, MARKER_MM, MARKER_MM).grown(3) for x, y in self.marks)
        patches = tuple(box.grown(2) for box in (*self.greys, *self.colours))
        return (*marks, *patches, self.window.grown(1.5), self.ruler.grown(1), self.slot.grown(1), self.note.grown(1))


def _patches(x_mm: float, count: int) -> tuple[Box, ...]:
    return tuple(Box(x_mm + 16 * place, 12, PATCH_MM, PATCH_MM) for place in range(count))


A4 = Sheet(
    name="a4",
    width_mm=297,
    height_mm=210,
    marks=((10, 10), (265, 10), (265, 178), (10, 178)),
    window=Box(45, 50, 207, 110),
    ruler=Box(45, 30, RULER_MM, 9),
    slot=Box(38, 172, 217, 29),
    note=Box(45, 168.2, 207, 3.4),
    greys=_patches(45, 5),
    colours=_patches(130, 6),
)
LETTER = Sheet(
    name="letter",
    width_mm=279.4,
    height_mm=215.9,
    marks=((10, 10), (247.4, 10), (247.4, 183.9), (10, 183.9)),
    window=Box(36.2, 50, 207, 110),
    ruler=Box(39.7, 30, RULER_MM, 9),
    slot=Box(38, 172, 203, 29),
    note=Box(36.2, 168.2, 207, 3.4),
    greys=_patches(45, 5),
    colours=_patches(130, 6),
)
SHEETS = {sheet.name: sheet for sheet in (A4, LETTER)}


def sheet_named(name: str) -> Sheet:
    """The sheet for a paper size. Raises BadInput for one that there is not."""
    if name.strip().casefold() not in SHEETS:
        raise BadInput(f"'{name.strip()[:40]}' is not a paper size of the photo sheet; choose a4 or letter.", where="paper", text=name)
    return SHEETS[name.strip().casefold()]
