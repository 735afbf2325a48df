"""CSV in and out: read however a spreadsheet wrote it, written so that no spreadsheet runs a cell.

A cell of text that begins with = + - @, a tab or a line end is taken for a formula by spreadsheets; it leaves with an apostrophe before it and
loses it again when it comes back. A number stays a number, with its sign.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput

LIMIT_BYTES = 10_000_000
LIMIT_ROWS = 50_000
_RISKY = re.compile("'*[=+\\-@\t\r\n]")
_GUARDED = re.compile("'+[=+\\-@\t\r\n]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?([eE][+-]?\d+)?")


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: the number of the line in the file where it ends (1 is the heading), and its cells by column; empty cells are left out."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class TextTable:
    """A table as it was read. `separator` is the sign between cells."""

    columns: tuple[str, ...]
    rows: tuple[TableRow, ...]
    separator: str


def read_table(data: bytes | str, *, name: str = "the file") -> TextTable:
    """The table in CSV `data`, separated by comma, semicolon or tab, in UTF-8, UTF-16 or Windows' Western code page.

    Raises BadInput with the line where the file is empty, too large, has a heading twice or a row with more cells than headings.
    """
    text = data if isinstance(data, str) else _decode(data, name)
    separator = _separator(text)
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=separator, strict=True)
    try:
        columns = _headings(next((row for row in reader if any(cell.strip() for cell in row)), []), name)
        rows = tuple(_rows(reader, columns, name))
    except csv.Error as error:
        raise BadInput(f"The row cannot be read ({error}). Look for a quotation mark that is not closed.", where=f"{name}, line {reader.line_num}") from error
    return TextTable(columns, rows, separator)


def write_table(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> str:
    """CSV text with a heading, comma separated. Numbers and None stay what they are; text is guarded as said above."""
    target = io.StringIO(newline="")
    writer = csv.writer(target, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([guarded(row.get(column)) for column in columns])
    return target.getvalue()


def guarded(value: object) -> object:
    """The cell as it may leave: text that a spreadsheet would run has an apostrophe before it."""
    if not isinstance(value, str):
        return "" if value is None else value
    return f"'{value}" if _RISKY.match(value) and not _NUMBER.fullmatch(value) else value


def unguarded(text: str) -> str:
    """The cell as it was before `guarded`."""
    return text[1:] if _GUARDED.match(text) else text


def _decode(data: bytes, name: str) -> str:
    if len(data) > LIMIT_BYTES:
        raise BadInput(f"The file has {len(data) / 1e6:.0f} MB; tables up to {LIMIT_BYTES // 1_000_000} MB are read. Cut it in parts.", where=name)
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            return data.decode("utf-16")
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise BadInput("This is not a table of text. Save it from your spreadsheet as CSV.", where=name)
    return text


def _separator(text: str) -> str:
    """The sign that occurs most often outside quotation marks in the first line that says anything; a comma where none does."""
    heading = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", heading)
    return max((",", ";", "\t"), key=bare.count)


def _headings(row: list[str], name: str) -> tuple[str, ...]:
    columns = tuple(cell.strip() for cell in row)
    while columns and not columns[-1]:
        columns = columns[:-1]
    if not columns:
        raise BadInput("The table is empty: its first row must name the columns.", where=name)
    twice = next((column for column in columns if columns.count(column) > 1), None)
    if twice is not None:
        raise BadInput(f"The column '{twice}' is there twice." if twice else "A column has no heading.", where=f"{name}, first row")
    return columns


def _rows(reader: Iterable[list[str]], columns: tuple[str, ...], name: str) -> Iterable[TableRow]:
    count = 0
    for row in reader:
        number: int = reader.line_num  # type: ignore[attr-defined]
        if not any(cell.strip() for cell in row):
            continue
        if any(cell.strip() for cell in row[len(columns) :]):
            raise BadInput(
                f"The row has {len(row)} cells, but the first line has {len(columns)}. Put text that holds the separator in quotation marks.",
                where=f"{name}, line {number}",
            )
        count += 1
        if count > LIMIT_ROWS:
            raise BadInput(f"The table has more than {LIMIT_ROWS} rows. Cut it in parts.", where=name)
        yield TableRow(number, {column: unguarded(cell).strip() for column, cell in zip(columns, row, strict=False) if cell.strip()})
