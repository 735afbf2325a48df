"""Forecast the colour of doses of dyes whose swatches stand in a table (the command line's `forecast`; no studio is read)."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import Habits, parse_dose, say
from skeinwright.core.shelf.swatch import Lab, Swatch

if TYPE_CHECKING:
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.swatch_reading import SwatchTable


@dataclass(frozen=True, kw_only=True, slots=True)
class DyesRequest:
    """The text of a table of swatches (CSV), doses as typed ("Kelp=0.5 %"), and the undyed base: its Lab as typed, or its name in the table."""

    table: str
    doses: Sequence[str]
    base_lab: str = ""
    base: str = ""
    seed: int = 1
    habits: Habits = field(default_factory=Habits)


@dataclass(frozen=True, kw_only=True, slots=True)
class DyesForecast:
    """The colour of the fitted spectrum: `lab` (D65, 10 degree), `srgb` 0-255 (D65, 2 degree), and the radius in CIEDE2000 that holds 90 % of the draws."""

    lab: Lab
    srgb: tuple[int, int, int]
    clipped: bool
    spread_de00: float
    rests_on: str
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object. Lab and spread to two decimals: nothing finer is known."""
        return {
            "lab": [round(value, 2) for value in self.lab.values],
            "illuminant": self.lab.illuminant,
            "observer": self.lab.observer,
            "srgb": list(self.srgb),
            "srgb_illuminant": "D65",
            "srgb_observer": 2,
            "clipped": self.clipped,
            "spread_de00": round(self.spread_de00, 2),
            "rests_on": self.rests_on,
            "inputs": self.inputs,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def forecast_dyes(request: DyesRequest) -> DyesForecast:
    """The forecast of one dyeing. Raises BadInput for a table, dose or base that cannot be read, and for a dye that is not in the table."""
    import numpy as np

    from skeinwright.core.forecast.dyeing import forecast_dyeing
    from skeinwright.core.shelf.items import Dye

    table = _read_table(request.table)
    doses = _read_doses(request.doses, table.dyes, request.habits)
    undyed = _undyed(table)
    dyes = [Dye(name=name, swatches=swatches) for name, swatches in table.dyes.items()]
    ground, said = _ground(request, undyed)
    forecast = forecast_dyeing(doses, dyes, ground, rng=np.random.default_rng(request.seed), undyed=undyed)
    return _answer(forecast, doses, table, said)


def _read_table(text: str) -> SwatchTable:
    """The dyes and undyed bases in the text of a CSV file, its separator being a comma, a semicolon or a tab."""
    from skeinwright.core.colour.spaces import hex_to_lab
    from skeinwright.core.colour.spectra import measured_lab
    from skeinwright.core.shelf.swatch_reading import read_swatches

    head = text.lstrip("\ufeff").lstrip()
    if not head:
        raise BadInput("The table of swatches is empty. It needs the columns dye, depth_pct, and L,a,b or hex or R400 to R700.", where="dyes")
    first = head.splitlines()[0]
    separator = max(",;\t", key=first.count)
    return read_swatches(list(csv.DictReader(io.StringIO(head), delimiter=separator)), hex_to_lab=hex_to_lab, spectrum_to_lab=measured_lab)


def _read_doses(doses: Sequence[str], dyes: dict[str, tuple[Swatch, ...]], habits: Habits) -> dict[str, float]:
    """Depths (fractions) by dye from "Kelp=0.5 %"; a dye is found whatever its capitals, and may be given once."""
    if not doses:
        raise BadInput("No dose was given. Write one as 'Kelp=0.5 %'.", where="dose")
    known = {name.casefold(): name for name in dyes}
    read: dict[str, float] = {}
    for text in doses:
        said, equals, amount = text.rpartition("=")
        if not equals or not said.strip():
            raise BadInput(f"'{text}' is not a dose. Write it as 'Kelp=0.5 %'.", where="dose", text=text)
        name = known.get(" ".join(said.split()).casefold())
        if name is None:
            has = ", ".join(dyes) or "no dyes"
            raise BadInput(f"{said.strip()} has no swatch in the table: its colour is not known. The table has {has}.", where="dose", text=text)
        if name in read:
            raise BadInput(f"{name} is given twice. Add its doses up.", where="dose", text=text)
        dose = parse_dose(amount, where=f"dose of {name}", habits=habits)
        if dose.kind != "fraction":
            raise BadInput(f"'{amount.strip()}' is not a depth of shade. Write it as per cent of the fibre's weight.", where=f"dose of {name}", text=text)
        read[name] = dose.value
    return read


def _undyed(table: SwatchTable) -> dict[str, Lab]:
    """The undyed colour by base. Several readings of one base are averaged; a table with one undyed base means it for rows that name no other."""
    from dataclasses import replace

    found: dict[str, list[Lab]] = {}
    for swatch in table.undyed:
        found.setdefault(swatch.base, []).append(swatch.lab)
    undyed = {}
    for name, labs in found.items():
        alike = [lab for lab in labs if (lab.illuminant, lab.observer) == (labs[0].illuminant, labs[0].observer)]
        L, a, b = (sum(values) / len(alike) for values in zip(*(lab.values for lab in alike), strict=True))
        undyed[name] = replace(labs[0], L=L, a=a, b=b)
    if len(undyed) == 1:
        named, only = next(iter(undyed.items()))
        for swatch in (swatch for swatches in table.dyes.values() for swatch in swatches):
            if not named or not swatch.base:
                undyed.setdefault(swatch.base, only)
    return undyed


def _ground(request: DyesRequest, undyed: dict[str, Lab]) -> tuple[Ground, str]:
    from skeinwright.core.forecast.ground import ASSUMED_GROUND, ground_of
    from skeinwright.core.shelf.lab_text import parse_lab, write_lab

    if request.base_lab.strip():
        lab = parse_lab(request.base_lab, where="base-lab")
        return ground_of(lab, request.base), f"{request.base} {write_lab(lab)}".strip()
    names = {name.casefold(): name for name in undyed}
    if request.base and request.base.casefold() in names:
        name = names[request.base.casefold()]
        return ground_of(undyed[name], name), f"{name} {write_lab(undyed[name])}"
    if request.base:
        return ground_of(None, request.base), f"{request.base} {write_lab(ASSUMED_GROUND)} (assumed)"
    different = {lab.values: name for name, lab in undyed.items()}
    if len(different) > 1:
        raise BadInput(f"The table has several undyed bases ({', '.join(different.values())}). Say which one with --base.", where="base")
    if undyed:
        name, lab = next(iter(undyed.items()))
        return ground_of(lab, name), f"{name} {write_lab(lab)}".strip()
    return ground_of(None), f"{write_lab(ASSUMED_GROUND)} (assumed)"


def _answer(forecast: BaseForecast, doses: dict[str, float], table: SwatchTable, base: str) -> DyesForecast:
    if forecast.lab is None or forecast.srgb is None or forecast.spread_de00 is None:
        raise BadInput(" ".join(forecast.notes), where="dyes")
    inputs = {
        "doses": {name: say("fraction", depth) for name, depth in doses.items()},
        "dose_fractions": doses,
        "base": base,
        "swatches": {name: len(swatches) for name, swatches in table.dyes.items()},
    }
    return DyesForecast(
        lab=forecast.lab,
        srgb=forecast.srgb,
        clipped=forecast.clipped,
        spread_de00=forecast.spread_de00,
        rests_on=forecast.rests_on,
        inputs=inputs,
        warnings=forecast.notes,
        assumed=forecast.assumed,
    )
