"""Swatches out of typed text and out of the rows of a table, and back.

A colour given as hex or as a spectrum becomes Lab in the colour room; the two functions that do it come in as arguments.
Columns: `dye,depth_pct` and `L,a,b` or `hex` or `R400..R700`; optional `base,illuminant,observer,n,reading,read_on,said`. A row of depth 0 is the undyed base.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.numbers import read_number
from skeinwright.core.foundations.quantities import parse, write, write_number
from skeinwright.core.shelf.lab_text import ILLUMINANTS, OBSERVERS, parse_lab
from skeinwright.core.shelf.reading import read_name
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch

HexToLab = Callable[[str], Lab]
"""Lab (D65, 2 degree) of "#rrggbb" in sRGB."""
Spectrum = tuple[tuple[float, float], ...]
SpectrumToLab = Callable[[Spectrum], Lab]
"""Lab of (wavelength nm, reflectance 0-1) pairs."""

COLUMNS = ("dye", "depth_pct", "L", "a", "b", "hex", "base", "illuminant", "observer", "n", "reading", "read_on", "said")
DEEPEST = 0.5
"""Half of the fibre's weight in dye: deeper is a slip of the pen."""

_HEX = re.compile(r"#?([0-9a-f]{6})|#([0-9a-f]{3})", re.IGNORECASE)
_BAND = re.compile(r"[Rr]([0-9]{3})(?:\s*nm)?")


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
    return "#" + (found[1] or "".join(ch * 2 for ch in found[2])).lower()


def read_depth(text: str, *, where: str | None = None, in_pct: bool = False) -> float:
    """A depth of shade as a fraction: "0.5 %"; with `in_pct` (a column that says so) also a bare "0.5"."""
    bare = in_pct and "%" not in text and text.strip() != ""
    depth = parse("fraction", text + " %" if bare else text, where=where).value
    if depth > DEEPEST:
        raise BadInput(f"A depth of {write_number(depth * 100)} % is too deep to be meant.", where=where, position=0, text=text)
    return depth


def read_swatch(
    depth: str, colour: str, *, hex_to_lab: HexToLab, base: str = "", reading: Reading | None = None, read_on: date | None = None, repeats: int = 1
) -> Swatch:
    """A swatch from what was typed: a depth ("0.5 %") and a colour ("#3a5f7b", "41.2, -8, -20", "LCh 41, 22, 248").

    `reading` says how it was read where that is better known (picked in a photo, matched by eye, instrument).
    """
    problems: list[BadInput] = []
    fraction, lab, how = 0.0, Lab(0, 0, 0), Reading.TYPED
    try:
        fraction = read_depth(depth, where="depth")
    except BadInput as problem:
        problems.append(problem)
    try:
        lab, how = _colour(colour, hex_to_lab)
    except BadInput as problem:
        problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return Swatch(depth=fraction, lab=lab, reading=reading or how, base=base, said=colour.strip(), repeats=repeats, read_on=read_on)


def _colour(text: str, hex_to_lab: HexToLab) -> tuple[Lab, Reading]:
    if not text.strip():
        raise BadInput("A colour is needed: L, a, b such as '41.2, -8, -20', or hex such as #3a5f7b.", where="colour", position=0, text=text)
    if text.strip().startswith("#") or _HEX.fullmatch(text.strip()):
        return hex_to_lab(read_hex(text, where="colour")), Reading.HEX
    return parse_lab(text, where="colour"), Reading.TYPED


def read_swatches(rows: Sequence[Mapping[str, str]], *, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab, first_line: int = 2) -> SwatchTable:
    """The swatches in the rows of a table; `first_line` is the line of the first row, for errors ("line 4: depth_pct").

    Empty rows are passed over. Raises `ManyBadInputs` with every row that cannot be read.
    """
    problems = _columns(rows)
    if problems:
        raise ManyBadInputs(tuple(problems))
    dyes: dict[str, list[Swatch]] = {}
    undyed: list[Swatch] = []
    for line, row in enumerate(rows, start=first_line):
        cells = {key.strip(): (value or "").strip() for key, value in row.items() if isinstance(key, str)}
        if not any(cells.values()):
            continue
        try:
            swatch = _row(cells, f"line {line}", hex_to_lab, spectrum_to_lab)
            if swatch.depth == 0:
                undyed.append(swatch)
            else:
                name = read_name(cells.get("dye", ""), where=f"line {line}: dye")
                known = next((other for other in dyes if other.casefold() == name.casefold()), name)
                dyes.setdefault(known, []).append(swatch)
        except ManyBadInputs as many:
            problems.extend(many.problems)
        except BadInput as problem:
            problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return SwatchTable({name: tuple(sorted(ladder, key=lambda swatch: swatch.depth)) for name, ladder in dyes.items()}, tuple(undyed))


def _columns(rows: Sequence[Mapping[str, str]]) -> list[BadInput]:
    names = [key.strip() for key in rows[0] if isinstance(key, str)] if rows else []
    problems = []
    for name in names:
        if name not in COLUMNS and not _BAND.fullmatch(name):
            near = difflib.get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
            hint = f"Did you mean '{near[0]}'?" if near else f"Columns are {', '.join(COLUMNS)} and R400 to R700."
            problems.append(BadInput(f"A table of swatches has no column '{name[:40]}'. {hint}", where=f"line 1: {name[:40]}"))
    problems.extend(BadInput(f"The column '{need}' is missing.", where="line 1") for need in ("depth_pct",) if rows and need not in names)
    return problems


def _row(cells: Mapping[str, str], line: str, hex_to_lab: HexToLab, spectrum_to_lab: SpectrumToLab) -> Swatch:
    problems: list[BadInput] = []
    bands = {key: value for key, value in cells.items() if _BAND.fullmatch(key) and value}
    given = [what for what, there in (("L, a, b", any(cells.get(k) for k in "Lab")), ("hex", bool(cells.get("hex"))), ("R400..R700", bool(bands))) if there]
    depth, lab, reading, repeats = 0.0, Lab(0, 0, 0), Reading.TYPED, 1
    spectrum: Spectrum = ()
    read_on: date | None = None
    try:
        depth = read_depth(cells.get("depth_pct", ""), where=f"{line}: depth_pct", in_pct=True)
    except BadInput as problem:
        problems.append(problem)
    try:
        illuminant, observer = _viewing(cells, line)
        if len(given) > 1:
            raise BadInput("Give the colour in one way: as L, a, b, as hex, or as a spectrum.", where=line)
        if not given:
            raise BadInput("This row has no colour: give L, a, b, or hex, or R400 to R700.", where=line)
        if bands:
            spectrum = _spectrum(bands, line)
            lab, reading = spectrum_to_lab(spectrum), Reading.INSTRUMENT
        elif cells.get("hex"):
            lab, reading = hex_to_lab(read_hex(cells["hex"], where=f"{line}: hex")), Reading.HEX
        else:
            lab = _lab(cells, line, illuminant, observer)
    except BadInput as problem:
        problems.append(problem)
    try:
        reading = _reading(cells, line) or reading
        repeats, read_on = _repeats(cells, line), _date(cells, line)
    except BadInput as problem:
        problems.append(problem)
    if problems:
        raise ManyBadInputs(tuple(problems))
    return Swatch(
        depth=depth,
        lab=lab,
        reading=reading,
        base=cells.get("base", ""),
        said=cells.get("said", "") or cells.get("hex", ""),
        spectrum=spectrum,
        repeats=repeats,
        read_on=read_on,
    )


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
    values = [_cell(cells.get(key, ""), f"{line}: {key}") for key in "Lab"]
    return parse_lab("; ".join(write_number(value) for value in values), where=f"{line}: L, a, b", illuminant=illuminant, observer=observer)


def _spectrum(bands: Mapping[str, str], line: str) -> Spectrum:
    pairs = []
    for key, text in bands.items():
        value = _cell(text, f"{line}: {key}")
        if not 0 <= value <= 1.5:
            raise BadInput(
                f"A reflectance lies between 0 and 1 (1 is a perfect white); {text[:20]} was read. Divide per cents by 100.",
                where=f"{line}: {key}",
                position=0,
                text=text,
            )
        pairs.append((float(key.strip()[1:4]), value))
    pairs.sort()
    if len(pairs) < 4 or pairs[0][0] > 400 or pairs[-1][0] < 700:
        raise BadInput("A spectrum must reach from 400 to 700 nm.", where=f"{line}: R400..R700")
    return tuple(pairs)


def _reading(cells: Mapping[str, str], line: str) -> Reading | None:
    said = cells.get("reading", "")
    known = {reading.value.casefold(): reading for reading in Reading}
    if said and said.casefold() not in known:
        raise BadInput(f"'{said[:40]}' is none of: {', '.join(r.value for r in Reading)}.", where=f"{line}: reading", position=0, text=said)
    return known.get(said.casefold())


def _repeats(cells: Mapping[str, str], line: str) -> int:
    said = cells.get("n", "")
    count = int(parse("count", said, where=f"{line}: n").value) if said else 1
    if not 1 <= count <= 10_000:
        raise BadInput("The number of readings must be 1 or more.", where=f"{line}: n", position=0, text=said)
    return count


def _date(cells: Mapping[str, str], line: str) -> date | None:
    said = cells.get("read_on", "")
    if not said:
        return None
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise BadInput(f"Write a date as 2026-11-24; '{said[:40]}' was read.", where=f"{line}: read_on", position=0, text=said) from None


def write_swatches(dyes: Mapping[str, Sequence[Swatch]]) -> list[dict[str, str]]:
    """Rows that `read_swatches` reads back: depth and colour exactly, a spectrum in full where there is one."""
    rows = []
    for name, swatches in dyes.items():
        for swatch in swatches:
            row = {"dye": name, "depth_pct": _pct(swatch.depth)}
            row |= {f"R{nm:.0f}": write_number(value) for nm, value in swatch.spectrum} or {
                key: write_number(value) for key, value in zip("Lab", swatch.lab.values, strict=True)
            }
            row |= {
                "base": swatch.base,
                "illuminant": swatch.lab.illuminant,
                "observer": str(swatch.lab.observer),
                "n": str(swatch.repeats),
                "reading": swatch.reading.value,
            }
            row |= {"read_on": swatch.read_on.isoformat() if swatch.read_on else "", "said": swatch.said}
            rows.append(row)
    return rows


def _pct(depth: float) -> str:
    return write("fraction", depth).removesuffix(" %")
