"""Import an instrument's readings as swatches: which sample is which dye at which depth is read from the sample's name."""

from __future__ import annotations

import re
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.lab_text import ILLUMINANTS
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.core.shelf.swatch_reading import SwatchTable, read_depth
from skeinwright.files.colour_files import ColourReading, is_cgats, is_cxf, read_cgats, read_cxf

_DEPTH = re.compile(r"(?P<dye>.*?)[\s_,;:@-]*(?P<depth>\d+(?:[.,]\d+)?\s*%)\s*(?P<base>.*)")
_UNDYED = re.compile(r"(?:undyed|base|white)\b[\s_:,-]*(?P<base>.*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Readings:
    """The swatches of a file, and the names of samples that say neither a depth nor "undyed"."""

    table: SwatchTable
    left_out: tuple[str, ...] = ()


def is_instrument_file(text: str) -> bool:
    """True for CGATS text and CxF3 XML."""
    return is_cgats(text) or is_cxf(text)


def import_readings(text: str) -> Readings:
    """The swatches in CGATS text or CxF3 XML. A sample called "Kelp 0.5 %" or "Kelp 0.5 % Quay Sock" is a swatch, "undyed Quay Sock" a base.

    Several samples of one name are readings of one swatch and are averaged. Raises BadInput where no sample can be understood.
    """
    readings = read_cgats(text) if is_cgats(text) else read_cxf(text)
    groups: dict[str, list[ColourReading]] = {}
    for reading in readings:
        groups.setdefault(" ".join(reading.name.split()), []).append(reading)
    dyes: dict[str, list[Swatch]] = {}
    undyed: list[Swatch] = []
    left_out = []
    for name, group in groups.items():
        found, bare = _DEPTH.fullmatch(name), _UNDYED.fullmatch(name)
        if found and found["dye"].strip():
            depth = read_depth(found["depth"].replace(",", "."), where=name)
            target = dyes.setdefault(found["dye"].strip(), []) if depth else undyed
            target.append(_swatch(group, depth, found["base"].strip()))
        elif bare:
            undyed.append(_swatch(group, 0.0, bare["base"].strip()))
        else:
            left_out.append(name)
    if not dyes and not undyed:
        raise BadInput("No sample's name says a dye and a depth. Call the samples 'Kelp 0.5 %' and 'undyed', then export them again.", where="file")
    ladders = {name: tuple(sorted(swatches, key=lambda swatch: swatch.depth)) for name, swatches in dyes.items()}
    return Readings(SwatchTable(ladders, tuple(undyed)), tuple(left_out))


def _swatch(group: list[ColourReading], depth: float, base: str) -> Swatch:
    """One swatch of several readings: spectra are averaged where each has one, else Labs."""
    from skeinwright.core.colour.spectra import measured_lab

    first = group[0]
    if all(reading.spectrum and [nm for nm, _ in reading.spectrum] == [nm for nm, _ in first.spectrum] for reading in group):
        columns = zip(*([value for _, value in reading.spectrum] for reading in group), strict=True)
        spectrum = tuple((nm, sum(values) / len(group)) for (nm, _), values in zip(first.spectrum, columns, strict=True))
        return Swatch(depth=depth, lab=measured_lab(spectrum), reading=Reading.INSTRUMENT, base=base, said=first.name, spectrum=spectrum, repeats=len(group))
    labs = [reading.lab for reading in group if reading.lab is not None]
    if not labs:
        raise BadInput(f"{first.name} has neither Lab nor a spectrum.", where=first.name)
    if first.illuminant not in ILLUMINANTS:
        raise BadInput(f"{first.name} is under {first.illuminant}: the light must be one of {', '.join(ILLUMINANTS)}.", where=first.name)
    L, a, b = (sum(values) / len(labs) for values in zip(*labs, strict=True))
    lab = Lab(L, a, b, first.illuminant, first.observer)
    return Swatch(depth=depth, lab=lab, reading=Reading.INSTRUMENT, base=base, said=first.name, repeats=len(labs))
