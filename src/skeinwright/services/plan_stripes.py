"""Self-striping yarn on a base of the studio's shelf: the loop and its pegs, with what washing does to that base, and the colour of each stripe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.foundations.quantities import Habits, parse
from skeinwright.core.foundations.say import write
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.yarn.relaxation import relaxation_of
from skeinwright.services.keep_swatch import kept_stitch
from skeinwright.services.lay_stripes import StripesRequest, StripesSheet, lay_stripes
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.lot.on_shelf import OnShelf

MOST_STRIPES, MOST_SPANS = 16, 200


@dataclass(frozen=True, kw_only=True, slots=True)
class Band:
    """A stripe as typed: a dye of the shelf ("": left undyed), its depth on the stripe's own fibre, and its rows or rounds."""

    dye: str
    depth: str
    rows: str


@dataclass(frozen=True, kw_only=True, slots=True)
class StripePlanRequest:
    """As typed. `base` is a name on the shelf; gauge or ravelled swatch, stitches in a row or round, waste, the farthest that pegs may stand apart."""

    base: str
    bands: Sequence[Band]
    gauge: str = ""
    ravelled: str = ""
    stitches: str = "64"
    waste: str = "3 %"
    span: str = "2 m"


@dataclass(frozen=True, kw_only=True, slots=True)
class Striped:
    """A stripe with the depth of its dye (0-1 on its own fibre) and how that looks (sRGB 0-255; None where nobody knows)."""

    dye: str
    depth: float
    srgb: tuple[int, int, int] | None


@dataclass(frozen=True, kw_only=True, slots=True)
class StripePlanSheet:
    """The plan of the loop on this base, stripe by stripe."""

    base: Base
    sheet: StripesSheet
    bands: tuple[Striped, ...]
    stitches: int

    @property
    def dyed_round_mm(self) -> float:
        """Once round of the loop as it is wound for dyeing."""
        return self.sheet.plan.loop_mm

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        colours = [{"dye": band.dye, "depth": band.depth, "srgb": None if band.srgb is None else list(band.srgb)} for band in self.bands]
        return {**self.sheet.to_plain(), "base": self.base.name, "colours": colours}


def plan_stripes(studio: Studio, request: StripePlanRequest) -> StripePlanSheet:
    """The sheet. Raises BadInput or ManyBadInputs; `where` is the field, for a stripe "rows.2", "depth.2" or "dye.2" (from 0)."""
    with studio.store.reading() as reading:
        shelf = shelf_for_lot(reading)
        base = shelf.find(Base, request.base)
        measured = [] if base is None else [kept.thing for kept in reading.calibrations(of_kind="base", of=base.name)]
    if base is None:
        raise BadInput("Choose a base that is on the shelf.", where="base", text=request.base)
    depths, problems = _depths(request.bands, shelf, shelf.habits)
    relaxing = relaxation_of(base, measured)
    if not request.stitches.strip().isdigit() or not 4 <= int(request.stitches) <= 1000:
        problems.append(BadInput("Write a whole number from 4 to 1000.", where="stitches", text=request.stitches))
    for number, band in enumerate(request.bands):
        if not band.rows.strip().replace(",", ".").replace(".", "", 1).isdigit() or float(band.rows.replace(",", ".")) <= 0.0:
            problems.append(BadInput("How many rows or rounds? Write a number above zero.", where=f"rows.{number}", text=band.rows))
    swatch = kept_stitch(measured)
    if not request.gauge.strip() and not request.ravelled.strip() and swatch is None:
        problems.append(BadInput("Write the gauge as '30 sts/10cm', or ravel 20 stitches of your swatch and write what they gave.", where="gauge"))
    if problems:
        raise ManyBadInputs(tuple(problems)) if len(problems) > 1 else problems[0]
    round_mm = base.round_mm
    asked = StripesRequest(
        stripes=[f"{band.dye.strip() or 'undyed'}={band.rows.strip()}" for band in request.bands],
        gauge=request.gauge,
        ravelled=request.ravelled if swatch is None or request.gauge.strip() or request.ravelled.strip() else write("length", round(20.0 * swatch.value, 3)),
        stitches=int(request.stitches),
        length=write("length", base.length_mm),
        kept=f"{100 * relaxing.length.value:.2f} %",
        waste=request.waste,
        span=request.span,
        winder="" if round_mm is None else write("length", round_mm),
        dried="" if round_mm is None else write("length", round(round_mm * relaxing.length.value, 2)),
        habits=shelf.habits,
    )
    try:
        sheet = lay_stripes(asked)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=(problem.where or "").lstrip("-"), text=problem.text) from None
    spans = sum(stripe.passes for stripe in sheet.plan.stripes)
    if spans > MOST_SPANS:
        raise BadInput(f"That would be {spans} spans between pegs: give them more room, or fewer rows.", where="span", text=request.span)
    if relaxing.length.origin is Origin.ASSUMED:
        sheet = replace(sheet, assumed=(*sheet.assumed, relaxing.assumed[0]))
    bands = tuple(Striped(dye=band.dye.strip(), depth=depth, srgb=None) for band, depth in zip(request.bands, depths, strict=True))
    return StripePlanSheet(base=base, sheet=sheet, bands=_coloured(bands, base, shelf), stitches=int(request.stitches))


def _depths(bands: Sequence[Band], shelf: OnShelf, habits: Habits) -> tuple[list[float], list[BadInput]]:
    depths, problems = list[float](), list[BadInput]()
    if not 1 <= len(bands) <= MOST_STRIPES:
        problems.append(BadInput(f"A loop has 1 to {MOST_STRIPES} stripes: fill in at least one line.", where="rows.0"))
    for number, band in enumerate(bands):
        depth = 0.0
        try:
            if band.dye.strip():
                if shelf.find(Dye, band.dye) is None:
                    raise BadInput(f"{band.dye.strip()} is no dye on the shelf.", where=f"dye.{number}", text=band.dye)
                depth = parse("fraction", band.depth, where=f"depth.{number}", habits=habits).value
                if not 0.0 < depth <= 0.2:
                    raise BadInput("A depth lies above 0 and up to 20 % on the fibre.", where=f"depth.{number}", text=band.depth)
        except BadInput as problem:
            problems.append(problem)
        depths.append(depth)
    return depths, problems


def _coloured(bands: tuple[Striped, ...], base: Base, shelf: OnShelf) -> tuple[Striped, ...]:
    """The same with their colours on the base, from the dyes' own swatches."""
    import numpy as np

    from skeinwright.core.colour.spaces import linear_to_srgb
    from skeinwright.core.forecast.dyeing import fit_dyes
    from skeinwright.core.forecast.ground import ground_of_base
    from skeinwright.core.forecast.skein_colour import colour_lookup

    dyes = {band.dye: dye for band in bands if band.dye and (dye := shelf.find(Dye, band.dye)) is not None}
    fitted = fit_dyes(list(dyes.values()), shelf.undyed())
    spectrum = ground_of_base(base).spectrum
    found = []
    for band in bands:
        if band.dye and dyes[band.dye].name not in fitted:
            found.append(band)
            continue
        names = (dyes[band.dye].name,) if band.dye else ()
        linear = colour_lookup(names, fitted, spectrum)(np.full((1, len(names)), band.depth))[0]
        red, green, blue = (int(value) for value in np.round(255.0 * linear_to_srgb(linear)))
        found.append(replace(band, srgb=(red, green, blue)))
    return tuple(found)
