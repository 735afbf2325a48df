"""The margin of a colourway: figures in words, cautions for the day, what is taken for granted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.colour.eye import depth_in_words
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.say import say
from skeinwright.core.lot.said_doses import STANDING
from skeinwright.core.safety.cautions import CAUTIONS, Caution
from skeinwright.services.forecast_colourway import ColourwaySheet, OnBase

WATERS = {"soak": "Water to soak in", "water": "Water", STANDING: "Water in the vessel"}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the margin: a figure, its spread or second form, and what it is of."""

    name: str
    value: str
    more: str = ""


def amounts(sheet: ColourwaySheet) -> list[Line]:
    """What is measured out: dyes with their depth in words, then solutions, acids and the rest, then water."""
    depths = {dye.name: dye.depth for dye in sheet.dyes}
    order = {"dye": 0, "solution": 1, "blend": 2, "acid": 3, "water": 5}
    found = sorted(sheet.amounts, key=lambda one: order.get(one.kind, 4))
    lines = [Line(WATERS.get(one.name, one.name), one.said, _share(one.kind, one.name, depths)) for one in found]
    weighed = {one.name for one in sheet.amounts if one.kind == "dye"}
    for dye in sheet.dyes:
        if dye.name not in weighed:
            lines.append(Line(f"{dye.name}, in the solutions", say("mass", dye.powder_g), depth_in_words(dye.depth)))
    return lines


def _share(kind: str, name: str, depths: dict[str, float]) -> str:
    return depth_in_words(depths[name]) if kind == "dye" and name in depths else ""


def bath_lines(sheet: ColourwaySheet) -> list[Line]:
    """pH, liquor ratio and how the bath stands in its vessel."""
    bath = sheet.bath
    if bath is None:
        return []
    half = max(bath.ph.high - bath.ph.value, bath.ph.value - bath.ph.low)
    simmered = "" if bath.simmered_ph is None else f"; as it simmers and the carbon dioxide leaves, towards {bath.simmered_ph:.1f}"
    lines = [
        Line("pH as mixed", f"{bath.ph.value:.1f}", f"± {max(half, 0.05):.1f}, at step {bath.step}, without the yarn{simmered}"),
        Line("Liquor ratio", say("ratio", bath.ratio), f"{say('volume', bath.volume_ml)} on {say('mass', sheet.fibre_g)}"),
    ]
    if bath.head_room_mm is not None:
        fits = f"{bath.head_room_mm / 10:.1f} cm to the brim" if bath.head_room_mm >= 0 else f"{-bath.head_room_mm / 10:.1f} cm over the brim"
        lines.append(Line(bath.vessel, "holds it" if bath.head_room_mm >= 0 else "cannot hold it", fits))
    return lines


def margin_cautions(sheet: ColourwaySheet) -> list[Caution]:
    """Cautions that belong to no powder step, each once; hazards stand beside their own step."""
    keys = dict.fromkeys(key for planned in sheet.plan for key in planned.cautions)
    return [CAUTIONS[key] for key in keys if key in CAUTIONS and key not in ("powder", "powder heat", "powder draught") and CAUTIONS[key].on_slip]


def assumed_of(sheet: ColourwaySheet, shown: Sequence[OnBase]) -> list[str]:
    """All that was taken for granted, each once."""
    return list(dict.fromkeys([*sheet.assumed, *(sentence for one in shown for sentence in one.forecast.assumed)]))


def cost_of(sheet: ColourwaySheet, currency: str) -> str:
    """What the dyes cost, "" where a price is not known."""
    cost = sheet.cost_minor
    return "" if cost is None else f"{currency} {say('money', cost)}".strip()


def title_of(colourway: Colourway) -> str:
    """What the page is called."""
    return colourway.name or "A new colourway"
