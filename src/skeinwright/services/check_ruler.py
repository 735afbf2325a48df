"""Note what a printer makes of the photo sheet's rulers, so that sizes from its sheets are true."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.settings import Printer
from skeinwright.services.studio import Studio

RULER_MM = 200.0
FURTHEST = 0.10
LONGEST_NAME = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class CheckRuler:
    """The printer's name, and what a real ruler shows along the 200 mm across the sheet and the upright 200 mm: "199.5 mm", "20 cm"."""

    printer: str
    across: str
    upright: str


def check_ruler(studio: Studio, request: CheckRuler) -> Printer:
    """The printer as it is kept now; an older check of the same name is replaced. Raises BadInput for a length that is not near 200 mm."""
    name = " ".join(request.printer.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise BadInput(f"Give the printer a name of up to {LONGEST_NAME} signs.", where="printer", text=request.printer)
    across_mm, upright_mm = ruler_mm(request.across, "across"), ruler_mm(request.upright, "upright")
    printer = Printer(name=name, across_mm=across_mm, upright_mm=upright_mm, checked_on=studio.now().date())
    with studio.store.writing() as writing:
        settings = writing.settings()
        others = tuple(other for other in settings.printers if other.name.casefold() != name.casefold())
        writing.set_settings(dataclasses.replace(settings, printers=(printer, *others)))
    return printer


def ruler_of(printer: str, printers: Sequence[Printer]) -> str:
    """What the rulers of a checked printer showed, "199.5 mm; 200 mm"; of the one checked last where none is named, "" where none was. BadInput for another."""
    if not printer and not printers:
        return ""
    found = next((one for one in printers if not printer or one.name.casefold() == printer.casefold()), None)
    if found is None:
        raise BadInput(f"No printer '{printer[:40]}' has been checked with a ruler. Check it, or choose another.", where="printer", text=printer)
    return f"{found.across_mm:g} mm; {found.upright_mm:g} mm"


def ruler_mm(typed: str, where: str) -> float:
    """The length that a ruler showed, in mm. Raises BadInput where it is not within a tenth of 200 mm."""
    value = parse("length", typed, where=where).value
    if abs(value - RULER_MM) > FURTHEST * RULER_MM:
        sentence = f"The printed ruler should be near 200 mm; {value:.0f} mm is far off. Print again at 100 %, or measure from 0 to 200."
        raise BadInput(sentence, where=where, text=typed)
    return float(value)
