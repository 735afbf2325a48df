"""Two photos side by side, always at the same scale, and the difference between their yarns."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.compare_photos import PhotosCompared, compare_photos
from skeinwright.services.find_photo import find_photo
from skeinwright.services.list_photos import list_photos
from skeinwright.services.list_readings import list_readings
from skeinwright.services.measure_kept_photo import PhotoFigures
from skeinwright.services.run_in_background import Job
from skeinwright.services.studio import Studio
from skeinwright.web.measure_ask import asked_before
from skeinwright.web.measure_read import reading_of
from skeinwright.web.measure_view import colour_of, piece_of
from skeinwright.web.page import render, studio_of

MOST_PHOTOS = 500
EDGE_MM = 4.0


def show(request: Request) -> Response:
    """Both photos, or the choice of the second."""
    studio, query = studio_of(request), request.query_params
    a, b = (int(query.get(key, "")) if query.get(key, "").isdigit() else None for key in ("a", "b"))
    context: dict[str, Any] = {"a": a, "b": b, "photos": list_photos(studio, limit=MOST_PHOTOS), "sides": [], "jobs": [], "made": None, "wrong": ""}
    if a is None or b is None:
        return render(request, "measure/beside.html", context)
    here = f"/measure/beside?{request.url.query}"
    found = []
    for photo in (a, b):
        find_photo(studio, photo)
        asked = asked_before(studio, photo)
        found.append((photo, asked, reading_of(request, photo, asked, here)))
    context["jobs"] = [one for _, _, one in found if isinstance(one, Job)]
    context["then"] = here
    figures = [one for _, _, one in found if isinstance(one, PhotoFigures)]
    wrong = [one.sentence for _, _, one in found if isinstance(one, BadInput)]
    if len(figures) < 2:
        return render(request, "measure/beside.html", context | {"wrong": " ".join(wrong)}, status=422 if wrong else 200)
    pieces = [_number(query.get(key, "")) for key in ("ap", "bp")]
    pieces = [number if number <= len(one.pieces) else 1 for number, one in zip(pieces, figures, strict=True)]
    widest = max(_width(one) for one in figures)
    context["sides"] = [
        _side(name, _title(studio, photo, number), one, f"/measure/{photo}/flat.jpg{asked.query}", f"/measure/{photo}{asked.query}", number, widest)
        for name, one, (photo, asked, _), number in zip("AB", figures, found, pieces, strict=True)
    ]
    try:
        context["made"] = _made(compare_photos(figures[0], figures[1], pieces[0], pieces[1]))
    except BadInput as problem:
        context["wrong"] = problem.sentence
    return render(request, "measure/beside.html", context)


def _width(figures: PhotoFigures) -> float:
    """True millimetres across the window."""
    return (figures.window.w_mm if figures.window else 207.0) * figures.scale[0] + 2 * EDGE_MM


def _side(name: str, title: str, figures: PhotoFigures, flat_url: str, url: str, number: int, width_mm: float) -> dict[str, Any]:
    """One photo: its window in true millimetres, so that both are drawn at one scale."""
    box, page, scale = figures.window, figures.page_mm, figures.scale
    drawn = None
    if box is not None and page is not None and figures.flat:
        drawn = {
            "w": round(width_mm, 2),
            "h": round(box.h_mm * scale[1] + 2 * EDGE_MM, 2),
            "move": f"translate({EDGE_MM - box.x_mm * scale[0]:.2f} {EDGE_MM - box.y_mm * scale[1]:.2f}) scale({scale[0]:.4f} {scale[1]:.4f})",
            "page_w": page[0],
            "page_h": page[1],
        }
    pieces = [piece_of(one) for one in figures.pieces]
    return {
        "name": name,
        "photo": figures.photo,
        "of": title,
        "flat": flat_url,
        "url": url,
        "drawn": drawn,
        "pieces": pieces,
        "number": number,
        "state": figures.asked.state,
        "refused": figures.refused,
        "messages": figures.messages,
        "checked": figures.ruler_checked,
    }


def _title(studio: Studio, photo: int, number: int) -> str:
    """What was kept of the piece, in a few words; "" where nothing was."""
    kept = (one.thing for one in list_readings(studio, photo=photo))
    return next((one.said_of for one in kept if one.details.get("piece", 1) == number), "")


def _made(compared: PhotosCompared) -> dict[str, Any]:
    return {
        "a": colour_of(compared.a_lab),
        "b": colour_of(compared.b_lab),
        "says": compared.sentence,
        "de00": f"{compared.de00:.1f}",
        "spread": f"{compared.spread_de00:.1f}",
        "tie": f"{compared.tie_median_de00:.1f}" if compared.tie_median_de00 is not None else "",
        "notes": compared.notes,
        "lightness": _lighter(round(compared.b_lab[0] - compared.a_lab[0], 1)),
    }


def _lighter(by: float) -> str:
    if not by:
        return "Both are equally light."
    return f"B is {'lighter' if by > 0 else 'darker'} than A by {abs(by):.1f} in L."


def _number(typed: str) -> int:
    return int(typed) if typed.isdigit() and 0 < int(typed) < 100 else 1
