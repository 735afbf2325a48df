"""What the dyer's own tests have found, put into a run in place of what is assumed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot, PotRun
from skeinwright.core.bath.spread import Spread
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.calibration import ALKALINITY, EVAPORATION, EVAPORATION_LID, NYLON, NYLON_FULL, PARTITION, RATE, STRIKE, Calibration

LEAST_SHARE = 0.02
"""An interval that reaches down to nothing is cut here, as a share of its value: a factor is spread by factors."""

SAID_WITHIN = 0.005
"""A form says a figure in three digits: so far off it may come back from there, and still be the test's."""
LATER = "The {what} of {of} that stands on the shelf, {typed:.4g}, was put there after your test of {day}, which found {value:.4g}: the shelf's is used."

_SAYS = {
    ALKALINITY: "alkalinity of {of}: {value} mg/L",
    EVAPORATION: "steam off {of}: {value} times still air's",
    EVAPORATION_LID: "steam off {of}, lid on: {value} times a usual lid's",
    STRIKE: "strike of {of}: {value} times untreated wool's at 60 C",
    NYLON: "nylon of {of}: takes {value} times what its wool takes of a trace of dye",
    NYLON_FULL: "nylon of {of}: full at {value} g of dye a kilogram",
    RATE: "rate of {of}: {value} times its class's",
    PARTITION: "hold of {of} on the fibre: {value} times its class's",
}


def with_tests(run: PotRun, calibrations: Iterable[Calibration], *, water: str = "") -> PotRun:
    """`run` with the first of `calibrations` (newest first) of each quantity of its vessel, its bases, its dyes and the water named `water`.

    Each takes the place of a spread that is assumed: what steams away, superwash's speed, nylon's partition and what it holds, a dye's rate and partition,
    the alkalinity. A test writes the alkalinity (to 1 mg/L) and the strike (to 0.01) on the shelf too; a figure there that is no longer the test's was typed
    later, so it stands, and a note says so. What was used is told in `measured`. Things are found by name, in any case.
    """
    tests = _Tests(calibrations)
    alkalinity = _alkalinity(run.alkalinity, tests, water)
    name = None if run.vessel is None else run.vessel.name
    steam = tests.find(EVAPORATION, "vessel", name) if name is not None and run.ever_open else None
    lidded = tests.find(EVAPORATION_LID, "vessel", name) if name is not None and run.ever_covered else None
    tested = replace(
        run,
        fibres=tuple(_fibre(one, tests) for one in run.fibres),
        dyes=tuple(_dye(one, tests.find(RATE, "dye", one.name), tests.find(PARTITION, "dye", one.name)) for one in run.dyes),
        evaporation=run.evaporation if steam is None else _spread(steam),
        evaporation_lid=run.evaporation_lid if lidded is None else _spread(lidded),
        alkalinity=alkalinity,
    )
    return replace(tested, measured=(*run.measured, *(_said(one) for one in tests.used)), notes=(*run.notes, *tests.passed_over))


def tested_alkalinity(stated: Estimate, calibrations: Iterable[Calibration], water: str) -> Estimate:
    """The alkalinity of the water of this name by the same rule: what a test found with its own spread, or `stated` as the shelf has it."""
    return _alkalinity(stated, _Tests(calibrations), water)


def _alkalinity(stated: Estimate, tests: _Tests, water: str) -> Estimate:
    typed = None if stated.origin is Origin.ASSUMED else stated.value
    found = tests.find(ALKALINITY, "water", water, typed=typed, within=0.5) if water else None
    return stated if found is None else found.estimate


class _Tests:
    """Calibrations by what they are of, the newest of each, with what was used of them and what was not and why."""

    def __init__(self, calibrations: Iterable[Calibration]) -> None:
        self.known: dict[tuple[str, str, str], Calibration] = {}
        self.used: list[Calibration] = []
        self.passed_over: list[str] = []
        for one in calibrations:
            self.known.setdefault((one.quantity, one.of_kind, one.of.strip().casefold()), one)

    def find(self, quantity: str, kind: str, name: str, *, typed: float | None = None, within: float = 0.0) -> Calibration | None:
        """The one that counts; None where there is none, or where the shelf's figure `typed` is not the test's own `within` its rounding."""
        found = self.known.get((quantity, kind, name.strip().casefold()))
        if found is None:
            return None
        if typed is not None and abs(typed - found.value) > max(within, SAID_WITHIN * found.value) * (1 + 1e-6):
            note = LATER.format(what=quantity.partition("_")[0], of=found.of, typed=typed, day=found.made_on.isoformat(), value=found.value)
            self.passed_over += [] if note in self.passed_over else [note]
            return None
        self.used += [] if found in self.used else [found]
        return found


def _fibre(fibre: FibreInPot, tests: _Tests) -> FibreInPot:
    if fibre.kind == "nylon":
        preference, full = tests.find(NYLON, "base", fibre.base), tests.find(NYLON_FULL, "base", fibre.base)
        return replace(
            fibre, preference=fibre.preference if preference is None else _spread(preference), full_g_kg=fibre.full_g_kg if full is None else _spread(full)
        )
    found = tests.find(STRIKE, "base", fibre.base, typed=fibre.speed, within=0.005)
    if found is None or found.value <= 0:
        return fibre
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
