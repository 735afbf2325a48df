"""A colourway knitted: thin strips of several stitch counts to choose from by eye, the chosen one close by, and a whole piece."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.kept import Kept
from skeinwright.core.yarn.pieces import PIECES
from skeinwright.services.draw_knitted import KnittedPicture, draw_knitted
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.keep_swatch import keep_swatch
from skeinwright.services.knit_colourway import KnittingRequest, KnittingSheet, knit_colourway
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.run_in_background import Job, run_in_background
from skeinwright.services.skein_to_knit import KnitSkein, skein_to_knit
from skeinwright.services.warm_up import warming
from skeinwright.web.act import text
from skeinwright.web.forms import problems_by_field
from skeinwright.web.notes import Note
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.pages.pictures import answer

FIELDS = ("base", "gauge", "ravelled", "ravelled_stitches", "stitches", "step", "chosen", "way", "piece", "rows", "alternate")
USUAL = {"step": "2", "ravelled_stitches": "20", "piece": "sock"}
LEAST_ROWS = 4
"""Stretches of fewer rows that behave alike are not told one by one."""
PATIENCE_S = 1.2
"""A page waits so long for the skein before it shows how far that is instead."""
ONLY_A_WAY = {"round": False, "flat": True}


def show(request: Request) -> Response:
    """The page; everything that is asked stands in its address."""
    studio, number = studio_of(request), int(request.path_params["id"])
    kept = get_colourway(studio, number)
    said = {field: request.query_params.get(field, "").strip() or USUAL.get(field, "") for field in FIELDS}
    bases = [one.thing.name for one in list_shelf(studio, "base") if isinstance(one.thing, Base)]
    context: dict[str, Any] = {"kept": kept, "said": said, "bases": bases, "pieces": list(PIECES), "wrong": {}, "sheet": None, "why_not": ""}
    context["warming"] = warming(studio)
    try:
        sheet = knit_colourway(studio, _asked(number, said))
    except (BadInput, ManyBadInputs) as error:
        context["wrong"] = problems_by_field(error)
        return render(request, "yarn/knitted.html", context, status=422)
    long = [one for one in sheet.piece.stretches if one.last - one.first >= LEAST_ROWS - 1]
    context |= {"sheet": sheet, "said": said | {"base": sheet.base.name}, "stretches": long if len({one.verdict for one in long}) > 1 else []}
    job = _laying(request, kept, sheet.base.name)
    context["strips"] = [(sheet.words(one), "") for one in sheet.strips]
    if job.state == "running":
        return render(request, "yarn/knitted.html", context | {"job": job})
    try:
        skein = skein_to_knit(studio, kept.thing, sheet.base.name)
        sheet = replace(sheet, is_even=skein.is_even)
        context |= {"sheet": sheet} | _seen(request, number, kept.revision, sheet, skein)
    except (BadInput, ManyBadInputs) as error:
        context["why_not"] = " ".join(problems_by_field(error).values())
    return render(request, "yarn/knitted.html", context)


def _laying(request: Request, kept: Kept[Colourway], base: str) -> Job:
    """The work of laying this colourway's dye on the base's skein, which takes seconds where nobody has asked for it yet."""
    studio = studio_of(request)

    def lay(_: object) -> None:
        with suppress(BadInput, ManyBadInputs):  # the page asks again and says it
            skein_to_knit(studio, kept.thing, base)

    saying, key = f"The dye is being laid on {base or 'the yarn'}; then it is knitted.", f"knit {kept.id} {kept.revision} {base}"
    return run_in_background(studio, saying, lay, key=key).wait(PATIENCE_S)


def keep(request: Request, form: FormData) -> Response:
    """Keeps the stitch length of a ravelled swatch with its base."""
    number = int(request.path_params["id"])
    said = {field: text(form, field) for field in ("base", "ravelled", "ravelled_stitches")}
    kept, change = keep_swatch(studio_of(request), said["base"], said["ravelled"], said["ravelled_stitches"])
    note = Note(f"The swatch is kept with {kept.thing.of}: {kept.thing.value:.1f} mm of yarn a stitch.", (change.id,))
    asked = {"base": kept.thing.of} | {key: text(form, key) for key in ("stitches", "piece") if text(form, key)}
    return go(request, f"{request.app.url_path_for('colourway_knitted', id=number)}?{urlencode(asked)}", note)


def picture(request: Request) -> Response:
    """A strip, a patch or a piece, from its address alone."""
    query = request.query_params
    try:
        asked = KnittedPicture(
            colourway=int(request.path_params["id"]),
            base=query.get("base", ""),
            what=query.get("what", "patch"),
            stitch_mm=float(query.get("stitch", "13.7")),
            stitches=int(query.get("n", "64")),
            flat=query.get("flat") == "yes",
            alternate=int(query.get("alternate", "0")),
            piece=query.get("piece", "sock"),
            rows=int(query.get("rows", "0")),
            size=query.get("size", "middling"),
        )
    except ValueError:
        raise BadInput("The address of a knitted picture holds whole numbers and a stitch length.", where="address") from None
    return answer(request, draw_knitted(studio_of(request), asked))


def _asked(number: int, said: dict[str, str]) -> KnittingRequest:
    typed = {field: said[field] for field in FIELDS if field not in ("way",)}
    return KnittingRequest(colourway=number, flat=ONLY_A_WAY.get(said["way"]), **typed)


def _seen(request: Request, number: int, revision: int, sheet: KnittingSheet, skein: KnitSkein) -> dict[str, Any]:
    """The pictures' addresses and what is said of them."""
    home = str(request.app.url_path_for("picture_knitted", id=number))
    common = {"base": sheet.base.name, "stitch": f"{sheet.stitch_mm:.3f}", "r": str(revision)}
    if sheet.flat:
        common["flat"] = "yes"
    turned = {"alternate": str(sheet.alternate)} if sheet.alternate else {}

    def url(**more: str) -> str:
        return f"{home}?{urlencode(common | more)}"

    chosen = str(sheet.chosen.stitches)
    piece = {"piece": sheet.piece.name} | ({"rows": str(sheet.rows)} if sheet.rows else {})
    return {
        "strips": [(sheet.words(one), url(what="strip", n=str(one.stitches), **turned)) for one in sheet.strips],
        "patch": url(what="patch", n=chosen, **turned),
        "piece_picture": url(what="piece", n=chosen, **piece, **turned),
        "not_from": skein.not_drawn_from_step,
        "notes": skein.warnings,
        "rests_on": tuple(dict.fromkeys((*sheet.assumed, *skein.assumed))),
    }
