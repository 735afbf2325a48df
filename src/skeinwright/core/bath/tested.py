"""What the dyer's own tests have found, put into a run in place of what is assumed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot, PotRun
from skeinwright.core.bath.spread import Spread
from skeinwright.core.shelf.calibration import ALKALINITY, EVAPORATION, EVAPORATION_LID, NYLON, PARTITION, RATE, STRIKE, Calibration

LEAST_SHARE = 0.02
"""An interval that reaches down to nothing is cut here, as a share of its value: a factor is spread by factors."""

_SAYS = {
    ALKALINITY: "alkalinity of {of}: {value} mg/L",
    EVAPORATION: "steam off {of}: {value} times still air's",
    EVAPORATION_LID: "steam off {of}, lid on: {value} times a usual lid's",
    STRIKE: "strike of {of}: {value} times untreated wool's at 60 C",
    NYLON: "nylon of {of}: takes {value} times what its wool takes of a trace of dye",
    RATE: "rate of {of}: {value} times its class's",
    PARTITION: "hold of {of} on the fibre: {value} times its class's",
}


def with_tests(run: PotRun, calibrations: Iterable[Calibration], *, water: str = "") -> PotRun:
    """`run` with the first of `calibrations` (newest first) of each quantity of its vessel, its bases, its dyes and the water named `water`.

    Each takes the place of a spread that is assumed: what steams away, superwash's speed, nylon's partition, a dye's rate and partition, the alkalinity.
    What was used is told in `measured`. Things are found by name, in any case.
    """
    known: dict[tuple[str, str, str], Calibration] = {}
    for one in calibrations:
        known.setdefault((one.quantity, one.of_kind, one.of.strip().casefold()), one)
    used: list[Calibration] = []

    def find(quantity: str, kind: str, name: str) -> Calibration | None:
        found = known.get((quantity, kind, name.strip().casefold()))
        if found is not None and found not in used:
            used.append(found)
        return found

    alkalinity = find(ALKALINITY, "water", water) if water else None
    steam = find(EVAPORATION_LID if run.lid else EVAPORATION, "vessel", run.vessel.name) if run.vessel is not None else None
    tested = replace(
        run,
        fibres=tuple(_fibre(one, find(NYLON if one.kind == "nylon" else STRIKE, "base", one.base)) for one in run.fibres),
        dyes=tuple(_dye(one, find(RATE, "dye", one.name), find(PARTITION, "dye", one.name)) for one in run.dyes),
        evaporation=run.evaporation if steam is None else _spread(steam),
        alkalinity=run.alkalinity if alkalinity is None else alkalinity.estimate,
    )
    return replace(tested, measured=(*run.measured, *(_said(one) for one in used))) if used else run


def _fibre(fibre: FibreInPot, found: Calibration | None) -> FibreInPot:
    if found is None or found.value <= 0:
        return fibre
    if fibre.kind == "nylon":
        return replace(fibre, preference=_spread(found))
    spread = _spread(found)
    return replace(fibre, speed=spread.value, speed_within=max((spread.high / spread.low) ** 0.5, 1.001))


def _dye(dye: DyeInPot, rate: Calibration | None, partition: Calibration | None) -> DyeInPot:
    return replace(dye, rate=dye.rate if rate is None else _spread(rate), partition=dye.partition if partition is None else _spread(partition))


def _spread(found: Calibration) -> Spread:
    value = max(found.value, 1e-6)
    return Spread(value, max(found.low, LEAST_SHARE * value), max(found.high, value))


def _said(one: Calibration) -> str:
    value = f"{one.value:.3g} ({one.low:.3g} to {one.high:.3g})"
    said = _SAYS[one.quantity].format(of=one.of, value=value)
    return f"{said}, your own test of {one.made_on.isoformat()}"
