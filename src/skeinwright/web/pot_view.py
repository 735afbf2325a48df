"""A pot as the page shows it: the chart, the same in words, the figures with their spread, and what to mind."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.bath.strike import DyeSummary, ends_said, share_said
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.say import say
from skeinwright.services.follow_pot import PotSheet
from skeinwright.web.colourway_margin import Line
from skeinwright.web.pot_chart import Chart, chart_of


@dataclass(frozen=True, slots=True)
class ShownPot:
    """What the page has of a pot. `chart` is None where nothing can be followed; `words` say what the chart shows."""

    base: str
    why: str
    banded: bool
    chart: Chart | None
    words: tuple[str, ...]
    sentences: tuple[str, ...]
    lines: tuple[Line, ...]
    reminders: tuple[str, ...]
    notes: tuple[str, ...]
    assumed: tuple[str, ...]
    measured: tuple[str, ...]
    what: str


def shown_pot(sheet: PotSheet, currency: str) -> ShownPot:
    """A sheet made ready."""
    course = sheet.course
    chart = None if course is None else chart_of(course, banded=sheet.banded, planned=sheet.planned)
    stopped = (f"{sheet.status[:1].upper()}{sheet.status[1:]}.",) if sheet.course is not None and sheet.status == "outside range" else ()
    return ShownPot(
        sheet.base,
        sheet.why,
        sheet.banded,
        chart,
        _words(sheet),
        sheet.sentences,
        tuple(_lines(sheet, currency)),
        sheet.reminders,
        (*stopped, *sheet.notes),
        sheet.assumed,
        sheet.measured,
        sheet.what,
    )


def _words(sheet: PotSheet) -> tuple[str, ...]:
    course = sheet.course
    if course is None:
        return ()
    temp, ph = course.temp_c, course.ph
    start, end = course.time_s[0] / 60, course.time_s[-1] / 60
    spread = f" ({ph.low[-1]:.1f} to {ph.high[-1]:.1f})" if sheet.banded else ""
    found = [
        f"From minute {start:.0f} to {end:.0f}: {temp[0]:.0f} °C at first, {temp.max():.0f} °C at most, {temp[-1]:.0f} °C in the end.",
        f"pH {ph.centre[0]:.1f} at first, {ph.centre.min():.1f} at the lowest, {ph.centre[-1]:.1f} in the end{spread}.",
    ]
    found += [_of_dye(name, one, sheet.banded) for name, one in sheet.dyes.items()]
    return (*found, *_beside_plan(sheet))


def _beside_plan(sheet: PotSheet) -> tuple[str, ...]:
    """What the plan comes to, where something else is asked."""
    if sheet.planned is None:
        return ()
    plan = sheet.planned
    ends = [f"{share_said(float(band.centre[-1]))} of the {name} on the yarn" for name, band in plan.uptake.items()]
    return (f"This is with {sheet.what}. As planned: {', '.join([f'pH {float(plan.ph.centre[-1]):.1f} in the end', *ends])}.",)


def _of_dye(name: str, one: DyeSummary, banded: bool) -> str:
    if one.t50_s is None:
        return f"{name}: nothing goes on."
    ends = ends_said(one.exhaustion) if banded else ""
    spread = f" ({ends})" if ends else ""
    return f"{name}: half of what goes on is on by minute {one.t50_s / 60:.0f}; {share_said(one.exhaustion.value)} is on the yarn in the end{spread}."


def _lines(sheet: PotSheet, currency: str) -> list[Line]:
    course, found = sheet.course, []
    if course is None or not sheet.banded:
        return []
    if sheet.acid is not None:
        before, after = sheet.acid.before.ph, sheet.acid.after.ph
        more = f"± {_half(after)}, once the yarn has drunk its share; as mixed it is {before.value:.1f}, without the yarn"
        end = float(course.ph.centre[-1])
        more += f"; {end:.1f} in the end, as dye takes acid along" if end > after.value + 0.1 and course.uptake else ""
        found.append(Line("pH in the pot", f"{after.value:.1f}", more))
    found += [Line(f"{name} on the yarn", share_said(one.exhaustion.value), ends_said(one.exhaustion)) for name, one in sheet.dyes.items()]
    if course.run.heated:
        kwh = course.energy_kwh
        found.append(Line("Heat", f"{kwh.value:.2g} kWh", f"{kwh.low:.2g} to {kwh.high:.2g} kWh{_money(sheet.cost_minor, currency)}"))
    return found


def _half(ph: Estimate) -> str:
    return f"{max(ph.high - ph.value, ph.value - ph.low, 0.05):.1f}"


def _money(cost: Estimate | None, currency: str) -> str:
    if cost is None:
        return ""
    low, high = (say("money", round(one)) for one in (cost.low, cost.high))
    return f", {currency} {low} to {high}".replace("  ", " ")
