"""The grid of a what-if as one picture, with its values and sentences in the program's own typeface."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

FONTS = Path(__file__).parent / "sheets"
MARGIN, GAP, LINE, LARGE_LINE = 28, 18, 21, 40
INK, SOFT, CARD, MAT = (22, 22, 22), (72, 72, 72), (251, 251, 251), (185, 185, 185)
_EMPTY = (366, 512)

Piece = tuple[NDArray[np.uint8] | None, str, str, tuple[str, ...]]
"""A patch's pixels (None: it cannot be), its value down, its value across, and what is told of it."""


def what_if_png(title: str, down: str, across: str, pieces: Sequence[Piece], columns: int) -> bytes:
    """PNG at 300 dots an inch, so that a patch is 43 mm wide on paper: pieces row by row, `columns` in a row. The same pieces give the same bytes."""
    from PIL import Image, ImageDraw, ImageFont

    bold, plain = (ImageFont.truetype(str(FONTS / f"AtkinsonHyperlegibleNext_{name}.ttf"), size) for name, size in (("700Bold", 22), ("400Regular", 17)))
    head = ImageFont.truetype(str(FONTS / "AtkinsonHyperlegibleNext_700Bold.ttf"), 32)
    high, wide = next((pixels.shape[:2] for pixels, *_ in pieces if pixels is not None), _EMPTY)
    told = max(len(_wrapped(sentences, plain.getlength, wide)) for *_, sentences in pieces)
    each = high + LARGE_LINE + told * LINE + GAP
    rows = -(-len(pieces) // columns)
    top = MARGIN + LARGE_LINE + 2 * LINE + GAP
    whole = Image.new("RGB", (2 * MARGIN + columns * (wide + GAP) - GAP, top + rows * (each + LARGE_LINE) + MARGIN), CARD)
    draw = ImageDraw.Draw(whole)
    draw.text((MARGIN, MARGIN), f"{title}: what if", INK, font=head)
    for line, said in enumerate((f"Down: {down}", f"Across: {across}")):
        draw.text((MARGIN, MARGIN + LARGE_LINE + line * LINE), said, SOFT, font=plain)
    for number, (pixels, its_down, its_across, sentences) in enumerate(pieces):
        row, column = divmod(number, columns)
        x, y = MARGIN + column * (wide + GAP), top + row * (each + LARGE_LINE)
        if column == 0:
            draw.line((MARGIN, y, whole.width - MARGIN, y), INK, 2)
            draw.text((x, y + 8), its_down, INK, font=bold)
        y += LARGE_LINE
        if pixels is None:
            draw.rectangle((x, y, x + wide - 1, y + high - 1), MAT)
        else:
            whole.paste(Image.fromarray(np.ascontiguousarray(pixels)), (x, y))
        draw.text((x, y + high + 8), its_across, INK, font=bold)
        for line, said in enumerate(_wrapped(sentences, plain.getlength, wide)):
            draw.text((x, y + high + LARGE_LINE + line * LINE), said, INK, font=plain)
    out = BytesIO()
    whole.save(out, "PNG", compress_level=6, dpi=(300, 300))
    return out.getvalue()


def _wrapped(sentences: Sequence[str], measure: Callable[[str], float], wide: int) -> list[str]:
    """The sentences in lines no longer than `wide` pixels."""
    lines: list[str] = []
    for sentence in sentences:
        line = ""
        for word in sentence.split():
            longer = f"{line} {word}".strip()
            if line and measure(longer) > wide:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return lines
