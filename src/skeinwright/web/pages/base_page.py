"""A base laid open: its strand before and after washing, counts, plies, marks, and other bases beside it; and the five minutes that measure it."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.describe_base import MARK_MM, MOST_BESIDE, BaseRequest, BaseSheet, describe_base, is_measured
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_relaxing import keep_relaxing
from skeinwright.services.keep_wet_strand import keep_wet_strand, wet_waiting
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.work_out_relaxing import RelaxingRequest, RelaxingSheet, work_out_relaxing
from skeinwright.web.act import text
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import note_of_many
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.yarn_drawings import bars, drawn_marks, place_of, section

FIELDS = ("wet_length", "dry_length", "wet_wraps", "dry_wraps", "wet_width", "dry_width")
MARK_ON_STRAND_MM = 2.4
"""The mark that is drawn: about what a 4 mm mark on the skein leaves on one strand."""


def show(request: Request) -> Response:
    """The base page. `beside`: other bases by number; `label`: what a label says; `weighed`: a weight for the offer of regain."""
    query = request.query_params
    number = int(request.path_params["id"])
    beside = [int(one) for one in query.getlist("beside") if one.isdigit() and int(one) != number]
    others = [kept for kept in list_shelf(studio_of(request), "base") if kept.id != number]
    known = {kept.id for kept in others}
    wanted = [one for one in dict.fromkeys(beside) if one in known]
    asked = BaseRequest(base=number, beside=wanted[:MOST_BESIDE], label=query.get("label", ""), weighed=query.get("weighed", ""))
    sheet = describe_base(studio_of(request), asked)
    context: dict[str, Any] = {
        "sheet": sheet,
        "base": sheet.base,
        "kept": sheet.kept,
        "others": others,
        "chosen": wanted[:MOST_BESIDE],
        "too_many": len(wanted) > MOST_BESIDE,
        "most": MOST_BESIDE,
        "said": {"label": query.get("label", ""), "weighed": query.get("weighed", "")},
        "section": section(sheet.build.lay, sheet.build.outline_mm),
        "bars": bars(sheet.bands, sheet.counts.m_per_100g),
        "here": place_of(sheet.counts.m_per_100g),
        "place_of": place_of,
        "length": _share(sheet.relaxing.length),
        "width": _share(sheet.relaxing.width),
        "marks": drawn_marks(sheet.build.visual_mm, MARK_ON_STRAND_MM, sheet.factors),
        "mark_mm": MARK_MM,
        "changes": changes(sheet),
    }
    return render(request, "yarn/base.html", context)


def beside(request: Request) -> Response:
    """From names to the base page of the first, with the others beside it."""
    names = [name.casefold() for name in request.query_params.getlist("base")]
    ids = {kept.thing.name.casefold(): kept.id for kept in list_shelf(studio_of(request), "base", archived=True)}
    found = [ids[name] for name in dict.fromkeys(names) if name in ids]
    if not found:
        raise NotFound("That base is not on the shelf.")
    others = "&".join(f"beside={one}" for one in found[1 : MOST_BESIDE + 1])
    return RedirectResponse(f"{request.app.url_path_for('base_page', id=found[0])}{'?' + others + '#differ' if others else '#washing'}", status_code=303)


def changes(sheet: BaseSheet) -> list[tuple[str, float, str]]:
    """Each measure of a mark, what washing multiplies it by, and what that comes from."""
    f = sheet.factors
    return [
        ("length along the strand", f.length, "the strand shortens"),
        ("width across it", f.width, "the strand grows thicker"),
        ("equivalent diameter", f.equivalent_diameter, "the root of length times width"),
        ("marks on a metre", f.per_length, "the same marks on less yarn"),
        ("marks on a gram", f.per_gram, "never changes"),
        ("share of surface covered", f.coverage, "never changes: the surface grows as the marks do"),
        ("dye on a surface", f.per_surface, "the same dye on another surface"),
    ]


def _share(one: Estimate) -> dict[str, Any]:
    """A factor as its sentence needs it."""
    return {
        "value": f"{100 * one.value:.1f} %" if is_measured(one) else f"{100 * one.value:.0f} %",
        "spread": f"{100 * one.low:.1f}–{100 * one.high:.1f} %" if is_measured(one) else f"{100 * one.low:.0f}–{100 * one.high:.0f} %",
        "measured": is_measured(one),
        "note": one.note,
    }


def washing(request: Request) -> Response:
    """The guide to the five minutes; what is typed so far is worked out as it stands."""
    said = {field: request.query_params.get(field, "") for field in FIELDS}
    found: RelaxingSheet | None = None
    wrong: dict[str, str] = {}
    if any(said.values()):
        found, wrong = _worked_out(request, said)
    return _washing_page(request, said, found, wrong, waiting=not any(said.values()))


def keep_washing(request: Request, form: FormData) -> Response:
    """Writes what was measured down, on the base and among its tests."""
    said = {field: text(form, field) for field in FIELDS}
    studio = studio_of(request)
    number = int(request.path_params["id"])
    try:
        asked = RelaxingRequest(**said, habits=get_settings(studio).habits())
        if text(form, "act") == "wet":
            note = note_of_many(keep_wet_strand(studio, number, asked), "The wet readings are kept until it is dry.")
            return go(request, str(request.app.url_path_for("base_washing", id=number)), note)
        kept, made, _ = keep_relaxing(studio, number, asked)
    except (BadInput, ManyBadInputs) as error:
        return _washing_page(request, said, None, problems_by_field(error), status=422)
    sentence = f"What washing does to {kept.thing.name} is kept as you measured it."
    return go(request, str(request.app.url_path_for("base_page", id=number)) + "#washing", note_of_many(made, sentence))


def washing_with(request: Request, said: dict[str, str], wrong: dict[str, str], *, status: int) -> Response:
    """The guide with what was typed and what is wrong with it."""
    return _washing_page(request, said, None, wrong, status=status)


def _worked_out(request: Request, said: dict[str, str]) -> tuple[RelaxingSheet | None, dict[str, str]]:
    try:
        return work_out_relaxing(RelaxingRequest(**said, habits=get_settings(studio_of(request)).habits())), {}
    except (BadInput, ManyBadInputs) as error:
        return None, problems_by_field(error)


def _washing_page(
    request: Request, said: dict[str, str], found: RelaxingSheet | None, wrong: dict[str, str], *, waiting: bool = False, status: int = 200
) -> Response:
    sheet = describe_base(studio_of(request), BaseRequest(base=int(request.path_params["id"])))
    kept_wet = wet_waiting(sheet.measured)
    if waiting:
        said = said | kept_wet
    base: Base = sheet.base
    kept: Kept[Any] = sheet.kept
    context = {
        "kept": kept,
        "base": base,
        "said": said,
        "wrong": wrong,
        "length": _share(sheet.relaxing.length),
        "width": _share(sheet.relaxing.width),
        "found_length": None if found is None or found.length is None else _share(found.length),
        "found_width": None if found is None or found.width is None else _share(found.width),
        "waits": waiting and bool(kept_wet),
        "load_g": 0.2 * base.tex,
        "older": [one for one in sheet.measured if one.quantity in ("relax_length", "relax_width")],
    }
    return render(request, "yarn/washing.html", context, status=status)
