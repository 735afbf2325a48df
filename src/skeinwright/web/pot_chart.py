"""A pot's course as a small drawing: three panels over one time, labelled directly, told apart by dashes and not by hue."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skeinwright.core.bath.course import Band, PotCourse

WIDTH = 248.0
LEFT, RIGHT = 26.0, 78.0
TITLE, GAP = 16.0, 10.0
HEIGHTS = (50.0, 58.0, 92.0)
LABEL_APART = 13.0
LONGEST_NAME = 9
DASHES = ("", "7 3", "2 3", "9 3 2 3", "4 2", "1 2")
"""Line styles of the dyes, in order."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A rule across a panel, or a tick under it: where (in the drawing's own units) and its figure."""

    at: float
    said: str


@dataclass(frozen=True, slots=True)
class Label:
    """A name at the right end of a line, with a piece of that line before it."""

    y: float
    said: str
    dash: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line with its band as SVG paths; `band` "" where there is none."""

    line: str
    band: str
    dash: str


@dataclass(frozen=True, slots=True)
class Panel:
    """One quantity over time: its title, its place, rules, lines, the lines as planned where something else is asked, and labels."""

    title: str
    top: float
    height: float
    rules: tuple[Mark, ...]
    lines: tuple[Drawn, ...]
    planned: tuple[Drawn, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """The drawing, in units that are CSS pixels where it is 248 wide; `right` is where the plots end."""

    width: float
    height: float
    left: float
    right: float
    panels: tuple[Panel, ...]
    ticks: tuple[Mark, ...]
    foot: float
    has_bath: bool = False
    """Whether a grey line of temperature is that of the water bath round the pot."""


def chart_of(course: PotCourse, *, banded: bool, planned: PotCourse | None = None) -> Chart:
    """The chart of a course: temperature (C), pH, and the share of each dye on the yarn (%), over minutes of the plan; `planned` lies under it in grey."""
    minutes = [float(time) / 60 for time in course.time_s]
    across = _Scale(minutes[0], max(minutes[-1], minutes[0] + 1), LEFT, WIDTH - RIGHT)
    hottest = max(100.0, max(float(one) for one in course.temp_c))
    others = () if planned is None else (planned,)
    ph = course.ph
    lowest = floor(min(float(one) for line in (ph.low, *(other.ph.centre for other in others)) for one in line))
    highest = ceil(max(float(one) for line in (ph.high, *(other.ph.centre for other in others)) for one in line))
    tops = [TITLE + 4]
    for height in HEIGHTS[:-1]:
        tops.append(tops[-1] + height + GAP + TITLE)
    temp = _panel("Temperature, °C", tops[0], HEIGHTS[0], 0.0, hottest, (20, 60, 100))
    acid = _panel("pH", tops[1], HEIGHTS[1], lowest, max(highest, lowest + 1), _whole(lowest, max(highest, lowest + 1)))
    yarn = _panel("On the yarn, %", tops[2], HEIGHTS[2], 0.0, 100.0, (0, 50, 100))
    uptake = [_Curve(name, _per_cent(band), dash) for (name, band), dash in zip(course.uptake.items(), _styles(len(course.uptake)), strict=True)]
    end = f"{float(ph.centre[-1]):.1f}"
    panels = (
        _drawn(temp, across, minutes, [_Curve(f"{float(course.temp_c[-1]):.0f}", (course.temp_c,) * 3, "")], banded=False),
        _drawn(acid, across, minutes, [_Curve(end, (ph.centre, ph.low, ph.high), "")], banded=banded),
        _drawn(yarn, across, minutes, uptake, banded=banded),
    )
    for other in others:
        dashes = [curve.dash for curve in uptake]
        lines = ([(other.temp_c, "")], [(other.ph.centre, "")], [*zip((100 * band.centre for band in other.uptake.values()), dashes, strict=False)])
        panels = tuple(_over(panel, frame, across, other, under) for panel, frame, under in zip(panels, (temp, acid, yarn), lines, strict=True))  # type: ignore[assignment]
    has_bath = course.run.lag is not None and planned is None
    if has_bath:
        bath = [course.run.programme_c(float(time)) for time in course.time_s]
        panels = (_over(panels[0], temp, across, course, [(bath, "")]), *panels[1:])
    foot = tops[-1] + HEIGHTS[-1]
    ticks = tuple(Mark(across(one), f"{one:g}") for one in _times(minutes[0], minutes[-1]))
    return Chart(WIDTH, foot + 30, LEFT, WIDTH - RIGHT, panels, ticks, foot, has_bath)


@dataclass(frozen=True, slots=True)
class _Scale:
    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)


@dataclass(frozen=True, slots=True)
class _Curve:
    name: str
    values: tuple[Iterable[float], Iterable[float], Iterable[float]]
    dash: str


@dataclass(frozen=True, slots=True)
class _Frame:
    title: str
    top: float
    height: float
    scale: _Scale
    rules: tuple[Mark, ...]


def _panel(title: str, top: float, height: float, low: float, high: float, rules: Sequence[float]) -> _Frame:
    scale = _Scale(low, high, top + height, top)
    return _Frame(title, top, height, scale, tuple(Mark(scale(one), f"{one:g}") for one in rules))


def _drawn(frame: _Frame, across: _Scale, minutes: Sequence[float], curves: Sequence[_Curve], *, banded: bool) -> Panel:
    lines, ends = [], []
    for curve in curves:
        centre, low, high = ([frame.scale(float(one)) for one in values] for values in curve.values)
        xs = [across(one) for one in minutes]
        band = _path([*zip(xs, high, strict=True), *reversed([*zip(xs, low, strict=True)])]) + "Z" if banded else ""
        lines.append(Drawn(_path([*zip(xs, centre, strict=True)]), band, curve.dash))
        ends.append(Label(centre[-1], _short(curve.name), curve.dash))
    return Panel(frame.title, frame.top, frame.height, frame.rules, tuple(lines), (), _apart(ends, frame.top, frame.top + frame.height))


def _over(panel: Panel, frame: _Frame, across: _Scale, planned: PotCourse, lines: Sequence[tuple[Iterable[float], str]]) -> Panel:
    """The panel with other lines under its own: as planned, at the times of `planned`."""
    xs = [across(float(time) / 60) for time in planned.time_s]
    return replace(panel, planned=tuple(Drawn(_path([*zip(xs, (frame.scale(float(one)) for one in line), strict=True)]), "", dash) for line, dash in lines))


def _path(points: Sequence[tuple[float, float]]) -> str:
    """A polyline; points that add nothing at a tenth of a unit are left out."""
    kept: list[str] = []
    for x, y in points:
        said = f"{x:.1f} {y:.1f}"
        if not kept or kept[-1] != said:
            kept.append(said)
    return "M" + "L".join(kept)


def _apart(labels: Sequence[Label], top: float, bottom: float) -> tuple[Label, ...]:
    """Labels at their lines' ends, moved no more than needed so that none lies on another."""
    found: list[Label] = []
    for label in sorted(labels, key=lambda one: one.y):
        least = found[-1].y + LABEL_APART if found else top + 2
        found.append(Label(max(label.y, least), label.said, label.dash))
    over = found[-1].y - bottom if found else 0.0
    if over > 0:
        lowest = bottom
        for place in range(len(found) - 1, -1, -1):
            found[place] = Label(min(found[place].y, lowest), found[place].said, found[place].dash)
            lowest = found[place].y - LABEL_APART
    return tuple(found)


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1].rstrip() + "…"


def _styles(count: int) -> list[str]:
    return [DASHES[place % len(DASHES)] for place in range(count)]


def _per_cent(band: Band) -> tuple[Iterable[float], Iterable[float], Iterable[float]]:
    return 100 * band.centre, 100 * band.low, 100 * band.high


def _whole(low: int, high: int) -> list[float]:
    step = 1 if high - low <= 4 else 2
    return [float(one) for one in range(low, high + 1, step)]


def _times(start: float, end: float) -> list[float]:
    """Round minutes, three to five of them."""
    step = next((one for one in (5, 10, 15, 30, 60, 120, 240) if (end - start) / one <= 4), 480)
    return [float(one) for one in range(ceil(start / step) * step, int(end) + 1, step)]
