"""What is printed on the photo sheet, as data for the typesetter: the sheet itself, the grey insert, the page of instructions."""

from __future__ import annotations

from typing import Any

from skeinwright.core.measure.sheet import COLOURS_SRGB, GREYS_LINEAR, MARKER_MM, PATTERNS, Box, Sheet

INSERT_LINEAR = 0.19
PLACES = "The yarn lies in the window above, a reference of known values in the slot below."
PARTS = (
    (
        "Print",
        (
            "On plain white paper, matt, not recycled or tinted.",
            "At actual size, 100 %: not “fit to page”.",
            "Print the grey insert too, and cut it out along its edge. It is for undyed and pale yarn.",
            "Check the rulers once for each printer: lay a real ruler along the 200 mm on the sheet, and along the upright 200 mm at the right of this page. "
            "Type both lengths into Skeinwright. Until then sizes are only assumed.",
            "Keep the sheet flat and clean, away from sun. Print a new one when it yellows.",
        ),
    ),
    (
        "Lay out",
        (
            "Dry yarn only. Wet yarn is darker and stronger, and a picture cannot tell.",
            "Lay the sheet flat on a table by a window, out of direct sun. Lamps off.",
            "Lay the skein, or several swatches with a finger's width between them, inside the window of the sheet. "
            "Leave the four marks, the patches and the white round them free.",
            "Pale yarn: put the grey insert into the window first.",
            "If you have a card or swatches of known values, lay them in the long slot at the foot of the sheet.",
        ),
    ),
    (
        "Photograph",
        (
            "The main lens, not the wide one. No flash, no filter, no portrait effect.",
            "From straight above, 40 to 60 cm away, so that the sheet fills the picture and all four marks are in it.",
            "Step back so that neither you nor the phone throws a shadow on the sheet.",
            "Tap on the yarn to focus. The paper must look white, not glaring: if it glares, make the picture darker.",
            "To compare two skeins, lay them side by side in one photo. That is surer than two photos.",
        ),
    ),
)


def page_of(sheet: Sheet) -> dict[str, Any]:
    """The data of one sheet, in millimetres."""
    return {
        "title": f"Photo sheet, {_said(sheet)}",
        "width": sheet.width_mm,
        "height": sheet.height_mm,
        "mark": MARKER_MM,
        "marks": [{"x": x, "y": y, "rows": [[int(cell) for cell in row] for row in PATTERNS[number]]} for number, (x, y) in enumerate(sheet.marks)],
        "patches": [_box(box) | {"fill": fill} for box, fill in zip((*sheet.greys, *sheet.colours), (*map(_grey, GREYS_LINEAR), *COLOURS_SRGB), strict=True)],
        "ruler-x": sheet.ruler.x_mm,
        "window": _box(sheet.window),
        "slot": _box(Box(sheet.slot.x_mm + 3, sheet.slot.y_mm, sheet.slot.w_mm - 6, sheet.slot.h_mm)),  # its corner ticks, 8 mm clear of the marks
        "note": _box(sheet.note),
        "note-says": f"Skeinwright photo sheet, {_said(sheet)}. Print at 100 %. {PLACES}",
        "insert": {
            "title": "Grey insert for pale yarn",
            "says": ["Cut the grey out and lay it into the window of the photo sheet, under the yarn. It covers the window exactly."],
            "box": _box(sheet.window),
            "fill": _grey(INSERT_LINEAR),
        },
        "upright-y": (sheet.height_mm - 200) / 2,
        "help": {"title": "A photo that can be trusted", "parts": [{"head": head, "says": list(says)} for head, says in PARTS]},
    }


def _said(sheet: Sheet) -> str:
    return {"a4": "A4", "letter": "US Letter"}[sheet.name]


def _box(box: Box) -> dict[str, float]:
    return {"x": box.x_mm, "y": box.y_mm, "w": box.w_mm, "h": box.h_mm}


def _grey(linear: float) -> str:
    level = round(255 * (1.055 * linear ** (1 / 2.4) - 0.055))
    return f"#{level:02x}{level:02x}{level:02x}"
