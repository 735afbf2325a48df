"""A swatch as a table of a TOML document (already taken apart into plain data), and back; the shelf's file and a colourway's write it alike."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, write, write_number
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.swatch import Reading, Swatch
from skeinwright.core.shelf.swatch_reading import HexToLab, read_day, read_depth, read_hex, read_reading, read_repeats, read_sd

KEYS = ("depth", "lab", "hex", "reading", "base", "said", "repeats", "read_on", "sd", "spectrum")


def swatch_table(swatch: Swatch) -> dict[str, Any]:
    """A swatch as a table: depth, lab, reading and what else is known of it."""
    table: dict[str, Any] = {"depth": write("fraction", swatch.depth), "lab": write_lab(swatch.lab), "reading": swatch.reading.value}
    table |= {key: getattr(swatch, key) for key in ("base", "said") if getattr(swatch, key)}
    if swatch.repeats != 1:
        table["repeats"] = swatch.repeats
    if swatch.read_on is not None:
        table["read_on"] = swatch.read_on.isoformat()
    if swatch.own_sd is not None:
        table["sd"] = write_number(swatch.own_sd)
    if swatch.spectrum:
        table["spectrum"] = [list(pair) for pair in swatch.spectrum]
    return table


def read_swatch_table(table: Any, *, place: str, hex_to_lab: HexToLab | None = None, habits: Habits = HABITS) -> Swatch:
    """The swatch in a table: `depth` and `lab`, or `hex` where `hex_to_lab` is given, and what `swatch_table` writes besides.

    Raises BadInput; its `where` is `place` and the key ("dye 1: swatch 2: depth").
    """
    if not isinstance(table, Mapping):
        raise BadInput("A swatch is a table with depth and lab.", where=place)
    known = tuple(key for key in KEYS if key != "hex" or hex_to_lab is not None)
    for key in table:
        if key not in known:
            near = difflib.get_close_matches(str(key).casefold(), known, n=1, cutoff=0.5)
            hint = f"Did you mean '{near[0]}'?" if near else f"It may have: {', '.join(known)}."
            raise BadInput(f"A swatch has no '{str(key)[:40]}'. {hint}", where=f"{place}: {str(key)[:40]}")
    if "lab" in table and "hex" in table:
        raise BadInput("Give the colour in one way: as lab or as hex.", where=place)

    def words(key: str) -> str:
        return _words(table.get(key, ""), f"{place}: {key}")

    swatch = Swatch(
        depth=read_depth(words("depth"), where=f"{place}: depth", habits=habits),
        lab=parse_lab(words("lab"), where=f"{place}: lab") if "hex" not in table or hex_to_lab is None else hex_to_lab(read_hex(words("hex"), where=place)),
        reading=Reading.HEX if "hex" in table else Reading.TYPED,
        base=words("base"),
        said=words("said") or words("hex"),
        spectrum=_spectrum(table.get("spectrum", ()), f"{place}: spectrum"),
        repeats=read_repeats(words("repeats"), where=f"{place}: repeats"),
        read_on=read_day(words("read_on"), where=f"{place}: read_on"),
        own_sd=read_sd(words("sd"), where=f"{place}: sd"),
    )
    return replace(swatch, reading=read_reading(words("reading"), where=f"{place}: reading") or swatch.reading)


def _words(value: Any, where: str) -> str:
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, int | float) and not isinstance(value, bool):
        return write_number(value)
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Sequence) and all(isinstance(each, int | float) for each in value):
        return "; ".join(write_number(each) for each in value)
    raise BadInput("Write this as text in quotation marks.", where=where)


def _spectrum(pairs: Any, where: str) -> tuple[tuple[float, float], ...]:
    if (
        not isinstance(pairs, Sequence)
        or isinstance(pairs, str)
        or not all(isinstance(p, Sequence) and len(p) == 2 and all(isinstance(v, int | float) for v in p) for p in pairs)
    ):
        raise BadInput("A spectrum is a list of pairs [wavelength in nm, reflectance 0-1].", where=where)
    return tuple((float(nm), float(reflectance)) for nm, reflectance in pairs)
