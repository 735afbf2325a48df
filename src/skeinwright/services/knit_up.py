"""How a painted skein knits up: stitch length, stitches per repeat, the shift of each round, and what that looks like."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from skeinwright.core.foundations.quantities import HABITS, Habits, parse


@dataclass(frozen=True, kw_only=True, slots=True)
class KnitRequest:
    """As typed: the gauge, stitches in a round (or a row), once round of the dried skein. `ravelled`: the length that `ravelled_stitches` gave."""

    gauge: str
    stitches: int
    round: str
    flat: bool = False
    ravelled: str = ""
    ravelled_stitches: int = 20
    state: str = "wet relaxed"
    habits: Habits = HABITS


@dataclass(frozen=True, kw_only=True, slots=True)
class KnitSheet:
    """What is forecast of the knitting."""

    inputs: dict[str, Any]
    stitch_mm: float
    rows_per_10cm: float
    stitches_per_repeat: float
    shift_per_round: float
    rotation: float
    rounds_per_turn: float | None
    verdict: str
    verdict_band: dict[str, float]
    sentence: str
    scatters_best: int
    yarn_per_round_m: float
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "inputs": self.inputs,
            "stitch_mm": self.stitch_mm,
            "rows_per_10cm": self.rows_per_10cm,
            "stitches_per_repeat": self.stitches_per_repeat,
            "shift_per_round": self.shift_per_round,
            "rotation": self.rotation,
            "rounds_per_turn": self.rounds_per_turn,
            "verdict": self.verdict,
            "verdict_band": self.verdict_band,
            "sentence": self.sentence,
            "scatters_best_stitches": self.scatters_best,
            "yarn_per_round_m": self.yarn_per_round_m,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def knit_up(request: KnitRequest) -> KnitSheet:
    """The verdict on one stitch count. Raises BadInput where something cannot be read."""
    from skeinwright.core.foundations.errors import BadInput
    from skeinwright.core.yarn.gauge import parse_gauge
    from skeinwright.core.yarn.knitting import STATES, courses_per_mm, gauge_warnings, ravelled_stitch_mm, stitch_length_mm
    from skeinwright.core.yarn.pooling import GAUGE_SPREAD, least_pooling, pooling, stitches_per_repeat

    if request.state not in STATES:
        raise BadInput(f"The knitting is {', '.join(STATES)}.", where="--state", text=request.state)
    gauge = parse_gauge(request.gauge, where="--gauge")
    around = parse("length", request.round, where="--round", habits=request.habits)
    assumed = []
    if request.ravelled:
        given = parse("length", request.ravelled, where="--ravelled", habits=request.habits)
        stitch_mm = ravelled_stitch_mm(given.value, request.ravelled_stitches)
    else:
        stitch_mm = stitch_length_mm(gauge.stitches_per_mm, gauge.rows_per_mm, state=request.state)
        assumed.append(f"Stitch length from the gauge of plain knit, {request.state}; ravel 20 stitches of your swatch to measure it.")
    q = stitches_per_repeat(around.value, stitch_mm)
    found = pooling(request.stitches, q, flat=request.flat)
    low, high = max(10, round(0.85 * request.stitches)), round(1.15 * request.stitches) + 1
    assumed.append(f"Gauge and once round within {100 * GAUGE_SPREAD:.0f} %.")
    return KnitSheet(
        inputs={"gauge": request.gauge, "stitches": request.stitches, "round": around.echo, "flat": request.flat},
        stitch_mm=stitch_mm,
        rows_per_10cm=100.0 * (gauge.rows_per_mm or courses_per_mm(stitch_mm, state=request.state)),
        stitches_per_repeat=q,
        shift_per_round=found.shift,
        rotation=found.rotation,
        rounds_per_turn=found.rounds_per_turn,
        verdict=found.verdict,
        verdict_band=found.band,
        sentence=found.sentence,
        scatters_best=least_pooling(q, min(low, high - 1), high, flat=request.flat),
        yarn_per_round_m=request.stitches * stitch_mm / 1000.0,
        warnings=gauge_warnings(gauge.stitches_per_mm, gauge.rows_per_mm),
        assumed=tuple(assumed),
    )
