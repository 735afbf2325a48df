"""The base page's measurement: a marked strand, and wraps round a ruler or its thickness in two photos, wet and dry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.quantities import HABITS, Habits, parse
from skeinwright.core.yarn.relaxation import MarkFactors, mark_factors, measured_length, measured_width_by_photo, measured_width_by_wraps

_READINGS = "A ruler is read to 1 mm, wraps to half a wrap, a thickness in a photo to 0.05 mm; two strands are alike to 0.5 % (one standard deviation)."
_ASKED = {
    "wet_length": "length",
    "dry_length": "length",
    "wet_wraps": "count",
    "dry_wraps": "count",
    "wet_width": "length",
    "dry_width": "length",
}
"""Field -> kind of quantity."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RelaxingRequest:
    """As typed: lengths of one marked strand, wet-stretched and dried; wraps over the same stretch of ruler, or the strand's thickness in photos.

    A pair that is not said is not measured; wraps go before thicknesses where both are said.
    """

    wet_length: str = ""
    dry_length: str = ""
    wet_wraps: str = ""
    dry_wraps: str = ""
    wet_width: str = ""
    dry_width: str = ""
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class RelaxingSheet:
    """lambda_L and lambda_D with their 90 % intervals, None where a pair was not said."""

    inputs: dict[str, str]
    length: Estimate | None
    width: Estimate | None

    @property
    def factors(self) -> MarkFactors | None:
        """What washing multiplies each measure of a mark by; None until both are measured."""
        return None if self.length is None or self.width is None else mark_factors(self.length.value, self.width.value)

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        found: dict[str, Any] = {"inputs": self.inputs}
        for name, one in (("relax_length", self.length), ("relax_width", self.width)):
            found[name] = None if one is None else one.value
            found[f"{name}_ci"] = None if one is None else [one.low, one.high]
        return found | {"warnings": [], "assumed": [_READINGS]}


def work_out_relaxing(request: RelaxingRequest) -> RelaxingSheet:
    """lambda_L and lambda_D with their spread, measured. Raises BadInput or ManyBadInputs, `where` the field. What is kept is `keep_relaxing`'s to write."""
    values, inputs, problems = dict[str, float](), dict[str, str](), list[BadInput]()
    for field, kind in _ASKED.items():
        typed = getattr(request, field).strip()
        if typed:
            try:
                read = parse(kind, typed, where=field, habits=request.habits)
                values[field], inputs[field] = float(read.value), read.echo
            except BadInput as problem:
                problems.append(problem)
    for first, second in (("wet_length", "dry_length"), ("wet_wraps", "dry_wraps"), ("wet_width", "dry_width")):
        said = {field for field in (first, second) if getattr(request, field).strip()}
        if len(said) == 1:
            missing = first if second in said else second
            problems.append(BadInput("Both are needed, wet and dry: measure the same strand again.", where=missing))
    if not problems and not values:
        problems.append(BadInput("Measure at least one pair: the two lengths, or the two thicknesses.", where="wet_length"))
    if problems:
        raise ManyBadInputs(tuple(problems)) if len(problems) > 1 else problems[0]
    length = measured_length(values["wet_length"], values["dry_length"]) if "wet_length" in values else None
    width: Estimate | None
    if "wet_wraps" in values:
        width = measured_width_by_wraps(values["wet_wraps"], values["dry_wraps"])
    else:
        width = measured_width_by_photo(values["wet_width"], values["dry_width"]) if "wet_width" in values else None
    return RelaxingSheet(inputs=inputs, length=length, width=width)
