"""Understand swatches: one as typed on a form, or a table of them."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import HABITS, Habits, parse, write
from skeinwright.core.shelf.lab_text import ILLUMINANTS, OBSERVERS, write_lab
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.files.tables import TextTable, read_table
from skeinwright.services.read_colour import ColourRequest, read_colour

DEEPEST = 0.2
FIELDS = ("depth", "colour", "reading", "base", "repeats", "read_on")
_BAND = re.compile(r"R(\d{3})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SwatchRow:
    """One row of a table of swatches: the dye ("" for an undyed base), the swatch, or what is wrong with it."""

    number: int
    dye: str
    swatch: Swatch | None
    problems: tuple[BadInput, ...] = ()

    @property
    def is_undyed(self) -> bool:
        """True for a row of depth 0: the undyed base."""
        return self.swatch is not None and self.swatch.depth == 0


def read_swatch(said: Mapping[str, str], *, habits: Habits = HABITS) -> Swatch:
    """A swatch from typed `depth` ("2 %") and `colour` (Lab or hex), optionally `reading`, `base`, `repeats`, `read_on`.

    Where no `reading` is said, a hex colour counts as "hex" and a Lab as "typed Lab". Raises ManyBadInputs; each `where` is a field.
    """
    problems: list[BadInput] = [BadInput(f"A swatch has no '{name[:60]}'.", where=name[:60]) for name in said if name not in FIELDS]

    depth = lab = None
    reading, repeats, read_on = Reading.TYPED, 1, None
    try:
        depth = _depth(said.get("depth", ""), habits)
    except BadInput as problem:
        problems.append(problem)
    try:
        lab, reading = _colour(said.get("colour", ""), said.get("reading", ""))
    except BadInput as problem:
        problems.append(problem)
    try:
        repeats, read_on = _repeats(said.get("repeats", "")), _day(said.get("read_on", ""))
    except BadInput as problem:
        problems.append(problem)
    if problems or depth is None or lab is None:
        raise ManyBadInputs(tuple(problems))
    return Swatch(depth=depth, lab=lab, reading=reading, base=said.get("base", "").strip(), said=said["colour"].strip(), repeats=repeats, read_on=read_on)


def swatch_table(swatch: Swatch) -> dict[str, Any]:
    """A swatch as a TOML table: depth, lab, reading and what else is known of it."""
    table: dict[str, Any] = {"depth": write("fraction", swatch.depth), "lab": write_lab(swatch.lab), "reading": swatch.reading.value}
    table |= {key: getattr(swatch, key) for key in ("base", "said") if getattr(swatch, key)}
    if swatch.repeats != 1:
        table["repeats"] = swatch.repeats
    if swatch.read_on is not None:
        table["read_on"] = swatch.read_on.isoformat()
    if swatch.spectrum:
        table["spectrum"] = [list(pair) for pair in swatch.spectrum]
    return table


def read_swatch_table(table: Any, *, habits: Habits = HABITS) -> Swatch:
    """The swatch in a TOML table: `depth` and `lab` (or `hex`), and what `swatch_table` writes besides. Raises BadInput or ManyBadInputs."""
    if not isinstance(table, Mapping):
        raise BadInput("A swatch is a table with depth and lab.", where="swatches")
    said = {("colour" if key in ("lab", "hex") else key): str(value) for key, value in table.items() if key not in ("said", "spectrum")}
    swatch = read_swatch(said, habits=habits)
    spectrum = table.get("spectrum", [])
    try:
        pairs = tuple((float(nm), float(factor)) for nm, factor in spectrum)
    except (TypeError, ValueError):
        raise BadInput("A spectrum is a list of pairs [wavelength in nm, reflectance 0-1].", where="spectrum") from None
    return dataclasses.replace(swatch, said=str(table.get("said", "" if "lab" in table else swatch.said)), spectrum=pairs)


def say_swatch(swatch: Swatch) -> dict[str, str]:
    """A swatch in words that `read_swatch` reads back; its spectrum is not among them."""
    said = {"depth": write("fraction", swatch.depth), "colour": write_lab(swatch.lab), "reading": swatch.reading.value}
    more = {"base": swatch.base, "repeats": str(swatch.repeats) if swatch.repeats != 1 else "", "read_on": swatch.read_on.isoformat() if swatch.read_on else ""}
    return said | {key: text for key, text in more.items() if text}


def read_swatches(data: bytes | str, *, name: str = "swatches") -> tuple[SwatchRow, ...]:
    """The rows of a swatch CSV: `dye`, `depth_pct`, and `L`, `a`, `b` or `hex` or `R400`..`R700`; optionally `base`, `illuminant`, `observer`, `n`.

    Lab is D65, 10 degree unless the columns say otherwise; hex is sRGB, D65, 2 degree. Raises BadInput where the columns do not make swatches.
    """
    table = read_table(data, name=name)
    if not is_swatch_table(table):
        raise BadInput("A table of swatches needs the columns dye, depth_pct, and L, a, b or hex or R400 to R700.", where=f"{name}, first row")
    return tuple(_row({column.casefold(): text for column, text in row.cells.items()}, row.number, name) for row in table.rows)


def is_swatch_table(table: TextTable) -> bool:
    """True where the columns are those of swatches."""
    columns = {column.casefold() for column in table.columns}
    return {"dye", "depth_pct"} <= columns and ({"l", "a", "b"} <= columns or "hex" in columns or any(_BAND.fullmatch(column) for column in columns))


def _row(cells: Mapping[str, str], number: int, name: str) -> SwatchRow:
    dye, where = cells.get("dye", ""), f"{name}, line {number}"
    try:
        depth = _per_cent(cells.get("depth_pct", ""), where)
        lab, reading, said, spectrum = _table_colour(cells, where)
        if depth and not dye:
            raise BadInput("The row names no dye.", where=where)
        read_on = _day(cells.get("read_on", ""))
        swatch = Swatch(
            depth=depth,
            lab=lab,
            reading=reading,
            base=cells.get("base", ""),
            said=cells.get("said", said),
            spectrum=spectrum,
            repeats=_repeats(cells.get("n", "")),
            read_on=read_on,
        )
    except BadInput as problem:
        return SwatchRow(number, dye, None, (BadInput(problem.sentence, where=where),))
    return SwatchRow(number, dye, swatch)


def _table_colour(cells: Mapping[str, str], where: str) -> tuple[Lab, Reading, str, tuple[tuple[float, float], ...]]:
    illuminant, observer = cells.get("illuminant", "D65").upper(), cells.get("observer", "10")
    if illuminant not in ILLUMINANTS or observer not in map(str, OBSERVERS):
        raise BadInput(f"The light must be one of {', '.join(ILLUMINANTS)} and the observer 2 or 10.", where=where)
    reading = _reading(cells["reading"]) if "reading" in cells else None
    spectrum = tuple(sorted((float(found[1]), _factor(text, where)) for column, text in cells.items() if (found := _BAND.fullmatch(column))))
    if spectrum:
        from skeinwright.core.colour.spectra import measured_lab

        return measured_lab(spectrum, illuminant, int(observer)), reading or Reading.INSTRUMENT, "", spectrum
    if "hex" in cells:
        hexed = read_colour(ColourRequest(text=f"#{cells['hex'].lstrip('#')}"))
        return hexed.lab, reading or Reading.HEX, hexed.said, ()
    if not all(cells.get(column) for column in "lab"):
        raise BadInput("The row has no colour: L, a, b or hex or a spectrum.", where=where)
    values = [_number(cells[column], where) for column in "lab"]
    if not 0 <= values[0] <= 100 or max(abs(values[1]), abs(values[2])) > 150:
        raise BadInput("L lies between 0 and 100, a and b between -150 and 150.", where=where)
    lab = Lab(values[0], values[1], values[2], illuminant, int(observer))
    return lab, reading or Reading.TYPED, write_lab(lab), ()


def _colour(typed: str, said_reading: str) -> tuple[Lab, Reading]:
    read = read_colour(ColourRequest(text=typed))
    return read.lab, _reading(said_reading) if said_reading.strip() else read.reading


def _reading(typed: str) -> Reading:
    for reading in Reading:
        if typed.strip().casefold() == reading.value.casefold():
            return reading
    raise BadInput(f"A colour is read by one of: {', '.join(Reading)}.", where="reading", text=typed)


def _depth(typed: str, habits: Habits) -> float:
    if not typed.strip():
        raise BadInput("A swatch needs its depth of shade, for example '2 %'.", where="depth", position=0, text=typed)
    return _checked(parse("fraction", typed, where="depth", habits=habits).value, "depth")


def _per_cent(typed: str, where: str) -> float:
    if not typed.strip():
        raise BadInput("The row has no depth.", where=where)
    return _checked(parse("fraction", f"{typed.replace('%', '').strip()} %", where=where).value, where)


def _checked(depth: float, where: str) -> float:
    if not 0 <= depth <= DEEPEST:
        raise BadInput(f"A depth lies between 0 and {100 * DEEPEST:.0f} % of the fibre's weight.", where=where)
    return depth


def _number(typed: str, where: str) -> float:
    from skeinwright.core.foundations.numbers import read_number

    text = typed.strip()
    found = read_number(text, 0, where=where)
    if text[found.end :].strip():
        raise BadInput(f"'{typed}' is not a number.", where=where)
    return float(found.value)


def _factor(typed: str, where: str) -> float:
    """A reflectance factor, 0-1."""
    return _number(typed, where)


def _repeats(typed: str) -> int:
    if not typed.strip():
        return 1
    if not re.fullmatch(r"[1-9]\d{0,3}", typed.strip()):
        raise BadInput("How many readings were averaged is a whole number, 1 or more.", where="repeats", text=typed)
    return int(typed)


def _day(typed: str) -> date | None:
    if not typed.strip():
        return None
    try:
        return date.fromisoformat(typed.strip())
    except ValueError:
        raise BadInput(f"Write a date as year-month-day, for example 2026-11-24; '{typed[:40]}' was read.", where="read_on", text=typed) from None
