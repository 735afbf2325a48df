"""Swatches out of typed text and out of the rows of a table, and back.

A colour given as hex or as a spectrum becomes Lab in the colour room; the two functions that do it come in as arguments.
Columns: `dye,depth_pct` and `L,a,b` or `hex` or `R400..R700`; optional `base,illuminant,observer,n,reading,read_on,said,sd`. Capitals do not matter.
A row of depth 0 is the undyed base. Where a row has a spectrum and Lab as well, the spectrum counts.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.numbers import read_number
from skeinwright.core.foundations.quantities import HABITS, Habits, parse, write, write_number
from skeinwright.core.shelf.lab_text import ILLUMINANTS, OBSERVERS, parse_lab
from skeinwright.core.shelf.reading import read_name
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

HexToLab = Callable[[str], Lab]
"""Lab (D65, 2 degree) of "#rrggbb" in sRGB."""
Spectrum = tuple[tuple[float, float], ...]
SpectrumToLab = Callable[[Spectrum, str, int], Lab]
"""Lab of (wavelength nm, reflectance 0-1) pairs under an illuminant for an observer (2 or 10)."""

COLUMNS = ("dye", "depth_pct", "L", "a", "b", "hex", "base", "illuminant", "observer", "n", "reading", "read_on", "said", "sd")
FIELDS = ("depth", "colour", "reading", "base", "repeats", "read_on", "sd")
DEEPEST = 0.2
"""A fifth of the fibre's weight in dye: black takes 3 to 6 %, so deeper is a slip of the pen."""

_HEX = re.compile(r"#?([0-9a-f]{6})|#([0-9a-f]{3})|((?=.*[a-f])[0-9a-f]{3})", re.IGNORECASE)
_BAND = re.compile(r"r([0-9]{3})(?:\s*nm)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SwatchTable:
    """The swatches of a table: those of each dye, pale to deep, and the undyed bases (depth 0)."""

    dyes: dict[str, tuple[Swatch, ...]]
    undyed: tuple[Swatch, ...]


def read_hex(text: str, *, where: str | None = None) -> str:
    """ "#rrggbb" in lower case out of "#3A5F7B", "3a5f7b" or "#abc"."""
    found = _HEX.fullmatch(text.strip())
    if found is None:
        raise BadInput(f"A colour in hex is # and six of 0-9 and a-f, for example #3a5f7b; '{text.strip()[:20]}' was read.", where=where, position=0, text=text)
    return "#" + (found[1] or "".join(ch * 2 for ch in found[2] or found[3])).lower()


def read_depth(text: str, *, where: str | None = None, in_pct: bool = False, habits: Habits = HABITS) -> float:
    """A depth of shade as a fraction, 0 to `DEEPEST`: "0.5 %"; with `in_pct` (a column that says so) also a bare "0.5"."""
    if not text.strip():
        raise BadInput("A swatch needs its depth of shade, for example '2 %'.", where=where, position=0, text=text)
    bare = in_pct and "%" not in text
    depth = parse("fraction", text + " %" if bare else text, where=where, habits=habits).value
    if not 0 <= depth <= DEEPEST:
        raise BadInput(f"A depth of {write_number(depth * 100)} % is too deep to be meant.", where=where, position=0, text=text)
    return depth


def read_swatch(said: Mapping[str, str], *, hex_to_lab: HexToLab, habits: Habits = HABITS) -> Swatch:
    """A swatch from typed `depth` ("2 %") and `colour` ("#3a5f7b", "41.2, -8, -20", "LCh 41, 22, 248");
    `reading`, `base`, `repeats`, `read_on` and `sd` may be left out.

    Where no `reading` is said, a hex colour counts as "hex" and a Lab as "typed Lab". Raises ManyBadInputs; each `where` is a field.
    """
    problems = [BadInput(f"A swatch has no '{name[:60]}'.", where=name[:60]) for name in said if name not in FIELDS]
    depth, lab, how, repeats = 0.0, Lab(0, 0, 0), Reading.TYPED, 1
    read_on: date | None = None
    own_sd: float | None = None
    try:
        depth = read_depth(said.get("depth", ""), where="depth", habits=habits)
    except BadInput as problem:
        problems.append(problem)
    try:
        lab, how = _colour(said.get("colour", ""), hex_to_lab)
        how = read_reading(said.get("reading", ""), where="reading") or how
    except BadInput as problem:
        problems.append(problem)
    try:
        repeats, read_on = read_repeats(said.get("repeats", ""), where="repeats"), read_day(said.get("read_on", ""), where="read_on")
        own_sd = read_sd(said.get("sd", ""), where="sd")
    except BadInput as problem:
        problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return Swatch(
        depth=depth,
        lab=lab,
        reading=how,
        base=said.get("base", "").strip(),
        said=said["colour"].strip(),
        repeats=repeats,
        read_on=read_on,
        own_sd=own_sd,
    )


def _colour(text: str, hex_to_lab: HexToLab) -> tuple[Lab, Reading]:
    if not text.strip():
        raise BadInput("A colour is needed: L, a, b such as '41.2, -8, -20', or hex such as #3a5f7b.", where="colour", position=0, text=text)
    if text.strip().startswith("#") or _HEX.fullmatch(text.strip()):
        return hex_to_lab(read_hex(text, where="colour")), Reading.HEX
    return parse_lab(text, where="colour"), Reading.TYPED


def holds_swatches(columns: Iterable[str]) -> bool:
    """True where a table with these columns is one of swatches."""
    names = {column.strip().casefold() for column in columns}
    return {"dye", "depth_pct"} <= names and ({"l", "a", "b"} <= names or "hex" in names or any(_BAND.fullmatch(name) for name in names))


def read_swatches(rows: Sequence[Mapping[str, str]], *, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab, first_line: int = 2) -> SwatchTable:
    """The swatches in the rows of a table; `first_line` is the line of the first row, for errors ("line 4: depth_pct").

    Empty rows are passed over. Raises `ManyBadInputs` with every column that is not known and every row that cannot be read.
    """
    problems = _columns(rows)
    if problems:
        raise ManyBadInputs(tuple(problems))
    dyes: dict[str, list[Swatch]] = {}
    undyed: list[Swatch] = []
    for line, row in enumerate(rows, start=first_line):
        if not any(value and value.strip() for key, value in row.items() if isinstance(key, str)):
            continue
        try:
            name, swatch = read_swatch_row(row, where=f"line {line}", hex_to_lab=hex_to_lab, spectrum_to_lab=spectrum_to_lab)
            known = next((other for other in dyes if other.casefold() == name.casefold()), name)
            (dyes.setdefault(known, []) if swatch.depth else undyed).append(swatch)
        except ManyBadInputs as many:
            problems.extend(many.problems)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return SwatchTable({name: tuple(sorted(ladder, key=lambda swatch: swatch.depth)) for name, ladder in dyes.items() if ladder}, tuple(undyed))


def _columns(rows: Sequence[Mapping[str, str]]) -> list[BadInput]:
    names = [key.strip() for key in rows[0] if isinstance(key, str)] if rows else []
    known = {column.casefold() for column in COLUMNS}
    problems = []
    for name in names:
        if name.casefold() not in known and not _BAND.fullmatch(name):
            near = difflib.get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
            hint = f"Did you mean '{near[0]}'?" if near else f"Columns are {', '.join(COLUMNS)} and R400 to R700."
            problems.append(BadInput(f"A table of swatches has no column '{name[:40]}'. {hint}", where=f"line 1: {name[:40]}"))
    if rows and "depth_pct" not in {name.casefold() for name in names}:
        problems.append(BadInput("The column 'depth_pct' is missing.", where="line 1"))
    return problems


def read_swatch_row(row: Mapping[str, str], *, where: str, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab) -> tuple[str, Swatch]:
    """(dye, swatch) of one row of a table; the dye is "" for an undyed base, whose depth is 0. Columns that are not known are passed over.

    Raises `ManyBadInputs`; each `where` is "line 4: depth_pct" for `where` "line 4".
    """
    cells = {key.strip().casefold(): (value or "").strip() for key, value in row.items() if isinstance(key, str)}
    swatch = _row(cells, where, hex_to_lab, spectrum_to_lab)
    try:
        return ("" if swatch.depth == 0 else read_name(cells.get("dye", ""), where=f"{where}: dye")), swatch
    except BadInput as problem:
        raise ManyBadInputs((problem,)) from None


def _row(cells: Mapping[str, str], line: str, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab) -> Swatch:
    problems: list[BadInput] = []
    depth, lab, reading, repeats, said = 0.0, Lab(0, 0, 0), Reading.TYPED, 1, ""
    spectrum: Spectrum = ()
    read_on: date | None = None
    own_sd: float | None = None
    try:
        depth = read_depth(cells.get("depth_pct", ""), where=f"{line}: depth_pct", in_pct=True)
    except BadInput as problem:
        problems.append(problem)
    try:
        lab, reading, said, spectrum = _row_colour(cells, line, hex_to_lab, spectrum_to_lab)
    except BadInput as problem:
        problems.append(problem)
    try:
        reading = read_reading(cells.get("reading", ""), where=f"{line}: reading") or reading
        repeats, read_on = read_repeats(cells.get("n", ""), where=f"{line}: n"), read_day(cells.get("read_on", ""), where=f"{line}: read_on")
        own_sd = read_sd(cells.get("sd", ""), where=f"{line}: sd")
    except BadInput as problem:
        problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    base, said = cells.get("base", ""), cells.get("said", "") or said
    return Swatch(depth=depth, lab=lab, reading=reading, base=base, said=said, spectrum=spectrum, repeats=repeats, read_on=read_on, own_sd=own_sd)


def _row_colour(cells: Mapping[str, str], line: str, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab) -> tuple[Lab, Reading, str, Spectrum]:
    """(colour, how it was read, what was typed, spectrum)."""
    bands = {key: value for key, value in cells.items() if _BAND.fullmatch(key) and value}
    is_lab, is_hex = any(cells.get(key) for key in "lab"), bool(cells.get("hex"))
    illuminant, observer = _viewing(cells, line)
    if is_hex and (is_lab or bands):
        raise BadInput("Give the colour in one way: as L, a, b, as hex, or as a spectrum.", where=line)
    if bands:
        spectrum = _spectrum(bands, line)
        return spectrum_to_lab(spectrum, illuminant, observer), Reading.INSTRUMENT, "", spectrum
    if is_hex:
        said = read_hex(cells["hex"], where=f"{line}: hex")
        return hex_to_lab(said), Reading.HEX, said, ()
    if is_lab:
        return _lab(cells, line, illuminant, observer), Reading.TYPED, "", ()
    raise BadInput("This row has no colour: give L, a, b, or hex, or R400 to R700.", where=line)


def _viewing(cells: Mapping[str, str], line: str) -> tuple[str, int]:
    illuminant = cells.get("illuminant", "") or "D65"
    observer = (cells.get("observer", "") or "10").removesuffix("°")
    if illuminant.upper() not in ILLUMINANTS:
        raise BadInput(f"'{illuminant[:20]}' is none of the illuminants {', '.join(ILLUMINANTS)}.", where=f"{line}: illuminant", position=0, text=illuminant)
    if observer not in [str(known) for known in OBSERVERS]:
        raise BadInput(f"The observer is 2 or 10 (degrees); '{observer[:20]}' was read.", where=f"{line}: observer", position=0, text=observer)
    return illuminant.upper(), int(observer)


def _cell(text: str, where: str) -> float:
    number = read_number(text, where=where)
    if text[number.end :].strip():
        raise BadInput(f"'{text[:40]}' is not one number.", where=where, position=number.end, text=text)
    return float(number.value)


def _lab(cells: Mapping[str, str], line: str, illuminant: str, observer: int) -> Lab:
    values = [_cell(cells.get(key.casefold(), ""), f"{line}: {key}") for key in "Lab"]
    return parse_lab("; ".join(write_number(value) for value in values), where=f"{line}: L, a, b", illuminant=illuminant, observer=observer)


def _spectrum(bands: Mapping[str, str], line: str) -> Spectrum:
    pairs = []
    for key, text in bands.items():
        value = _cell(text, f"{line}: {key.upper()}")
        if not 0 <= value <= 1.5:
            raise BadInput(
                f"A reflectance lies between 0 and 1 (1 is a perfect white); {text[:20]} was read. Divide per cents by 100.",
                where=f"{line}: {key.upper()}",
                position=0,
                text=text,
            )
        pairs.append((float(key.strip()[1:4]), value))
    pairs.sort()
    if len(pairs) < 4 or pairs[0][0] > 400 or pairs[-1][0] < 700:
        raise BadInput("A spectrum must reach from 400 to 700 nm.", where=f"{line}: R400..R700")
    return tuple(pairs)


def read_reading(said: str, *, where: str | None = None) -> Reading | None:
    """How a colour was read, in any capitals; None where nothing is said."""
    known = {reading.value.casefold(): reading for reading in Reading}
    if said.strip() and said.strip().casefold() not in known:
        raise BadInput(f"A colour is read by one of: {', '.join(Reading)}; '{said[:40]}' is none.", where=where, position=0, text=said)
    return known.get(said.strip().casefold())


def read_repeats(said: str, *, where: str | None = None) -> int:
    """How many readings were averaged, 1 to 9999; 1 where nothing is said."""
    if not said.strip():
        return 1
    if not re.fullmatch(r"[1-9]\d{0,3}", said.strip()):
        raise BadInput("How many readings were averaged is a whole number, 1 or more.", where=where, position=0, text=said)
    return int(said)


def read_day(said: str, *, where: str | None = None) -> date | None:
    """A day as 2026-11-24; None where nothing is said."""
    if not said.strip():
        return None
    try:
        return date.fromisoformat(said.strip())
    except ValueError:
        raise BadInput(f"Write a date as year-month-day, for example 2026-11-24; '{said[:40]}' was read.", where=where, position=0, text=said) from None


def read_sd(said: str, *, where: str | None = None) -> float | None:
    """A reading's own standard deviation in each of L*, a*, b*, 0.05 to 20; None where nothing is said."""
    if not said.strip():
        return None
    value = _cell(said.strip(), where or "sd")
    if not 0.05 <= value <= 20:
        raise BadInput(f"The standard deviation of a colour lies between 0.05 and 20; {said.strip()[:20]} was read.", where=where, position=0, text=said)
    return value


def write_swatches(dyes: Mapping[str, Sequence[Swatch]]) -> list[dict[str, str]]:
    """Rows that `read_swatches` reads back: depth and colour exactly, a spectrum in full where there is one."""
    return [_row_of(name, swatch) for name, swatches in dyes.items() for swatch in swatches]


def _row_of(dye: str, swatch: Swatch) -> dict[str, str]:
    return {
        "dye": dye,
        "depth_pct": write("fraction", swatch.depth, "%").removesuffix("%").strip(),
        **{key: write_number(value) for key, value in zip("Lab", swatch.lab.values, strict=True)},
        "illuminant": swatch.lab.illuminant,
        "observer": str(swatch.lab.observer),
        "base": swatch.base,
        "n": str(swatch.repeats),
        "reading": swatch.reading.value,
        "read_on": swatch.read_on.isoformat() if swatch.read_on else "",
        "said": swatch.said,
        "sd": write_number(swatch.own_sd) if swatch.own_sd is not None else "",
        **{f"R{nm:.0f}": write_number(factor) for nm, factor in swatch.spectrum},
    }
