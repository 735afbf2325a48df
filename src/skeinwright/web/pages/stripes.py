"""Self-striping yarn: from rows and stitches to the loop and its pegs, drawn; kept as a colourway of painted bands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.core.foundations.say import say
from skeinwright.core.shelf.items import Base, Dye, Vessel
from skeinwright.core.yarn.knitting import wales_per_mm
from skeinwright.services.draw_picture import stitch_of
from skeinwright.services.keep_stripes import keep_stripes
from skeinwright.services.keep_swatch import STITCH
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.make_winding_sheet import make_winding_sheet
from skeinwright.services.plan_stripes import MOST_STRIPES, Band, StripePlanRequest, StripePlanSheet, plan_stripes
from skeinwright.web.act import texts
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.recipe_view import hex_of
from skeinwright.web.yarn_drawings import winding

PLAIN = ("base", "gauge", "ravelled", "stitches", "waste", "span")
OF_A_BAND = ("dye", "depth", "rows")
FIRST_LINES = 4
UNKNOWN = "#d6d6d6"


def show(request: Request) -> Response:
    """The page; the plan stands in its address. Without one it begins with two dyes of the shelf."""
    given = {key: value for key, value in request.query_params.items() if key != "note"}
    said = given if any(key.startswith("rows.") for key in given) else _begun(request) | {key: value for key, value in given.items() if value}
    return _page(request, said, {})


def keep(request: Request, form: FormData) -> Response:
    """Keeps the plan as a colourway and goes on to how it knits up."""
    said = texts(form)
    try:
        kept, change = keep_stripes(studio_of(request), said.get("name", ""), _asked(said), vessel=said.get("vessel", ""))
    except (BadInput, ManyBadInputs, Conflict) as error:
        wrong = {"name": error.sentence} if isinstance(error, Conflict) else problems_by_field(error)
        return _page(request, said, wrong, status=409 if isinstance(error, Conflict) else 422)
    seen = {key: said[key] for key in ("base", "gauge", "ravelled", "stitches") if said.get(key)}
    return go(request, f"{request.app.url_path_for('colourway_knitted', id=kept.id)}?{urlencode(seen)}", note_of(change))


def sheet(request: Request) -> Response:
    """The winding sheet as PDF."""
    made = make_winding_sheet(studio_of(request), _asked(dict(request.query_params)))
    return Response(made, media_type="application/pdf", headers={"Content-Disposition": 'inline; filename="winding.pdf"'})


def _begun(request: Request) -> dict[str, str]:
    studio = studio_of(request)
    bases = [kept.thing for kept in list_shelf(studio, "base") if isinstance(kept.thing, Base)]
    base = next((one for one in bases if one.name == request.query_params.get("base")), bases[0] if bases else None)
    dyes = [kept.thing.name for kept in list_shelf(studio, "dye") if isinstance(kept.thing, Dye) and kept.thing.swatches]
    said = {"stitches": "64", "waste": "3 %", "span": "2 m"}
    if base is not None:
        has_swatch = bool(list_calibrations(studio, of_kind="base", of=base.name, quantity=STITCH))
        said |= {"base": base.name, "gauge": "" if has_swatch else f"{100 * wales_per_mm(stitch_of('', base.tex)[0]):.0f} sts/10cm"}
    for number, dye in enumerate(dyes[:2]):
        said |= {f"dye.{number}": dye, f"depth.{number}": "1 %", f"rows.{number}": "8"}
    return said


def _lines(said: Mapping[str, str]) -> list[dict[str, str]]:
    """All lines of stripes as typed, down to the last that says anything."""
    lines = [{key: said.get(f"{key}.{number}", "").strip() for key in OF_A_BAND} for number in range(MOST_STRIPES)]
    while lines and not any(lines[-1].values()):
        lines.pop()
    return lines


def _says(line: Mapping[str, str]) -> bool:
    return bool(line["dye"] or line["rows"])


def _bands(said: Mapping[str, str]) -> list[Band]:
    """The lines that say anything, in order."""
    return [Band(dye=line["dye"], depth=line["depth"] or "1 %", rows=line["rows"]) for line in _lines(said) if _says(line)]


def _at_lines(wrong: Mapping[str, str], lines: list[dict[str, str]]) -> dict[str, str]:
    """What is wrong with a stripe ("rows.1": the second) at the line where it was typed: lines may be left empty between stripes."""
    typed = [number for number, line in enumerate(lines) if _says(line)]
    found = {}
    for field, sentence in wrong.items():
        key, dot, number = field.partition(".")
        found[f"{key}.{typed[int(number)]}" if dot and int(number) < len(typed) else field] = sentence
    return found


def _asked(said: Mapping[str, str]) -> StripePlanRequest:
    return StripePlanRequest(
        base=said.get("base", ""),
        bands=_bands(said),
        gauge=said.get("gauge", ""),
        ravelled=said.get("ravelled", ""),
        stitches=said.get("stitches", "") or "64",
        waste=said.get("waste", "") or "3 %",
        span=said.get("span", "") or "2 m",
    )


def _page(request: Request, said: Mapping[str, str], wrong: dict[str, str], *, status: int = 200) -> Response:
    studio = studio_of(request)
    shown = _lines(said)
    lines = min(MOST_STRIPES, max(FIRST_LINES, len(shown) + 1, int(said["lines"]) if said.get("lines", "").isdigit() else 0))
    context: dict[str, Any] = {
        "said": {key: said.get(key, "") for key in (*PLAIN, "name", "vessel")},
        "lines": shown + [dict.fromkeys(OF_A_BAND, "")] * (lines - len(shown)),
        "most": MOST_STRIPES,
        "bases": [kept.thing.name for kept in list_shelf(studio, "base")],
        "dyes": [kept.thing.name for kept in list_shelf(studio, "dye")],
        "vessels": [kept.thing.name for kept in list_shelf(studio, "vessel") if isinstance(kept.thing, Vessel)],
        "plan": None,
        "wrong": wrong,
    }
    if context["bases"]:
        try:
            context |= _planned(plan_stripes(studio, _asked(said)))
        except (BadInput, ManyBadInputs) as error:
            context["wrong"] = _at_lines(wrong | problems_by_field(error), shown)
            status = 422
    return render(request, "yarn/stripes.html", context, status=status)


def _planned(found: StripePlanSheet) -> dict[str, Any]:
    plan = found.sheet.plan
    drawn = winding(plan)
    colours = [UNKNOWN if band.srgb is None else hex_of(band.srgb) for band in found.bands]
    return {
        "found": found,
        "plan": plan,
        "drawn": drawn,
        "bands": [
            {
                "number": lane.number,
                "name": band.dye or "undyed",
                "depth": say("fraction", band.depth) if band.dye else "",
                "known": band.srgb is not None,
                "rows": f"{wound.rows:g}",
                "hex": colour,
                "wind": say("length", wound.length_mm, digits=4),
                "dried": say("length", wound.dried_mm, digits=2),
                "passes": wound.passes,
                "times": wound.times,
                "peg": f"{wound.peg_mm / 10:.1f} cm",
                "lane": lane,
            }
            for band, wound, lane, colour in zip(found.bands, plan.stripes, drawn.lanes, colours, strict=True)
        ],
    }
