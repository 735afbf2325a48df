"""What is printed on a winding sheet, as data for the typesetter."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

UNKNOWN = "#d6d6d6"


def page_of_plan(plan: Mapping[str, Any], day: date) -> dict[str, Any]:
    """The data of one sheet. `plan` is a self-striping plan on a base as plain data (`services.plan_stripes`)."""
    stripes = [
        {
            "name": one["name"],
            "rows": f"{one['rows']:g}",
            "wind": f"{one['wound_m']:.2f} m",
            "dried": f"{one['dried_m']:.2f} m",
            "passes": one["passes"],
            "peg_cm": round(one["peg_cm"], 1),
            "fill": UNKNOWN if colour["srgb"] is None else "#{:02x}{:02x}{:02x}".format(*colour["srgb"]),
        }
        for one, colour in zip(plan["stripes"], plan["colours"], strict=True)
    ]
    return {
        "base": plan["base"],
        "day": day.isoformat(),
        "gauge": plan["inputs"]["gauge"],
        "stitches": plan["inputs"]["stitches"],
        "loop": f"{plan['loop_m']:.2f} m",
        "repeats": f"{int(plan['repeats'])}",
        "left": f"{plan['left_over_m']:.1f} m",
        "stripes": stripes,
        "title": f"Winding sheet, {plan['base']}",
        "warnings": list(plan["warnings"]),
        "assumed": list(plan["assumed"]),
    }
