"""The reach in a pan: how wide to spread a skein, what one side and both reach, and what shuffling does, with the skein drawn in its pan."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.picture.pan import pan_scale
from skeinwright.core.shelf.items import Base, Vessel
from skeinwright.services.draw_pan import SIZE, draw_pan
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.reach_in_pan import ReachRequest, reach_in_pan
from skeinwright.web.forms import problems_by_field
from skeinwright.web.page import render, studio_of
from skeinwright.web.pages.pictures import answer
from skeinwright.web.yarn_drawings import reach_line

FIELDS = ("base", "vessel", "width", "goal", "seen", "sides", "shuffles")
USUAL = {"width": "10 cm", "goal": "50 %", "seen": "30 %", "sides": "both", "shuffles": "1"}


def show(request: Request) -> Response:
    """The page; what is asked stands in its address."""
    studio = studio_of(request)
    bases = [kept.thing for kept in list_shelf(studio, "base") if isinstance(kept.thing, Base)]
    vessels = [kept.thing for kept in list_shelf(studio, "vessel") if isinstance(kept.thing, Vessel)]
    said = {field: request.query_params.get(field, "").strip() or USUAL.get(field, "") for field in FIELDS}
    if "base" not in request.query_params and bases:
        said["base"] = bases[0].name
    if "vessel" not in request.query_params and vessels:
        said["vessel"] = max(vessels, key=lambda one: (one.shape == "rectangle", one.length_mm * (one.width_mm or one.length_mm))).name
    context: dict[str, Any] = {
        "said": said,
        "bases": [one.name for one in bases],
        "vessels": [one.name for one in vessels],
        "wrong": {},
        "sheet": None,
    }
    try:
        sheet = reach_in_pan(studio, _asked(said))
    except (BadInput, ManyBadInputs) as error:
        return render(request, "yarn/pan_reach.html", context | {"wrong": problems_by_field(error)}, status=422)
    address = {key: said[key] for key in ("base", "vessel", "width")}
    context |= {
        "sheet": sheet,
        "line": reach_line(sheet.curve, sheet.lay.breadth_mm, sheet.reach.exposed, sheet.widest_mm, sheet.goal_mm, sheet.goal),
        "picture": f"{request.app.url_path_for('picture_pan')}?{urlencode(address)}",
        "px_per_cm": 10.0 * pan_scale(sheet.pan, *SIZE) / SIZE[0],
    }
    return render(request, "yarn/pan_reach.html", context)


def picture(request: Request) -> Response:
    """The skein in its pan, from above."""
    said = {key: request.query_params.get(key, "") for key in ("base", "vessel", "width")}
    return answer(request, draw_pan(studio_of(request), ReachRequest(base=said["base"], vessel=said["vessel"], width=said["width"])))


def _asked(said: dict[str, str]) -> ReachRequest:
    return ReachRequest(
        base=said["base"],
        vessel=said["vessel"],
        width=said["width"],
        goal=said["goal"],
        seen=said["seen"],
        turned=said["sides"] != "one",
        shuffles=said["shuffles"],
    )
