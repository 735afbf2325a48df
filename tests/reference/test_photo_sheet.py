"""The photo sheet against others: OpenCV's own drawing of the markers, and the printed PDF rasterised by Poppler, found and scaled right."""

from __future__ import annotations

import io
import shutil
import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest
from pypdf import PdfReader

from skeinwright.core.measure.find import Found, find_sheet
from skeinwright.core.measure.flatten import flatten
from skeinwright.core.measure.sheet import A4, COLOURS_SRGB, GREYS_LINEAR, LETTER, PATTERNS, Box, Sheet
from skeinwright.core.measure.straight import ruler_miss_mm
from skeinwright.files.sheets.sheets import photo_sheet_pdf

INCH_MM = 25.4


def test_the_patterns_are_those_of_the_dictionary() -> None:
    """OpenCV 5.0, generateImageMarker of DICT_5X5_50 at one pixel a module."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50)
    for number, rows in enumerate(PATTERNS):
        drawn = cv2.aruco.generateImageMarker(dictionary, number, 7) // 255
        assert [[int(cell) for cell in row] for row in rows] == drawn.tolist()


def rasterised(sheet: Sheet, dpi: int, folder: Path, page: int = 1) -> np.ndarray:
    """A page of the PDF as Poppler draws it, RGB."""
    (folder / "sheet.pdf").write_bytes(photo_sheet_pdf(sheet))
    call = ["pdftoppm", "-r", str(dpi), "-f", str(page), "-l", str(page), "-png", "sheet.pdf", "page"]
    subprocess.run(call, cwd=folder, check=True)
    (file,) = folder.glob("page*.png")
    picture = cv2.imread(str(file))
    file.unlink()
    return np.ascontiguousarray(picture[:, :, ::-1])


needs_poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="Poppler's pdftoppm is not installed")


@needs_poppler
@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("sheet", [A4, LETTER], ids=["a4", "letter"])
def test_the_printed_sheet_is_found_and_scaled_right(sheet: Sheet, dpi: int, tmp_path: Path) -> None:
    picture = rasterised(sheet, dpi, tmp_path)
    assert picture.shape[1] == pytest.approx(sheet.width_mm / INCH_MM * dpi, abs=2)
    found = find_sheet(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    assert isinstance(found, Found)
    assert (found.sheet.name, found.ids) == (sheet.name, (0, 1, 2, 3))
    assert found.px_per_mm == pytest.approx(dpi / INCH_MM, rel=0.001)
    assert found.rms_mm < 0.05
    flat = flatten(picture, found)
    assert (ruler_miss_mm(flat, sheet) or 1.0) < 0.08  # half a pixel at 150 dpi
    for box, linear in zip(sheet.greys, GREYS_LINEAR, strict=True):
        level = 255 * (1.055 * linear ** (1 / 2.4) - 0.055)  # IEC 61966-2-1
        assert flat.pixels[flat.cut(box.grown(-1))].mean(axis=(0, 1)) == pytest.approx([level] * 3, abs=1.5)
        assert flat.pixels[flat.cut(Box(box.right_mm + 0.4, box.y_mm, 1.2, box.h_mm))].min() > 250  # white between the patches
    for box, text in zip(sheet.colours, COLOURS_SRGB, strict=True):
        wanted = [int(text[place : place + 2], 16) for place in (1, 3, 5)]
        assert flat.pixels[flat.cut(box.grown(-1))].mean(axis=(0, 1)) == pytest.approx(wanted, abs=1.5)


@needs_poppler
def test_marks_and_window_stand_in_white(tmp_path: Path) -> None:
    picture = rasterised(A4, 150, tmp_path)
    found = find_sheet(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    assert isinstance(found, Found)
    flat = flatten(picture, found)
    for x, y in A4.marks:
        around = flat.pixels[flat.cut(Box(x, y, 22, 22).grown(8))].copy()
        edge = round((8 + 0.5) * flat.px_per_mm)
        inside = slice(edge - round(flat.px_per_mm), -edge + round(flat.px_per_mm))
        around[inside, inside] = 255
        assert around.min() > 240
    rim = flat.pixels[flat.cut(A4.window.grown(8))].copy()
    keep = round(7.5 * flat.px_per_mm)
    rim[keep:-keep, keep:-keep] = 255
    assert rim.min() > 240


@needs_poppler
def test_the_grey_insert_fills_the_window_and_the_upright_ruler_is_200_mm(tmp_path: Path) -> None:
    insert = rasterised(A4, 150, tmp_path, page=2)
    grey = (np.abs(insert.astype(int) - 122) < 6).all(axis=2)  # 0.19 linear is 0.474 encoded: IEC 61966-2-1
    rows, columns = np.flatnonzero(grey.mean(axis=1) > 0.5), np.flatnonzero(grey.mean(axis=0) > 0.3)
    assert len(columns) / 150 * INCH_MM == pytest.approx(A4.window.w_mm, abs=0.4)
    assert len(rows) / 150 * INCH_MM == pytest.approx(A4.window.h_mm, abs=0.4)
    help_page = rasterised(A4, 300, tmp_path, page=3)
    dark = (help_page.mean(axis=2) < 120)[:, round(265 / INCH_MM * 300) :]
    column = int(np.argmax(dark.sum(axis=0)))
    line = np.flatnonzero(dark[:, column])
    assert (line[-1] - line[0]) / 300 * INCH_MM == pytest.approx(200, abs=0.3)


@pytest.mark.parametrize("sheet", [A4, LETTER], ids=["a4", "letter"])
def test_the_pdf_is_tagged_titled_and_of_the_paper_s_size(sheet: Sheet) -> None:
    content = photo_sheet_pdf(sheet)
    assert content == photo_sheet_pdf(sheet)
    read = PdfReader(io.BytesIO(content))
    assert len(read.pages) == 3
    assert read.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert "Photo sheet" in (read.metadata or {}).get("/Title", "")
    for page in read.pages:
        assert float(page.mediabox.width) / 72 * INCH_MM == pytest.approx(sheet.width_mm, abs=0.1)
        assert float(page.mediabox.height) / 72 * INCH_MM == pytest.approx(sheet.height_mm, abs=0.1)
    said = " ".join(" ".join(page.extract_text() for page in read.pages).split())
    for words in ("100 %", "Check the rulers once for each printer", "Dry yarn only", "side by side in one photo"):
        assert words in said
