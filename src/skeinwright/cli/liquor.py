"""How `skeinwright lot liquor` and `lot pot` tell what is left in a lot's pots, and what happened in them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.say import say
from skeinwright.core.lot.traces import say_depth, say_depth_range, say_grams, say_grams_range
from skeinwright.core.safety.drain import drain_limits

if TYPE_CHECKING:
    from skeinwright.core.foundations.estimate import Estimate
    from skeinwright.core.shelf.settings import Settings
    from skeinwright.services.estimate_liquor import LiquorLeft
    from skeinwright.services.follow_lot import LotPot
    from skeinwright.services.run_process import ProcessFigures
    from skeinwright.services.work_out_leftover import LeftoverDepth


def liquor_answer(pots: Sequence[LiquorLeft], depths: Sequence[LeftoverDepth], limits: Settings) -> dict[str, Any]:
    """The answer as JSON has it: grams, ml and shares, each with its 90 % interval."""
    told = []
    for pot, depth in zip(pots, depths, strict=True):
        known: dict[str, Any] = {"vessel": pot.vessel, "why_not": pot.why}
        known |= {"volume_ml": _three(pot.volume_ml), "ph": _three(pot.ph), "dyes_g": {name: _three(one) for name, one in pot.dyes_g.items()}}
        known |= {"fibre_g": depth.fibre_g, "depths": depth.depths, "pale_fibre_g": depth.pale_fibre_g}
        known |= {"depths_ci": {name: [one.low / depth.fibre_g, one.high / depth.fibre_g] for name, one in pot.dyes_g.items()}}
        known |= {"bicarbonate_g": None if pot.drain is None else _three(pot.drain.bicarbonate_g), "drain": "" if pot.drain is None else pot.drain.sentence}
        told.append(known)
    assumed = dict.fromkeys(sentence for pot in pots for sentence in pot.assumed)
    return {"pots": told, "limits": drain_limits(limits).said, "assumed": [*assumed, *dict.fromkeys(one for depth in depths for one in depth.assumed)]}


def liquor_lines(pots: Sequence[LiquorLeft], depths: Sequence[LeftoverDepth], limits: Settings, kept: str | None) -> list[str]:
    """The same for a person."""
    lines: list[str] = []
    for pot, depth in zip(pots, depths, strict=True):
        lines.append(pot.vessel or "The pot")
        if pot.volume_ml is None or pot.ph is None:
            lines.append(f"  It cannot be told. {pot.why}")
            continue
        volume, ph = pot.volume_ml, pot.ph
        lines.append(f"  Liquor {say('volume', volume.value, digits=2)} ({say('volume', volume.low, digits=2)} to {say('volume', volume.high, digits=2)})")
        for name, one in pot.dyes_g.items():
            on = f"{say_depth(depth.depths[name])} on {say('mass', depth.fibre_g)} ({say_depth_range(one, depth.fibre_g)})"
            lines.append(f"  {name} {say_grams(one.value)} ({say_grams_range(one)}), which makes {on}")
        lines.append(f"  pH {ph.value:.1f} ({ph.low:.1f} to {ph.high:.1f})")
        if pot.drain is not None:
            soda = pot.drain.bicarbonate_g
            lines += [f"  Baking soda {soda.value:.2g} g ({soda.low:.2g} to {soda.high:.2g})"] if soda.value > 0 else []
            lines.append(f"  {pot.drain.sentence}")
    return [*lines, drain_limits(limits).said, *([f"Kept on the shelf: {kept}"] if kept else [])]


def pot_answer(pots: Sequence[LotPot]) -> dict[str, Any]:
    """The pots as JSON has them: each as `process` gives one, or `why_not`."""
    told: list[dict[str, Any]] = []
    for pot in pots:
        if pot.sheet.course is None:
            told.append({"vessel": pot.vessel, "why_not": pot.sheet.why})
            continue
        plain = _figures(pot).to_plain()
        kept = {key: value for key, value in plain.items() if key not in ("inputs", "warnings", "assumed")}
        told.append({"vessel": pot.vessel, "why_not": "", **kept})
    notes = dict.fromkeys(one for pot in pots if pot.sheet.course is not None for one in pot.sheet.course.notes)
    return {"pots": told, "warnings": list(notes), "assumed": list(dict.fromkeys(one for pot in pots for one in pot.sheet.assumed))}


def pot_lines(pots: Sequence[LotPot]) -> list[str]:
    """The same for a person."""
    from skeinwright.cli.process import lines_of

    lines: list[str] = []
    for pot in pots:
        lines.append(pot.vessel or "The pot")
        lines += [f"  {one}" for one in lines_of(_figures(pot))] if pot.sheet.course is not None else [f"  It cannot be told. {pot.sheet.why}"]
    return lines


def _figures(pot: LotPot) -> ProcessFigures:
    from skeinwright.services.run_process import ProcessFigures

    assert pot.sheet.course is not None
    told = (one for one in pot.sheet.notes if one not in pot.sheet.course.notes)  # how fibres and bases share the dye
    return ProcessFigures(pot.sheet.course, (*pot.sheet.sentences, *told, *pot.sheet.reminders), {"fibres": [pot.sheet.base]})


def _three(one: Estimate | None) -> dict[str, float] | None:
    return None if one is None else {"value": one.value, "low": one.low, "high": one.high}
