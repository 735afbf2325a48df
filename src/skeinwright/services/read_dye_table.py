"""Read a table of swatches into dyes and undyed yarns: CSV, or the text or XML that instruments write."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from skeinwright.core.forecast.dye_facts import DyeFacts, Spectrum
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.lab_text import parse_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.core.shelf.swatch_reading import SwatchTable

Known = TypeVar("Known")


def read_dye_table(text: str, *, base_lab: str = "") -> DyeFacts:
    """The dyes and undyed bases in the text of a CSV file, its separator being a comma, a semicolon or a tab; or in CGATS text or CxF3 XML.

    Where the table has no undyed yarn, `base_lab` (as typed) is taken to lie under the swatches too. Raises BadInput, ManyBadInputs.
    """
    table = _table(text)
    undyed, spectra = _for_all(table, _undyed(table)), _for_all(table, _undyed_spectra(table))
    assumed: tuple[str, ...] = ()
    dyes = tuple(Dye(name=name, swatches=swatches) for name, swatches in table.dyes.items())
    bases = {swatch.base for dye in dyes for swatch in dye.swatches}
    if base_lab.strip() and not undyed and len(bases) == 1:
        undyed = dict.fromkeys(bases, parse_lab(base_lab, where="base-lab"))
        assumed = ("The swatches lie on the base that was given.",)
    return DyeFacts(dyes=dyes, undyed=undyed, spectra=spectra, assumed=assumed)


def _table(text: str) -> SwatchTable:
    from skeinwright.core.colour.spaces import hex_to_lab
    from skeinwright.core.colour.spectra import measured_lab
    from skeinwright.core.shelf.swatch_reading import read_swatches

    head = text.lstrip("\ufeff").lstrip()
    if not head:
        raise BadInput("The table of swatches is empty. It needs the columns dye, depth_pct, and L,a,b or hex or R400 to R700.", where="dyes")
    from skeinwright.services.import_readings import import_readings, is_instrument_file

    if is_instrument_file(head):
        return import_readings(head).table
    from skeinwright.files.tables import read_table

    table = read_table(head, name="dyes")
    rows = [{column: row.cells.get(column, "") for column in table.columns} for row in table.rows]
    return read_swatches(rows, hex_to_lab=hex_to_lab, spectrum_to_lab=measured_lab)


def _undyed(table: SwatchTable) -> dict[str, Lab]:
    """The undyed colour by base. Several readings of one base are averaged."""
    found: dict[str, list[Lab]] = {}
    for swatch in table.undyed:
        found.setdefault(swatch.base, []).append(swatch.lab)
    return {name: _mean(labs) for name, labs in found.items()}


def _undyed_spectra(table: SwatchTable) -> dict[str, Spectrum]:
    """The measured spectra of undyed bases; of several of one base that stand on the same wavelengths, the mean."""
    found: dict[str, list[Spectrum]] = {}
    for swatch in table.undyed:
        if swatch.spectrum:
            found.setdefault(swatch.base, []).append(swatch.spectrum)
    mean = {}
    for name, spectra in found.items():
        alike = [spectrum for spectrum in spectra if [nm for nm, _ in spectrum] == [nm for nm, _ in spectra[0]]]
        mean[name] = tuple((pairs[0][0], sum(value for _, value in pairs) / len(alike)) for pairs in zip(*alike, strict=True))
    return mean


def _for_all(table: SwatchTable, undyed: dict[str, Known]) -> dict[str, Known]:
    """A table with one undyed base means it for swatches that name no other too."""
    if len({swatch.base for swatch in table.undyed}) != 1 or not undyed:
        return undyed
    named, only = next(iter(undyed.items()))
    more = {swatch.base: only for swatches in table.dyes.values() for swatch in swatches if not named or not swatch.base}
    return more | undyed


def _mean(labs: list[Lab]) -> Lab:
    alike = [lab for lab in labs if (lab.illuminant, lab.observer) == (labs[0].illuminant, labs[0].observer)]
    L, a, b = (sum(values) / len(alike) for values in zip(*(lab.values for lab in alike), strict=True))
    return replace(labs[0], L=L, a=a, b=b)
