"""A photo without the sheet: a rectangle or a known length gives sizes; colours are only relative."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.find_photo import find_photo
from skeinwright.services.read_outlines import read_outlines, read_points
from skeinwright.services.size_without_sheet import Place, Sized, SizeWithoutSheet, size_without_sheet
from skeinwright.web.page import render, studio_of

WAYS = (("length", "one known length"), ("rectangle", "a rectangle of known size"))
FIELDS = ("points", "length", "width", "height", "outlines")


def show(request: Request) -> Response:
    """The photo as taken, to point in, and the sizes once enough was said."""
    query, photo = request.query_params, int(request.path_params["photo"])
    path = find_photo(studio_of(request), photo)
    way = query.get("by", "length") if query.get("by") in dict(WAYS) else "length"
    said = {key: query.get(key, "").strip() for key in FIELDS}
    context: dict[str, Any] = {"photo": photo, "way": way, "ways": WAYS, "said": said, "wrong": {}, "sized": None, "drawn": []}
    if not said["points"]:
        return render(request, "measure/without.html", context)
    try:
        outlines = tuple(_places(outline) for outline in read_outlines(said["outlines"]))
        context["drawn"] = [" ".join(f"{100 * x:.1f},{100 * y:.1f}" for x, y in outline) for outline in outlines]
        wanted = SizeWithoutSheet(
            photo=path.read_bytes(), points=_points(said["points"], way), length=said["length"], width=said["width"], height=said["height"], outlines=outlines
        )
        context["sized"] = _view(size_without_sheet(wanted))
    except BadInput as problem:
        return render(request, "measure/without.html", context | {"wrong": {_field(problem): problem.sentence}}, status=422)
    return render(request, "measure/without.html", context)


def _field(problem: BadInput) -> str:
    return {"outline": "outlines", "rectangle": "points"}.get(problem.where or "", problem.where or "points")


def _points(text: str, way: str) -> tuple[Place, ...]:
    """Points in per cent of the photo's width and height. Raises BadInput."""
    points = [(x / 100, y / 100) for x, y in read_points(text, "points")]
    wanted = 2 if way == "length" else 4
    if len(points) != wanted or not all(0 <= x <= 1 and 0 <= y <= 1 for x, y in points):
        which = "the two ends of the length" if wanted == 2 else "the four corners, clockwise from the top left"
        raise BadInput(f"Point at {which}, inside the photo.", where="points")
    return tuple(points)


def _places(outline: tuple[tuple[float, float], ...]) -> tuple[Place, ...]:
    return tuple((x / 100, y / 100) for x, y in outline)


def _view(sized: Sized) -> dict[str, Any]:
    pieces = [
        {
            "number": one.number,
            "area": f"{one.area_cm2:.1f} cm\u00b2",
            "area_spread": f"\u00b1 {one.area_spread_cm2:.1f}",
            "longest": f"{one.longest_mm / 10:.1f} cm",
            "longest_spread": f"\u00b1 {one.longest_spread_mm / 10:.1f}",
            "apart": "" if one.apart_de00 is None else f"{one.apart_de00:.1f}",
            "hex": one.hex,
        }
        for one in sized.pieces
    ]
    return {"scale": f"{sized.px_per_mm:.1f}", "pieces": pieces, "warnings": sized.warnings, "assumed": sized.assumed if pieces else ()}
