"""Read a swatch file: the core's reader, given the CSV reader and the colour room's conversions."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.swatch import Lab, Swatch
from skeinwright.core.shelf.swatch_reading import Spectrum, holds_swatches, read_swatch_row
from skeinwright.files.tables import read_table


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


def read_swatches(data: bytes | str, *, name: str = "swatches") -> tuple[SwatchRow, ...]:
    """The rows of a swatch CSV, columns as in `core.shelf.swatch_reading`. Raises BadInput where the columns do not make swatches."""
    table = read_table(data, name=name)
    if not holds_swatches(table.columns):
        raise BadInput("A table of swatches needs the columns dye, depth_pct, and L, a, b or hex or R400 to R700.", where=f"{name}, first row")
    rows = []
    for row in table.rows:
        try:
            dye, swatch = read_swatch_row(row.cells, where=f"{name}, line {row.number}", hex_to_lab=lab_of_hex, spectrum_to_lab=lab_of_spectrum)
            rows.append(SwatchRow(row.number, dye, swatch))
        except ManyBadInputs as many:
            said = next((text for column, text in row.cells.items() if column.casefold() == "dye"), "")
            rows.append(SwatchRow(row.number, said, None, many.problems))
    return tuple(rows)


def lab_of_hex(text: str) -> Lab:
    """Lab (D65, 2 degree) of "#rrggbb"; the colour room is opened only where a hex colour is met."""
    from skeinwright.core.colour.spaces import hex_to_lab

    return hex_to_lab(text)


def lab_of_spectrum(spectrum: Spectrum, illuminant: str, observer: int) -> Lab:
    """Lab of a measured spectrum."""
    from skeinwright.core.colour.spectra import measured_lab

    return measured_lab(spectrum, illuminant, observer)
