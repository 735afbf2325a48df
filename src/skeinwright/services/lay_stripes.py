"""Self-striping yarn: how long each colour must be wound, and how far apart the pegs stand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, parse

if TYPE_CHECKING:
    from skeinwright.core.yarn.stripes import StripePlan

_STRIPE = re.compile(r"\s*(.*?)\s*=\s*(\d+(?:[.,]\d+)?)\s*(?:rows?|rounds?|rnds?)?\s*")


@dataclass(frozen=True, kw_only=True, slots=True)
class StripesRequest:
    """As typed: stripes ("Kelp=10 rows"), gauge, stitches in a row, what one skein runs, and how the yarn shortens in the wash (per cent kept)."""

    stripes: Sequence[str]
    gauge: str
    stitches: int
    length: str
    kept: str = ""
    waste: str = "3 %"
    span: str = "2 m"
    winder: str = ""
    dried: str = ""
    ravelled: str = ""
    """What `ravelled_stitches` of the dyer's own swatch gave when ravelled; it goes before the gauge."""
    ravelled_stitches: int = 20
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class StripesSheet:
    """The plan of the loop."""

    inputs: dict[str, Any]
    stitch_mm: float
    plan: StripePlan
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "inputs": self.inputs,
            "stitch_mm": self.stitch_mm,
            "stripes": [
                {
                    "name": one.name,
                    "rows": one.rows,
                    "dried_m": one.dried_mm / 1000.0,
                    "wound_m": one.length_mm / 1000.0,
                    "passes": one.passes,
                    "peg_cm": one.peg_mm / 10.0,
                    "starts_m": one.start_mm / 1000.0,
                }
                for one in self.plan.stripes
            ],
            "loop_m": self.plan.loop_mm / 1000.0,
            "repeats": self.plan.repeats,
            "left_over_m": self.plan.left_over_mm / 1000.0,
            "path_mm": [list(point) for point in self.plan.path()],
            "warnings": list(self.plan.warnings),
            "assumed": list(self.assumed),
        }


def lay_stripes(request: StripesRequest) -> StripesSheet:
    """The winding of a self-striping skein. Raises BadInput where something cannot be read."""
    from skeinwright.core.yarn.gauge import parse_gauge
    from skeinwright.core.yarn.knitting import ravelled_stitch_mm, stitch_length_mm
    from skeinwright.core.yarn.stripes import Stripe
    from skeinwright.core.yarn.stripes import lay_stripes as laid

    assumed = []
    if request.ravelled:
        given = parse("length", request.ravelled, where="--ravelled", habits=request.habits)
        stitch_mm = ravelled_stitch_mm(given.value, request.ravelled_stitches)
    elif not request.gauge.strip():
        raise BadInput("Write the gauge as '30 sts/10cm', or what your ravelled swatch gave.", where="--gauge")
    else:
        gauge = parse_gauge(request.gauge, where="--gauge")
        stitch_mm = stitch_length_mm(gauge.stitches_per_mm, gauge.rows_per_mm)
        assumed.append("Stitch length from the gauge of plain knit, washed; knit a swatch and ravel 20 stitches to measure it.")
    length = parse("length", request.length, where="--length", habits=request.habits)
    kept = parse("fraction", request.kept, where="--kept", habits=request.habits).value if request.kept else 0.95
    if not request.kept:
        assumed.append("95 % of the length is left after washing (a medium base; 91-98 %). Measure a marked strand of your base.")
    stripes = []
    for text in request.stripes:
        found = _STRIPE.fullmatch(text)
        if found is None:
            raise BadInput("Write each stripe as 'Kelp=10 rows'.", where="--stripe", position=0, text=text)
        stripes.append(Stripe(found[1], float(found[2].replace(",", "."))))
    winder, dried = (
        parse("length", said, where=where, habits=request.habits).value if said else None
        for said, where in ((request.winder, "--winder"), (request.dried, "--dried"))
    )
    plan = laid(
        stripes,
        request.stitches,
        stitch_mm,
        yarn_mm=length.value,
        relax_length=kept,
        waste=parse("fraction", request.waste, where="--waste", habits=request.habits).value,
        span_mm=parse("length", request.span, where="--span", habits=request.habits).value,
        winder_round_mm=winder,
        dried_round_mm=dried if dried is not None or winder is None else winder * kept,
    )
    return StripesSheet(
        inputs={"stripes": list(request.stripes), "gauge": request.gauge, "stitches": request.stitches, "length": length.echo},
        stitch_mm=stitch_mm,
        plan=plan,
        assumed=tuple(assumed),
    )
