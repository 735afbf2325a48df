"""The figures of a session as plain numbers, the same for the command line, the page and a script: of all dyes together, and of each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.figures import Figures, by_dye, clearer_side, figures
from skeinwright.core.spread.stepper import Spreading


def plain_figures(skein: Spreading, panel: Spreading) -> dict[str, Any]:
    """Balance, specks, coverage and what stayed in the liquor; specks are counted on the panel's clearer side, None where they cannot be."""
    panel, below = clearer_side(panel)
    each = by_dye(panel)
    ledger = skein.ledger
    on, left = ledger.on_fibre, (ledger.held_mg + ledger.free_mg) / ledger.added_mg.clip(1e-30)
    dyes = {name: plain_of(one, float(on[i]), float(left[i])) for i, (name, one) in enumerate(each.items())}
    for i, name in enumerate(each):
        dyes[name]["front_back"] = front_back(skein.dye[i : i + 1])
        dyes[name]["depth"] = float(skein.dye[i].mean(dtype=float))
    whole = plain_of(figures(panel), float(ledger.fibre_mg.sum() / ledger.added_mg.sum()), ledger.left_in_bath)
    whole["front_back"] = front_back(skein.dye)
    return {
        "mass_balance": ledger.error,
        "counted_side": "below" if below else "above",
        **whole,
        "undissolved_fraction": float(ledger.powder_mg.sum() / ledger.added_mg.sum()),
        "liquor_left_ml": skein.liquor_left_ml,
        "end_temp_c": skein.temp_c,
        "time_s": skein.time_s,
        "by_dye": dyes,
    }


def plain_ranges(plain: Mapping[str, Any], ranges: Mapping[str, tuple[float, float]]) -> dict[str, list[float]]:
    """90 % intervals of the figures that have one, as [low, high]; a share never goes beyond 1."""
    found = {}
    for name, (low, high) in ranges.items():
        value = plain.get(name)
        if value is not None:
            found[name] = [low * value, min(1.0, high * value) if name == "coverage" else high * value]
    return found


def plain_of(one: Figures, on_fibre: float, left: float) -> dict[str, Any]:
    """The figures of one dye or of all, by name; shares of what was given on the fibre and in the liquor, 0-1."""
    return {
        "speckle_mm": one.speckle_mm,
        "half_width_mm": one.half_width_mm,
        "coverage": one.coverage,
        "per_cm2": one.per_cm2,
        "per_gram": one.per_gram,
        "contrast": one.contrast,
        "on_fibre_fraction": on_fibre,
        "bath_left_fraction": left,
    }


def front_back(dye: Array) -> float | None:
    """Dye on the back over dye on the front of (dyes, 2, rows, columns)."""
    front, back = float(dye[:, 0].sum(dtype=float)), float(dye[:, 1].sum(dtype=float))
    return back / front if front > 0 else None


def sides_in_words(back_over_face: float) -> tuple[str, str, str]:
    """(which side, its share of dye, of what); the face is the side that lies up at the end."""
    if back_over_face > 1:
        return "Side up at the end", f"{100 / back_over_face:.0f} %", "of the dye that the other side has"
    return "Side below at the end", f"{100 * back_over_face:.0f} %", "of the dye that the side up has"
