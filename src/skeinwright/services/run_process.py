"""Run the pot of a colourway's file: temperature, pH, water and uptake over time, with bands, and what they say."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.reading import read_colourway_document
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, parse_fibre
from skeinwright.files.documents import read_document
from skeinwright.services.follow_pot import NOTHING_ASKED, PotQuestion
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.bath.course import Band, PotCourse
    from skeinwright.core.bath.pot_run import PotRun
    from skeinwright.core.bath.strike import DyeSummary
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.shelf.items import Base

DRAWS = 200
NO_DATE_YEAR = 2000
"""The plan asks for a day to tell how old solutions are, which does not matter here."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ProcessRequest:
    """The text of a colourway's file (TOML), how its amounts are read, and the seed of the draws; `draws` 0 gives the centre line alone.

    `base` follows it on another base than the file's first; `asked` is what else is asked of the pot: things otherwise than planned, a pH that was read.
    """

    data: bytes
    name: str = "the file"
    habits: Habits = HABITS
    seed: int = 1
    draws: int = DRAWS
    base: str = ""
    asked: PotQuestion = NOTHING_ASKED


@dataclass(frozen=True, slots=True)
class ProcessFigures:
    """The course of the pot with its sentences; `to_plain` is the contract's JSON object."""

    course: PotCourse
    sentences: tuple[str, ...]
    inputs: dict[str, Any] = field(default_factory=dict)

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object. Exhaustion is to 1 %, as nothing finer is known; `t50_s` is null where nothing goes on."""
        from skeinwright.core.bath.strike import summary

        course = self.course
        whole = summary(course)
        return {
            "time_s": [round(float(time), 1) for time in course.time_s],
            "temp_c": [round(float(temp), 2) for temp in course.temp_c],
            "ph": _line(course.ph.centre, 3),
            "water_l": _line(course.water_l.centre, 4),
            "uptake": {dye: _line(band.centre, 3) for dye, band in course.uptake.items()},
            "bands": {"ph": _band(course.ph, 3), "water_l": _band(course.water_l, 4), "uptake": {dye: _band(band, 3) for dye, band in course.uptake.items()}},
            "summary": {
                **_summary(whole),
                "final_ph": round(float(course.ph.centre[-1]), 2),
                "energy_kwh": round(course.energy_kwh.value, 3),
                "energy_kwh_ci": [round(course.energy_kwh.low, 3), round(course.energy_kwh.high, 3)],
                "by_dye": {dye: _summary(summary(course, dye)) for dye in course.uptake},
                "on_fibre_g_kg": {base: {dye: round(one.value, 3) for dye, one in dyes.items()} for base, dyes in course.on_fibre.items()},
            },
            "status": course.status,
            "sentences": list(self.sentences),
            "inputs": self.inputs,
            "warnings": list(course.notes),
            "assumed": list(course.run.assumed),
            "measured": list(course.run.measured),
        }


def run_process(request: ProcessRequest, studio: Studio | None = None) -> ProcessFigures:
    """What happens in the pot that a colourway's file describes, as `follow_pot` follows it. The files that it names for swatches are not needed and not read.

    With a `studio`, bases, dyes, acids, water and vessels that the file names are taken from its shelf. Raises BadInput or ManyBadInputs.
    """
    import numpy as np

    from skeinwright.core.bath.process import process
    from skeinwright.core.bath.said_of_pot import blend_sentences, water_sentences
    from skeinwright.core.bath.staged_acid import staged_acid
    from skeinwright.core.bath.strike import LEVEL_LIMIT_PER_MIN, sentences
    from skeinwright.core.bath.what_if import beside_the_plan

    colourway = _read(request)
    run, _ = beside_the_plan(_run(colourway, studio, request), request.asked.what)
    rng = np.random.default_rng(request.seed) if request.draws > 0 else None
    course = process(run, rng=rng, draws=max(request.draws, 1))
    staged = staged_acid(course, LEVEL_LIMIT_PER_MIN)
    said = sentences(course, acid_waits=staged.waits, enough=staged.within_limit)
    inputs = _inputs(colourway, run, request.asked)
    return ProcessFigures(course, (*said, *blend_sentences(course), *run.told, *water_sentences(course)), inputs)


def _read(request: ProcessRequest) -> Colourway:
    document = dict(read_document(request.data, name=request.name))
    dyes = document.get("dye")
    if isinstance(dyes, list):
        document["dye"] = [{key: value for key, value in dye.items() if key != "swatches"} if isinstance(dye, dict) else dye for dye in dyes]
    return read_colourway_document(document, habits=request.habits)


def _run(colourway: Colourway, studio: Studio | None, request: ProcessRequest) -> PotRun:
    from datetime import date

    from skeinwright.core.lot.in_pot import pot_of_sketch
    from skeinwright.core.lot.lot import Row
    from skeinwright.core.lot.on_shelf import on_shelf
    from skeinwright.core.lot.plan import draft_of, with_own
    from skeinwright.core.lot.sketch import SOME_POT, Sketch

    altitude_m = 0.0
    if studio is None:
        shelf = on_shelf((), habits=request.habits)
    else:
        from skeinwright.services.shelf_for_lot import shelf_for_lot

        with studio.store.reading() as reading:
            shelf, altitude_m = shelf_for_lot(reading, colourway.water), reading.settings().altitude_m
    plain, shelf = shelf, with_own(colourway, shelf)
    base = _base(colourway, shelf, request.base)
    fibre = parse_fibre(colourway.fibre, skein_g=base.skein_g, where="fibre", habits=shelf.habits)
    vessel = colourway.vessel.strip() or (SOME_POT if colourway.own_vessel is None else colourway.own_vessel.name)
    row = Row(number=1, base=base.name, skeins=fibre.skeins or 1, skein_g=fibre.skein_g or fibre.total_g, vessel=vessel)
    known = shelf.find(type(base), base.name)
    laid = plain if known is not None else replace(plain, things=MappingProxyType({**plain.things, (base.kind, base.name.strip().casefold()): base}))
    draft = draft_of(colourway, (row,), laid, today=date(NO_DATE_YEAR, 1, 1))
    sketch = Sketch(draft=draft, row=row, fibre=fibre, problems=(), left_out=frozenset())
    run = pot_of_sketch(sketch, base, shelf, altitude_m=altitude_m, read=request.asked.read).run
    return replace(run, assumed=(*run.assumed, *draft.assumed), notes=(*run.notes, *draft.refused))


def _base(colourway: Colourway, shelf: OnShelf, wanted: str) -> Base:
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.shelf.no_base import wool_base

    if wanted.strip():
        named = shelf.find(Base, wanted)
        if named is None:
            raise BadInput(f"There is no base '{wanted.strip()}' in the file or on the shelf: give its studio with --studio.", where="base", text=wanted)
        return named
    if colourway.own_base is not None:
        return colourway.own_base
    if not colourway.bases:
        return wool_base("")
    found = shelf.find(Base, colourway.bases[0])
    if found is None:
        said = f"The file names the base '{colourway.bases[0]}', which is not in it"
        raise BadInput(f"{said}: write a [base] table, or give its studio with --studio.", where="base")
    return found


def _inputs(colourway: Colourway, run: PotRun, asked: PotQuestion) -> dict[str, Any]:
    doses = {dye: round(1000 * grams) / 1000 for dye, grams in run.dose_g.items()}
    fibres = [f"{one.mass_g:.4g} g {one.kind} ({one.base})" for one in run.fibres]
    vessel = run.vessel.name if run.vessel is not None else "not known"
    inputs = {"name": colourway.name, "fibres": fibres, "dyes_g": doses, "steps": len(colourway.steps), "vessel": vessel}
    if asked.what:
        inputs["what_if"] = asked.what.said
    if asked.read is not None:
        inputs["ph_read"] = {"ph": asked.read.ph, "after_step": asked.read.step, "half_width": asked.read.half_width}
    return inputs


def _summary(one: DyeSummary) -> dict[str, Any]:
    return {
        "exhaustion": one.exhaustion.value,
        "exhaustion_ci": [one.exhaustion.low, one.exhaustion.high],
        "t50_s": None if one.t50_s is None else round(one.t50_s),
    }


def _line(values: Any, digits: int) -> list[float]:
    return [round(float(value), digits) for value in values]


def _band(band: Band, digits: int) -> dict[str, list[float]]:
    return {"low": _line(band.low, digits), "high": _line(band.high, digits)}
