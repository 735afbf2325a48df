"""Read one measured spectrum: rows of wavelength and reflectance, or the first sample of an instrument's file."""

from __future__ import annotations

import csv
import io

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.numbers import read_number


def read_spectrum(text: str) -> tuple[tuple[float, float], ...]:
    """(nm, reflectance 0-1) pairs; per cent is understood where any value exceeds 2. A first row of words is passed over. Raises BadInput."""
    from skeinwright.files.colour_files import is_cgats, is_cxf, read_cgats, read_cxf

    if is_cgats(text) or is_cxf(text):
        readings = read_cgats(text) if is_cgats(text) else read_cxf(text)
        found = next((reading.spectrum for reading in readings if reading.spectrum), ())
        if not found:
            raise BadInput("No sample in the file has a spectrum.", where="spectrum")
        return found
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip()]
    if not lines:
        raise BadInput("The spectrum is empty. It needs rows of wavelength in nm and reflectance.", where="spectrum")
    separator = max(";\t,", key=lines[-1].count)
    pairs = []
    for number, row in enumerate(csv.reader(io.StringIO("\n".join(lines)), delimiter=separator), start=1):
        if number == 1 and not row[0].strip()[:1].isdigit():
            continue
        if len(row) != 2:
            raise BadInput(f"Row {number} needs two numbers: wavelength in nm, reflectance.", where="spectrum")
        nm, value = (_number(cell, number) for cell in row)
        pairs.append((nm, value))
    scale = 100.0 if pairs and max(value for _, value in pairs) > 2 else 1.0
    return tuple(sorted((nm, value / scale) for nm, value in pairs))


def _number(text: str, row: int) -> float:
    text = text.strip()
    number = read_number(text, 0, where=f"spectrum, row {row}")
    if number.end < len(text):
        raise BadInput(f"'{text}' is not a number.", where=f"spectrum, row {row}")
    return float(number.value)
