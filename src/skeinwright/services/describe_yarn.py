"""A yarn from its put-up: counts, names of its thickness, and how thick it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.quantities import HABITS, Habits, parse


@dataclass(frozen=True, kw_only=True, slots=True)
class YarnRequest:
    """A put-up as typed: "100 g" and "400 m"."""

    mass: str
    length: str
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class YarnSheet:
    """What follows from a put-up."""

    inputs: dict[str, str]
    tex: float
    nm: float
    yd_per_lb: float
    m_per_100g: float
    categories: tuple[str, ...]
    visual_mm: float
    wraps_per_inch: float
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "inputs": self.inputs,
            "tex": self.tex,
            "nm": self.nm,
            "yd_per_lb": self.yd_per_lb,
            "m_per_100g": self.m_per_100g,
            "categories": list(self.categories),
            "visual_mm": self.visual_mm,
            "wraps_per_inch": self.wraps_per_inch,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def describe_yarn(request: YarnRequest) -> YarnSheet:
    """The counts of a yarn. Raises BadInput where the put-up cannot be read, or is of no yarn."""
    from skeinwright.core.foundations.errors import BadInput
    from skeinwright.core.yarn.count import categories, metres_per_100_g, metric_count, tex_from_put_up, yards_per_pound
    from skeinwright.core.yarn.diameter import visual_diameter_mm

    mass = parse("mass", request.mass, where="--mass", habits=request.habits)
    length = parse("length", request.length, where="--length", habits=request.habits)
    tex = tex_from_put_up(mass.value, length.value)
    if not 5.0 <= tex <= 50_000.0:
        raise BadInput(f"{request.mass} in {request.length} would be {tex:.3g} tex, which is no yarn: check both units.", where="--length")
    names = categories(metres_per_100_g(tex))
    warnings: tuple[str, ...] = ()
    if len(names) > 1:
        warnings = (f"{' and '.join(names)} overlap in the charts: the names are a guideline, the metres are not.",)
    visual = visual_diameter_mm(tex)
    return YarnSheet(
        inputs={"mass": mass.echo, "length": length.echo},
        tex=tex,
        nm=metric_count(tex),
        yd_per_lb=yards_per_pound(tex),
        m_per_100g=metres_per_100_g(tex),
        categories=names,
        visual_mm=visual,
        wraps_per_inch=25.4 / visual,
        warnings=warnings,
        assumed=("Thickness and wraps are those of a wool yarn of usual fullness; wraps round a ruler would measure them.",),
    )
