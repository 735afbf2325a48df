"""What a run stands on where the dyer has not tested it: each figure with its spread, and the test of her own that would tell."""

from __future__ import annotations

from collections.abc import Iterator

from skeinwright.core.bath.classes import CLASSES
from skeinwright.core.bath.evaporation import HIGH, LID_HIGH, LID_LOW, LOW
from skeinwright.core.bath.fibre import INTERNAL_PK, INTERNAL_WATER_L_KG, WOOL_SITES_MOL_KG
from skeinwright.core.bath.heat import EFFICIENCY
from skeinwright.core.bath.kinetics import FILM_SPREAD
from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.bath.titles import TEST_TITLES
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.items import NOT_KNOWN

_NYLON_FULL = "is full with one dye on each of 40 mmol of amine ends in a kilogram (20 to 70)"


def assumed_of(run: PotRun) -> tuple[str, ...]:
    """Every figure that is assumed of `run` and matters in it, with its 90 % spread and how it could be measured. What was tested is left out."""
    return (*_of_dyes(run), *_of_fibres(run), *_of_the_bath(run), *_of_heat(run))


def _test(key: str) -> str:
    return f'the test "{TEST_TITLES[key]}" tells'


def _of_dyes(run: PotRun) -> Iterator[str]:
    for dye in run.dyes:
        if dye.dye_class not in CLASSES:
            parts = [what for what, known in (("in how much goes on", dye.partition), ("how fast", dye.rate)) if known is None]
            if parts:
                yield f"{dye.name}: its class is not known, so anything from levelling to milling is allowed for, {' and '.join(parts)}; {_test('liquor')}"
            continue
        found = CLASSES[dye.dye_class]
        hold = f"how much the fibre holds (partition {found.kp_own.value:.0f} l/kg at pH {found.own_ph:g} and 95 C, times or divided by 3)"
        parts = [what for what, known in ((hold, dye.partition), ("how fast it goes on (times or divided by 5)", dye.rate)) if known is None]
        if parts:
            yield f"{dye.name}: {dye.dye_class}; {' and '.join(parts)} as is usual of its class; {_test('liquor')}"


def _of_fibres(run: PotRun) -> Iterator[str]:
    for one in run.fibres:
        if one.kind == "superwash" and one.speed is None:
            yield f"{one.base}: superwash dyes 7.5 times as fast as untreated wool at 60 C (3.5 to 22); {_test('superwash')}"
        if one.kind == "nylon":
            usual = (("takes 5 times as much of a trace of dye as wool (2 to 15)", one.preference), (_NYLON_FULL, one.full_g_kg))
            missing = [what for what, known in usual if known is None]
            if missing:
                yield f"{one.base}: nylon {' and '.join(missing)}; {_test('nylon')}"
    sites = f"{WOOL_SITES_MOL_KG:g} mol of sites in a kilogram of wool (+-4 %), pK {INTERNAL_PK:g} inside it (+-0.15)"
    yield f"acid on the yarn: {sites}, {INTERNAL_WATER_L_KG:g} l of water inside it (0.3 to 0.6); a pH read with the yarn in the bath corrects it"
    if run.dyes:
        yield f"still water at the yarn's face: 0.5 mm, 0.2 mm from 80 C (times or divided by {FILM_SPREAD:g}); {_test('liquor')}"


def _of_the_bath(run: PotRun) -> Iterator[str]:
    if run.alkalinity.origin is Origin.ASSUMED:
        yield f"{run.alkalinity.note}; {_test('alkalinity')}"
    yield "what you measure: water +-5 %, thermometer +-2 C, vinegar +-5 % and crystals +-2 % of the label"


def _of_heat(run: PotRun) -> Iterator[str]:
    if run.vessel is not None and run.heated:
        if run.evaporation is None:
            yield f"steam off {run.vessel.name}: still air's law, times {LOW:g} to {HIGH:g}, twice that in a draught; {_test('evaporation')}"
        if run.evaporation_lid is None and run.ever_covered:
            yield f"steam off {run.vessel.name}, lid on: 8 % of the open pot's ({100 * LID_LOW:g} to {100 * LID_HIGH:g} %); {_test('evaporation')}"
    if run.heated and run.energy != NOT_KNOWN:
        usual, least, most = EFFICIENCY[run.energy]
        yield f"{run.energy}: {100 * usual:.0f} % of its power gets into the pot ({100 * least:.0f} to {100 * most:.0f} %); time a pot of water to see"
