"""A recipe that a search found or a person wrote, with what it comes out as."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.forecast.dye_facts import in_pct, lab_list

if TYPE_CHECKING:
    from skeinwright.core.colour.match import Match
    from skeinwright.core.colour.weighable import Dose
    from skeinwright.core.forecast.dyeing import BaseForecast


@dataclass(frozen=True, kw_only=True, slots=True)
class FoundRecipe:
    """One recipe with its forecast: the match as solved, or as rounded where the fibre's weight is known, and then `amounts`.

    Its doses are as applied; `counted` are the depths that they are worth in the swatches' bath, where the bath has another liquor ratio.
    """

    match: Match
    forecast: BaseForecast
    amounts: tuple[Dose, ...] = ()
    counted: Mapping[str, float] = field(default_factory=dict)

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object; doses in per cent of the fibre's weight."""
        match = self.match
        plain = {
            "doses": in_pct(match.doses),
            "lab": lab_list(match.lab),
            "de00": round(match.de00, 3),
            "spread_de00": None if self.forecast.spread_de00 is None else round(self.forecast.spread_de00, 2),
            "inconstancy": {lamp: round(value, 2) for lamp, value in match.inconstancy.items()},
            "metamerism": None if match.metamerism is None else {lamp: round(value, 2) for lamp, value in match.metamerism.items()},
            "robustness_de00": round(match.robustness, 2),
            "cost_minor_per_100g": None if match.cost_minor is None else round(match.cost_minor, 2),
            "notes": list(self.forecast.notes),
        }
        if self.amounts:
            plain["amounts"] = [dose.to_plain() for dose in self.amounts]
        if self.counted:
            plain["counted"] = in_pct(self.counted)
        return plain
