"""The base page's measurement: a marked strand and wraps round a ruler, wet and dry."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.quantities import HABITS, Habits, parse
from skeinwright.core.yarn.relaxation import Relaxation, measured_relaxation


@dataclass(frozen=True, kw_only=True, slots=True)
class RelaxingRequest:
    """As typed: lengths of one marked strand, wet-stretched and dried, and wraps over the same stretch of ruler."""

    wet_length: str
    dry_length: str
    wet_wraps: str
    dry_wraps: str
    habits: Habits = HABITS


def work_out_relaxing(request: RelaxingRequest) -> Relaxation:
    """lambda_L and lambda_D with their spread, measured; the mixing stays assumed. Raises BadInput. What is kept on the base is the caller's to write."""
    wet, dry = (
        parse("length", said, where=where, habits=request.habits).value
        for said, where in ((request.wet_length, "wet length"), (request.dry_length, "dry length"))
    )
    wraps = [
        float(parse("count", said, where=where, habits=request.habits).value)
        for said, where in ((request.wet_wraps, "wet wraps"), (request.dry_wraps, "dry wraps"))
    ]
    return measured_relaxation(wet, dry, wraps[0], wraps[1])
